"""Sensations, where they are felt, conditions, wear and the rest, each said to be there or not."""

from __future__ import annotations

from advisor.intake.text_felt import felt
from advisor.intake.text_found import Findings
from advisor.intake.text_lexicon import Hit
from advisor.intake.text_scope import Scopes
from advisor.intake.text_sensations import sensations
from advisor.intake.text_sheet import Sheet, any_between

RULED_OUT_REACH = 4
SHORT_CLAUSE, FINE_REACH = 5, 8
PRONOUN_CLAUSE, PRONOUNS = 8, frozenset(("it", "they", "these", "those", "both", "which"))
ALL_OF_THEM = frozenset(("all", "everything", "both", "they", "theyre", "each"))
SAME_PART = {"psi": "pressure"}
HIGHWAY = "condition.highway"
LINKED_KEYS = frozenset({"condition", "trigger", "changes", "growth", "drive_test", "speed"})


def findings(sheet: Sheet, denied: Scopes, aside: Scopes) -> Findings:
    """Read sensations first; the rest hangs on them."""
    made = sensations(sheet, denied, aside)
    felt(sheet, denied, aside, made)
    _symptoms(sheet, denied, aside, made)
    _fine(sheet, denied, made)
    return made


def _symptoms(sheet: Sheet, denied: Scopes, aside: Scopes, made: Findings) -> None:
    """Conditions, onset, growth, noise, wear and things seen."""
    for hit in sheet.of("symptom"):
        if aside.covering(hit.start) is not None:
            continue
        key = hit.value.split(".")[0]
        if key == "speed" and denied.covering(hit.start) is not None:
            continue
        if denied.covering(hit.start) is not None or _ruled_out(sheet, hit, denied):
            if key != "condition" or made.is_vibration:
                made.denied.append((hit.value, hit.start, hit.end))
        elif key not in LINKED_KEYS or _near_sensation(sheet, hit, made.sensed):
            made.there.append((hit.value, hit.start, hit.end))


def _near_sensation(sheet: Sheet, hit: Hit, sensed: list[int]) -> bool:
    start, end = sheet.stretch(sheet.sentence, hit.start)
    if any_between(sensed, start, end):
        return True
    told = ("perceive", "peak", "starts", "ends", "result")
    return bool(sensed) and sheet.any_of(told, start, end)


def _ruled_out(sheet: Sheet, hit: Hit, denied: Scopes) -> bool:
    """ "whether loaded or empty": named only to say that it makes no difference; or "coasting is
    fine"."""
    if not hit.value.startswith("condition."):
        return False
    clause = sheet.stretch(sheet.clause, hit.start)
    end = min(clause[1], hit.end + RULED_OUT_REACH)
    good = [*sheet.within("fine", hit.end, end), *sheet.within("ends", hit.end, end)]
    good = [h for h in good if denied.covering(h.start) is None]
    if good and hit.value != HIGHWAY and not sheet.any_of(("sensation", "thing"), *clause):
        return True
    start = sheet.stretch(sheet.segment, hit.start)[0]
    return sheet.first_in("whether", max(start, hit.start - 8), hit.start + 1) is not None


def _fine(sheet: Sheet, denied: Scopes, made: Findings) -> None:
    """ "tires look fine" denies that the tires are at fault."""
    for hit in sheet.of("fine"):
        if hit.value == "general" or denied.covering(hit.start) is not None:
            continue
        for part in _checked_before(sheet, hit) or _parts(sheet, hit):
            if part.value != "nuts":  # a denied danger already
                made.denied.append((f"fine.{_name(part)}", part.start, max(part.end, hit.end)))
    for hit in sheet.of("nothing_wrong"):
        if hit.value != "anything" or denied.covering(hit.end - 1) is not None:
            for part in _nothing_wrong(sheet, hit):
                if part.value == "nuts":
                    continue
                span = min(part.start, hit.start), max(part.end, hit.end)
                made.denied.append((f"fine.{_name(part)}", *span))


def _name(part: Hit) -> str:
    return SAME_PART.get(part.value, part.value)


def _nothing_wrong(sheet: Sheet, hit: Hit) -> list[Hit]:
    """ "nothing wrong with the tires, shocks or springs"; or with "them", named before."""
    end = sheet.stretch(sheet.segment, hit.start)[1]
    after = sheet.within("thing", hit.end, min(end, hit.end + FINE_REACH))
    start = sheet.stretch(sheet.sentence, hit.start)[0]
    checked = sheet.first_in("checked", start, hit.start)
    if checked is not None and not after:
        return [p for p in sheet.within("thing", checked.end, hit.start) if not _is_new(sheet, p)]
    return after or sheet.within("thing", max(start, hit.start - FINE_REACH), hit.start)[-1:]


def _checked_before(sheet: Sheet, hit: Hit) -> list[Hit]:
    """ "had the tires and toe checked. All was fine.", "grabbed the shaft. Tight.": what the
    sentence before names."""
    start, end = sheet.stretch(sheet.sentence, hit.start)
    if end - start > SHORT_CLAUSE or start == 0 or sheet.any_of(("thing",), start, end):
        return []
    before = sheet.beside(start, -1)
    whole = not ALL_OF_THEM.isdisjoint(sheet.words[start : hit.start])
    if whole and sheet.any_of(("checked",), *before):
        return [part for part in sheet.within("thing", *before) if not _is_new(sheet, part)]
    alone = hit.end - hit.start >= end - start - 1
    parts = sheet.within("thing", *before)[-1:] if alone else []
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
    start, end = sheet.stretch(sheet.sentence, hit.start)
    whole = not ALL_OF_THEM.isdisjoint(sheet.words[max(start, hit.start - 3) : hit.start])
    if whole and sheet.any_of(("checked",), start, hit.start):
        return [p for p in sheet.within("thing", start, hit.start) if not _is_new(sheet, p)]
    itself = sheet.first_in("thing", hit.start, hit.start + 1)
    if itself is not None and itself.end == hit.end:
        return [itself]
    start, end = sheet.stretch(sheet.clause, hit.start)
    part = _part_before(sheet, max(start, hit.start - 7), hit.start)
    told = [cue for cue in sheet.within("cue", start, hit.start) if cue.value == "told_that"]
    if told and not sheet.any_of(("thing",), told[-1].end, hit.start):
        start, part = told[-1].end, None  # "was told it was perfect"
    part = part or sheet.first_in("thing", hit.end, min(end, hit.end + 2))
    moving = sheet.any_of(("rolling",), start, end)
    short = end - start <= SHORT_CLAUSE or _of_it(sheet, start, end)
    if part is None and short and not moving:
        begin = told[-1].start if told else hit.start
        part = _part_before(sheet, begin - FINE_REACH, hit.start)
        apart = sheet.told_between(part.start, hit.start) if part is not None else 0
        if apart > (1 if told else 0):
            part = None
    if part is None or _is_new(sheet, part):
        return []
    rides = any(h.value == "rides" for h in sheet.within("cue", part.end, hit.start))
    if rides or sheet.any_of(("sensation",), part.end, hit.start):
        return []
    return [*_joined_to(sheet, part), part]


def _part_before(sheet: Sheet, start: int, end: int) -> Hit | None:
    """The last part named; not one that is a good word itself: "fully inflated and in order"."""
    good = {(hit.start, hit.end) for hit in sheet.within("fine", start, end)}
    parts = sheet.within("thing", start, end)
    named = [part for part in parts if (part.start, part.end) not in good and part.end <= end]
    return named[-1] if named else None


def _joined_to(sheet: Sheet, part: Hit) -> list[Hit]:
    """ "tires and wheels were intact": the part before the "and"."""
    joint = part.start - 1
    if sheet.words[joint : joint + 1] != ["and"] or part.end - part.start > 1:
        return []  # "engine and transmission mounts": the mounts of both
    before = sheet.within("thing", joint - 3, joint)
    return [thing for thing in before[-1:] if thing.end == joint and thing.value != "nuts"]


def _of_it(sheet: Sheet, start: int, end: int) -> bool:
    """ ", it was found to be good": a clause about what was named right before."""
    return end - start <= PRONOUN_CLAUSE and not PRONOUNS.isdisjoint(sheet.words[start : start + 2])


def _listed(sheet: Sheet, hit: Hit) -> list[Hit]:
    """ "alignment, ball joints, all good": each of the list."""
    start = max(sheet.stretch(sheet.sentence, hit.start)[0], hit.start - FINE_REACH)
    return [thing for thing in sheet.within("thing", start, hit.start) if thing.value != "nuts"]
