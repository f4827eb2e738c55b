"""Parts that are called good: "tires look fine", "linkage inspected, nothing bent"."""

from __future__ import annotations

from advisor.intake.text_found import Findings
from advisor.intake.text_lexicon import Hit
from advisor.intake.text_scope import Scopes
from advisor.intake.text_sheet import MARKS, Sheet

SHORT_CLAUSE, FINE_REACH, SAID_OF = 5, 8, 7
THEM = frozenset(("them", "it", "those", "these", "either"))
PRONOUN_CLAUSE, PRONOUNS = 8, frozenset(("it", "they", "these", "those", "both", "which"))
ALL_OF_THEM = frozenset(("all", "everything", "both", "they", "theyre", "each"))
SAME_PART = {"psi": "pressure"}
NUTS, LOOSE_NUTS = "nuts", "danger.loose_or_missing_nuts"
TIGHT = frozenset(("tight", "snug", "torqued", "good", "ok", "okay", "fine"))
AND = frozenset(("and", "&", "or", "nor", "n"))
BESIDES = frozenset(("the", "my", "our", "all", "both", "front", "rear", "left", "right", "four"))
LISTED = AND | BESIDES | frozenset((",", "+", "/"))
LONGEST, ITEM_REACH = 6, 5  # parts of a list, words from one to the next
HAVING = frozenset(("has", "have", "had", "got", "with", "w", "its", "theres"))
ASKING = frozenset(
    ("is", "are", "was", "were", "can", "could", "do", "does", "did", "would", "who", "what",
     "how", "why", "which")
)  # fmt: skip
BUT = frozenset(("but", "yet", "though", "however", "and"))
TURNED = frozenset(("it", "they", "that", "this"))  # ", but it was not"
NOT = frozenset(("not", "isnt", "wasnt", "arent", "werent"))
STATES = frozenset(
    ("is", "are", "was", "were", "all", "both", "looks", "look", ":", "still", "seem", "r")
)
NO = frozenset(("no", "zero"))
QUOTES = frozenset('"\u201c\u201d')
PAST = frozenset(("was", "were"))  # "it was good when it left the yard"
OUT = (["out"], ["off"])
TURNED_CLAUSE, LIMITED = 5, frozenset(("if", "until", "till", "unless", "once", "enough", "for"))


def called_fine(sheet: Sheet, denied: Scopes, aside: Scopes, made: Findings) -> None:
    """ "tires look fine" denies that the tires are at fault."""
    if "thing" not in sheet.hits and "fastener" not in sheet.hits:
        return
    for hit in sheet.of("fine"):
        if hit.value == "general" or denied.covering(hit.start) is not None:
            continue
        if hit.value == "last" and not _closes(sheet, hit):
            continue
        if aside.covering(hit.start) is not None or _doubtful(sheet, hit):
            continue
        for part in _checked_before(sheet, hit) or _parts(sheet, hit):
            _add(sheet, part, hit, made)
    for hit in sheet.of("nothing_wrong"):
        if hit.value == "anything" and denied.covering(hit.end - 1) is None:
            continue
        if hit.value == "verdict" and not _is_verdict(sheet, hit):
            continue
        beside = BESIDE.get(hit.value, _nothing_wrong)
        for part in beside(sheet, hit, denied):
            _add(sheet, part, hit, made)


def _add(sheet: Sheet, part: Hit, hit: Hit, made: Findings) -> None:
    """Note a part called good; of nuts only a word of tightness counts."""
    name = SAME_PART.get(part.value, part.value)
    start = part.start if hit.kind == "fine" else min(part.start, hit.start)
    span = start, max(part.end, hit.end)
    if name != NUTS:
        made.denied.append((f"fine.{name}", *span))
    elif not TIGHT.isdisjoint(sheet.words[hit.start : hit.end]):
        made.denied.append((LOOSE_NUTS, *span))


def _closes(sheet: Sheet, hit: Hit) -> bool:
    """ "engine mounts sound.", "the hub is sound": not "mounts sound loose", "a sizzle sound"."""
    end = sheet.stretch(sheet.clause, hit.start)[1]
    closes = hit.end >= end or sheet.words[hit.end] in AND or sheet.words[hit.end] in MARKS
    before = sheet.words[hit.start - 1] if hit.start else ""
    named = any(p.end == hit.start for p in _things(sheet, hit.start - 3, hit.start))
    return closes and (named or before in STATES)


def _doubtful(sheet: Sheet, hit: Hit) -> bool:
    """A question, a wish, a condition, the past; or taken back: "it was fine, they said. It was
    not"."""
    words = sheet.words
    start, end = sheet.stretch(sheet.clause, hit.start)
    if words[start] in ("as", "that") and start:
        start = sheet.stretch(sheet.clause, start - 1)[0]  # "wish it was as straight"
    if any(cue.value == "doubt" for cue in sheet.within("plain", start, hit.start)):
        return True
    after = words[hit.end] if hit.end < len(words) else "."
    if sheet.text[max(0, sheet.spans[hit.start][0] - 1)] in QUOTES:
        return True  # the "good" one
    past = after == "when" and not PAST.isdisjoint(words[start : hit.start])
    if past or after in LIMITED:
        return True
    first = words[start] if words[start][0].isalnum() else words[start + 1]
    stop = sheet.stretch(sheet.sentence, hit.start)[1]
    if first in ASKING and words[stop : stop + 1] == ["?"]:
        return True
    return _taken_back(sheet, end) or _asked_in_short(sheet, hit)


def _asked_in_short(sheet: Sheet, hit: Hit) -> bool:
    """ "Shocks good?"."""
    start, end = sheet.stretch(sheet.sentence, hit.start)
    return sheet.words[end : end + 1] == ["?"] and end - start <= SHORT_CLAUSE


def _taken_back(sheet: Sheet, at: int) -> bool:
    """ ", but it was not": a short clause that ends with the denial."""
    if at >= len(sheet.words):
        return False
    start, end = sheet.stretch(sheet.clause, at)
    told = [word for word in sheet.words[start:end] if word[0].isalnum()]
    if told and told[0] in BUT:
        told = told[1:]
    return 2 <= len(told) <= TURNED_CLAUSE and not TURNED.isdisjoint(told[:2]) and told[-1] in NOT


def _is_verdict(sheet: Sheet, hit: Hit) -> bool:
    """ "Driveline examined, no fault.": the clause says nothing else, and nothing shakes in it."""
    start, end = sheet.stretch(sheet.clause, hit.start)
    return end - start - (hit.end - hit.start) <= SHORT_CLAUSE


def _things(sheet: Sheet, start: int, end: int) -> list[Hit]:
    """The parts named, nuts among them; the longer where one name holds another."""
    found = sheet.within("thing", start, end)
    nuts = sheet.within("fastener", start, end)
    if nuts:
        here = {hit.start for hit in found}
        found = sorted(
            [*found, *(n._replace(value=NUTS) for n in nuts if n.start not in here)], key=_start
        )
    if len(found) < 2:
        return found
    return [p for p in found if not any(q.start < p.start and p.end <= q.end for q in found)]


def _start(hit: Hit) -> int:
    return hit.start


def _of_a_part(sheet: Sheet, hit: Hit, denied: Scopes) -> list[Hit]:
    """ "no driveline play", "never had tire trouble": the part and its fault, both denied."""
    if denied.covering(hit.start) is None:
        return []
    parts = _things(sheet, max(0, hit.start - 2), hit.start)
    return [p for p in parts if p.end == hit.start and denied.covering(p.start) is not None]


def _not_this(sheet: Sheet, hit: Hit, _: Scopes) -> list[Hit]:
    """ "Not the tires, I swapped them.", "it is the hub, not the tires": a clause that ends with
    the part."""
    start, end = sheet.stretch(sheet.clause, hit.start)
    if any(word[0].isalnum() and word not in BUT for word in sheet.words[start : hit.start]):
        return []
    parts = _things(sheet, hit.end, end)
    named = {at for part in parts for at in range(part.start, part.end)}
    faults = {h.start for h in sheet.within("nothing_wrong", hit.end, end) if h.value == "suffix"}
    rest = [sheet.words[at] for at in range(hit.end, end) if at not in named | faults]
    return parts if LISTED.issuperset(rest) else []


def _nothing_wrong(sheet: Sheet, hit: Hit, _: Scopes) -> list[Hit]:
    """ "nothing wrong with the tires, shocks or springs"; or with "them", named before."""
    end = sheet.stretch(sheet.segment, hit.start)[1]
    after = _things(sheet, hit.end, min(end, hit.end + FINE_REACH))
    start = sheet.stretch(sheet.sentence, hit.start)[0]
    checked = sheet.first_in("checked", start, hit.start)
    if hit.value == "verdict":
        after = []
        if hit.start - start <= 1:
            return _checked_before(sheet, hit)
    if checked is not None and not after:
        named = _things(sheet, checked.end, hit.start) or _things(sheet, start, checked.start)
        named = [p for p in named if not _is_new(sheet, p)]
        if named:
            return named
    if after:
        return after
    far = hit.end < len(sheet.words) and sheet.words[hit.end] in THEM  # "nothing wrong with them"
    named = _things(sheet, start if far else max(start, hit.start - FINE_REACH), hit.start)[-1:]
    if named and sheet.any_of(("sensation",), named[0].end, hit.start):
        return []
    return _list_to(sheet, named[0]) if named else []


def _cast_out(sheet: Sheet, hit: Hit, denied: Scopes) -> list[Hit]:
    """ "ruled the alignment out", "crossed the tires off"."""
    if denied.covering(hit.start) is not None or _doubtful(sheet, hit):
        return []
    parts = _things(sheet, hit.end, hit.end + ITEM_REACH)
    return parts if parts and sheet.words[parts[-1].end : parts[-1].end + 1] in OUT else []


BESIDE = {"suffix": _of_a_part, "bare": _not_this, "split": _cast_out}


def _checked_before(sheet: Sheet, hit: Hit) -> list[Hit]:
    """ "had the tires and toe checked. All was fine.", "grabbed the shaft. Tight.": what the
    sentence before names."""
    start, end = sheet.stretch(sheet.sentence, hit.start)
    whole = not ALL_OF_THEM.isdisjoint(sheet.words[start : hit.start])
    longest = FINE_REACH if whole else SHORT_CLAUSE
    if end - start > longest or start == 0 or sheet.any_of(("thing",), start, end):
        return []
    before = sheet.beside(start, -1)
    verdict = hit.kind == "nothing_wrong"
    if (whole or verdict) and sheet.any_of(("checked",), *before):
        return [part for part in _things(sheet, *before) if not _is_new(sheet, part)]
    alone = hit.end - hit.start >= end - start - 1
    parts = _things(sheet, *before)[-1:] if alone else []
    done = sheet.any_of(("action", "work"), *before)
    return [] if done else parts


def _is_new(sheet: Sheet, part: Hit) -> bool:
    """ "new shocks, and it rides like a dream": what was done, not what was found good."""
    start = max(sheet.stretch(sheet.clause, part.start)[0], part.start - 2)
    return sheet.last_in("action", start, part.start) is not None


def _parts(sheet: Sheet, hit: Hit) -> list[Hit]:
    """The part that is called good, or the list of them."""
    if sheet.words[hit.start - 1] == "all" or sheet.words[hit.start] == "all":
        return _listed(sheet, hit)
    start = sheet.stretch(sheet.sentence, hit.start)[0]
    whole = not ALL_OF_THEM.isdisjoint(sheet.words[max(start, hit.start - 3) : hit.start])
    if whole and sheet.any_of(("checked",), start, hit.start):
        return [p for p in _things(sheet, start, hit.start) if not _is_new(sheet, p)]
    itself = sheet.first_in("thing", hit.start, hit.start + 1)
    if itself is not None and itself.end == hit.end:
        return [itself]
    part = _said_of(sheet, hit)
    if part is None or _is_new(sheet, part) or sheet.words[part.start - 1] == "your":
        return []
    rides = any(h.value == "rides" for h in sheet.within("cue", part.end, hit.start))
    if rides or sheet.any_of(("sensation",), part.end, hit.start):
        return []
    return _list_to(sheet, part)


def _said_of(sheet: Sheet, hit: Hit) -> Hit | None:
    """The part before the good word in its clause, the one right after it, or the one named right
    before a short clause."""
    start, end = sheet.stretch(sheet.clause, hit.start)
    part = _part_before(sheet, max(start, hit.start - SAID_OF), hit.start)
    told = [cue for cue in sheet.within("cue", start, hit.start) if cue.value == "told_that"]
    if told and not sheet.any_of(("thing",), told[-1].end, hit.start):
        start, part = told[-1].end, None  # "was told it was perfect"
    having = sheet.words[hit.start - 1] in HAVING  # "a hub with tight nuts"
    after = _good_part(sheet, hit, start, end) if having or part is None else None
    part = after or part
    moving = sheet.any_of(("rolling",), start, end)
    short = end - start <= SHORT_CLAUSE or _of_it(sheet, start, end)
    if part is None and short and not moving:
        begin = told[-1].start if told else hit.start
        part = _part_before(sheet, begin - FINE_REACH, hit.start)
        apart = sheet.told_between(part.start, hit.start) if part is not None else 0
        if apart > (1 if told else 0):
            return None
    return part


def _good_part(sheet: Sheet, hit: Hit, start: int, end: int) -> Hit | None:
    """ "has good tires": not "need good tires", "fine tires cost money"."""
    free = not NO.isdisjoint(sheet.words[hit.start : hit.end])  # "has no play in the joints"
    near = _things(sheet, hit.end, min(end, hit.end + (4 if free else 2)))
    part = near[0] if near else None
    if part is None or part.start > hit.end:
        return part
    before = sheet.words[start : hit.start]
    opens = all(not word[0].isalnum() or word in LISTED for word in before)
    if opens:
        return part if part.end >= end - 1 else None
    return part if not HAVING.isdisjoint(before) else None


def _part_before(sheet: Sheet, start: int, end: int) -> Hit | None:
    """The last part named; not one that is a good word itself: "fully inflated and in order"."""
    good = {(hit.start, hit.end) for hit in sheet.within("fine", start, end)}
    named = [
        part
        for part in _things(sheet, start, end)
        if (part.start, part.end) not in good and part.end <= end
    ]
    return named[-1] if named else None


def _list_to(sheet: Sheet, last: Hit) -> list[Hit]:
    """ "tires, wheels and hubs were intact": the parts before the last, when an "and" joins them
    and nothing was done to the first."""
    parts, start, joined = [last], last.start, False
    while len(parts) < LONGEST:
        near = _things(sheet, max(0, start - ITEM_REACH), start)
        part = near[-1] if near and near[-1].end <= start else None
        between = sheet.words[part.end : start] if part is not None else []
        if part is None or not LISTED.issuperset(between) or BESIDES.issuperset(between):
            break
        if part.value == "engine" and last.end - last.start > 1 and not joined:
            break  # "engine and transmission mounts": the mounts of both
        joined = joined or not AND.isdisjoint(between)
        parts.insert(0, part)
        start = part.start
    return parts if joined and not _is_new(sheet, parts[0]) else [last]


def _of_it(sheet: Sheet, start: int, end: int) -> bool:
    """ ", it was found to be good": a clause about what was named right before."""
    return end - start <= PRONOUN_CLAUSE and not PRONOUNS.isdisjoint(sheet.words[start : start + 2])


def _listed(sheet: Sheet, hit: Hit) -> list[Hit]:
    """ "alignment, ball joints, all good": each of the list."""
    start = max(sheet.stretch(sheet.sentence, hit.start)[0], hit.start - FINE_REACH)
    return [p for p in _things(sheet, start, hit.start) if not _is_new(sheet, p)]
