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
        start, end = sheet.stretch(sheet.clause, hit.start)
        part = sheet.last_in("thing", max(start, hit.start - 7), hit.start)
        part = part or sheet.first_in("thing", hit.end, min(end, hit.end + 2))
        moving = sheet.any_of(("rolling",), start, end)
        if part is None and end - start <= SHORT_CLAUSE and not moving:
            part = sheet.last_in("thing", hit.start - FINE_REACH, hit.start)
            if part is not None and sheet.sentence[part.start] != sheet.sentence[hit.start]:
                part = None
        if sheet.words[hit.start - 1] == "all" or sheet.words[hit.start] == "all":
            for thing in _listed(sheet, hit):
                made.denied.append((f"fine.{thing.value}", thing.start, hit.end))
        elif part is not None and part.value != "nuts":  # a denied danger already
            made.denied.append((f"fine.{part.value}", part.start, hit.end))


def _listed(sheet: Sheet, hit: Hit) -> list[Hit]:
    """ "alignment, ball joints, all good": each of the list."""
    start = max(sheet.stretch(sheet.sentence, hit.start)[0], hit.start - FINE_REACH)
    return [thing for thing in sheet.within("thing", start, hit.start) if thing.value != "nuts"]
