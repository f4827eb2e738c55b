"""What is denied, and what is not said of this vehicle now: memory, guess, another vehicle."""

from __future__ import annotations

from dataclasses import dataclass

from advisor.intake.text_lexicon import Hit
from advisor.intake.text_sheet import MARKS, Sheet

INTO = frozenset(("in", "at", "from", "through", "thru", "on"))  # "can't feel it in the seat"
PLACE_REACH = 4  # words from "can't feel it" to the place
REACH = 9  # words a denial reaches at most
LIST_ITEM = 4  # words of one item in "no shake, hop or shimmy"
UNABLE_REACH = 14
TRAILING = frozenset(("nothing", "none", "never"))  # "on the throttle nothing"
OPENING = 3  # words before the end of "a real wobble"
# "a wobble it is not", "vibration I have yet to feel": subject, auxiliaries, and what may follow
SUBJECTS = frozenset(("i", "we", "it", "that", "this", "there", "you", "she", "he", "they"))
AUXILIARY = frozenset(
    ("is", "was", "does", "did", "do", "has", "have", "had", "can", "could", "i", "we")
)
FELT = frozenset(
    ("feel", "felt", "feels", "see", "seen", "saw", "have", "has", "had", "get", "gets", "got",
     "notice", "noticed", "find", "found", "do", "does", "is", "been", "any", "at", "all",
     "yet", "once")
)  # fmt: skip
LOOKED_OVER = 7  # words of what was looked over
NONE_FOUND = 2  # words after "none": "none found", "none at all"
LONG_DENIAL = 3  # words: "could not find any" denies what was said before


@dataclass(frozen=True)
class Scope:
    """words[start:end] are denied or set aside by a phrase that starts at `by`."""

    start: int
    end: int
    by: int


class Scopes:
    """Scopes by the words they cover; where two overlap, the one that starts last counts."""

    def __init__(self) -> None:
        self._by_word: dict[int, Scope] = {}

    def add(self, scope: Scope) -> None:
        """Add a scope that starts no earlier than those before it."""
        for at in range(scope.start, scope.end):
            self._by_word[at] = scope

    def covering(self, at: int) -> Scope | None:
        """The scope that covers words[at]."""
        return self._by_word.get(at)


def denials(sheet: Sheet) -> Scopes:
    """Stretches denied by no, not, never, without and the like."""
    scopes = Scopes()
    for hit in sheet.named("plain", "no_stop"):
        _answered(sheet, hit, scopes)
    results = {
        at
        for hit in sheet.of("result")
        if not _of_a_place(sheet, hit)
        for at in range(hit.start, hit.end)
    }
    for hit in sheet.of("deny"):
        if hit.value == "suffix":
            _denied_before(sheet, hit, scopes)
        if hit.value == "suffix" or hit.start in results:
            continue
        start = _denied_from(sheet, hit)
        if start is None:
            continue
        looked = _looked_for_in_vain(sheet, hit)
        if looked is not None:
            scopes.add(looked)
        end = _denied_to(sheet, start)
        begin, stop = sheet.stretch(sheet.clause, hit.start)
        inverted = _inverted(sheet, begin, hit, stop)
        if inverted is not None:
            scopes.add(inverted)
        elif begin < hit.start and hit.end == stop and _trails(sheet, hit):
            begin = _item_before(sheet, begin, hit)
            scopes.add(Scope(begin, hit.start, hit.start))
        elif (
            hit.value == "no"
            and end - start <= 1
            and hit.end - hit.start >= LONG_DENIAL
            and not sheet.any_of(("sensation",), start, end)
        ):
            scopes.add(Scope(sheet.stretch(sheet.sentence, hit.start)[0], hit.start, hit.start))
        elif end > start and not _lifted(sheet, start, end):
            scopes.add(Scope(start, end, hit.start))
    return scopes


def _of_a_place(sheet: Sheet, hit: Hit) -> bool:
    """ "can't feel it in the seat": nothing of what the work did."""
    near = sheet.first_in("felt", hit.end, hit.end + PLACE_REACH)
    felt = "feel" in sheet.words[hit.start : hit.end]
    return felt and near is not None and sheet.words[hit.end] in INTO


def _answered(sheet: Sheet, hit: Hit, scopes: Scopes) -> None:
    """ "Hop, no."; not "no. 4"."""
    begin = sheet.stretch(sheet.clause, hit.start)[0]
    if not sheet.words[hit.end : hit.end + 1] or not sheet.words[hit.end][0].isdigit():
        start = _item_before(sheet, begin, hit._replace(end=hit.start + 1))
        if start < begin:
            scopes.add(Scope(start, hit.start, hit.start))


def _trails(sheet: Sheet, hit: Hit) -> bool:
    """ "on the throttle nothing", not "never when empty"."""
    return sheet.words[hit.start] in TRAILING and not any(
        joint.value == "when" for joint in sheet.within("break", hit.end, hit.end + 1)
    )


def _denied_before(sheet: Sheet, hit: Hit, scopes: Scopes) -> None:
    """ "vibration free", "the shimmy is absent"."""
    for named in sheet.within("sensation", hit.start - 1, hit.start):
        if named.end == hit.start:
            scopes.add(Scope(named.start, hit.start, hit.start))


def _item_before(sheet: Sheet, begin: int, hit: Hit) -> int:
    """ "Hop, no.", "Pull? None.": what a comma or a question mark parts from its denial."""
    if hit.start != begin + 1 or sheet.words[begin] not in ",:?" or not begin:
        return begin
    ends = hit.end == len(sheet.words) or sheet.words[hit.end] in MARKS
    start, end = sheet.stretch(sheet.clause, begin - 1)
    short = ends and end - start <= LIST_ITEM + 1  # not "when loaded, never when empty"
    return start if short and sheet.any_of(("sensation",), start, end) else begin


def _inverted(sheet: Sheet, begin: int, hit: Hit, stop: int) -> Scope | None:
    """ "a wobble it is not", "vibration I never feel": what is denied comes first."""
    if not FELT.issuperset(sheet.words[hit.end : stop]):
        return None
    named = sheet.first_in("sensation", begin, min(begin + OPENING, hit.start))
    if named is None or sheet.any_of(("sensation",), named.end, stop):
        return None
    between = sheet.words[named.end : hit.start]
    if not between or between[0] not in SUBJECTS or not AUXILIARY.issuperset(between[1:]):
        return None
    return Scope(named.start, hit.start, hit.start)


def _denied_from(sheet: Sheet, hit: Hit) -> int | None:
    """Where a denial starts, or None when the word denies nothing here."""
    if hit.value == "perceive":
        felt = sheet.first_in("perceive", hit.end, hit.end + 3)
        if felt is None or sheet.any_of(("felt",), felt.start, felt.start + 1):
            return None  # "could not hold on to the wheel"
        return felt.end
    if hit.value == "without":
        begin = max(sheet.stretch(sheet.sentence, hit.start)[0], hit.start - UNABLE_REACH)
        before = [h for h in sheet.within("plain", begin, hit.start) if h.value == "unable"]
        before += [h for h in sheet.within("deny", begin, hit.start) if h.value != "without"]
        if before or sheet.first_in("limit", begin, hit.start) is not None:
            return None
    return hit.end


def _looked_for_in_vain(sheet: Sheet, hit: Hit) -> Scope | None:
    """ "checked for bulges and there were none", "Looked for loose nuts. None.": what was looked
    for is denied."""
    if sheet.words[hit.start] not in TRAILING:
        return None
    start, end = sheet.stretch(sheet.sentence, hit.start)
    if hit.end < end - NONE_FOUND:
        return None  # "none of them could say": more follows
    if hit.start - start <= 1 and start:
        start = sheet.beside(start, -1)[0]
    looked = looked_for(sheet, start, hit.start)
    return Scope(looked[-1], hit.start, hit.start) if looked else None


def looked_for(sheet: Sheet, start: int, end: int) -> list[int]:
    """Where what was looked for begins: "checked for ...", "went over every tire for ..."."""
    found = [cue.end for cue in sheet.within("cue", start, end) if cue.value == "look_for"]
    for hit in sheet.within("checked", start, end):
        stop = min(sheet.stretch(sheet.clause, hit.start)[1], hit.end + LOOKED_OVER, end)
        if "for" in sheet.words[hit.end : stop]:
            found.append(sheet.words.index("for", hit.end, stop) + 1)
    return sorted(set(found))


def _denied_to(sheet: Sheet, start: int) -> int:
    """How far a denial reaches: to a stop, a contrast, a joint, or a comma that ends a list."""
    words, n = sheet.words, len(sheet.words)
    last = min(n, start + REACH)
    if start >= n:
        return start
    segment = sheet.segment[start - 1]
    joints = {hit.start: hit for hit in sheet.within("break", start, last)}
    at = start
    while at < last and sheet.segment[at] == segment:
        if words[at] in ",:(" and not _list_goes_on(sheet, at):
            break
        if at > start and words[at] in ("no", "nor"):
            break  # "no pull no pedal pulse": a denial of its own
        joint = joints.get(at)
        if joint is not None and joint.value != "when" and at > start:
            break
        at += 1
    return at


def _list_goes_on(sheet: Sheet, comma: int) -> bool:
    """After "no shake" a comma is followed by short items and a last one with "or"."""
    words, sentence = sheet.words, sheet.sentence[comma]
    at, item = comma + 1, 0
    while at < len(words) and sheet.sentence[at] == sentence and item <= LIST_ITEM:
        if sheet.first_in("either", at, at + 1):
            return True
        if sheet.any_of(("deny", "contrast"), at, at + 1):
            return False
        item = 0 if words[at] == "," else item + 1
        at += 1
    return False


def _lifted(sheet: Sheet, start: int, end: int) -> bool:
    """ "not until 60", "no shake except in bends", "doesn't shake anymore" deny nothing."""
    if sheet.any_of(("until", "resolved"), start - 1, end + 1):
        return True
    except_ = sheet.first_in("contrast", end, end + 1)
    return except_ is not None and except_.value == "except"


def asides(sheet: Sheet) -> Scopes:
    """Stretches about another vehicle, another time, or what might be; to the segment's end."""
    scopes = Scopes()
    for kind in ("hypothetical", "elsewhere"):
        covered = -1
        for hit in sheet.of(kind):
            if hit.value == "theirs" and sheet.sentence[hit.start] == 0:
                continue  # "My cousin has a bus and it shakes": told on behalf of somebody
            if hit.start >= covered:
                covered = sheet.stretch(sheet.segment, hit.start)[1]
                whole = hit.value == "whole"  # "the vibration you describe"
                start = sheet.stretch(sheet.sentence, hit.start)[0] if whole else hit.start
                scopes.add(Scope(start, covered, hit.start))
    for hit in sheet.of("ask"):
        begin, end = sheet.stretch(sheet.sentence, hit.start)
        if hit.start <= begin + 1 and end < len(sheet.words) and sheet.words[end] == "?":
            scopes.add(Scope(begin, end, hit.start))
    return scopes
