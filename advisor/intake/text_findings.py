"""Sensations, where they are felt, conditions, wear and the rest, each said to be there or not."""

from __future__ import annotations

from advisor.intake.text_calm import is_ruled_out, spared
from advisor.intake.text_felt import felt
from advisor.intake.text_fine import called_fine
from advisor.intake.text_found import Findings
from advisor.intake.text_lexicon import Hit
from advisor.intake.text_scope import Scopes
from advisor.intake.text_sensations import sensations
from advisor.intake.text_sheet import Sheet, any_between

LINKED_KEYS = frozenset({"condition", "trigger", "changes", "growth", "drive_test", "speed"})


def findings(sheet: Sheet, denied: Scopes, aside: Scopes) -> Findings:
    """Read sensations first; the rest hangs on them."""
    made = sensations(sheet, denied, aside)
    felt(sheet, denied, aside, made)
    _symptoms(sheet, denied, aside, made)
    called_fine(sheet, denied, aside, made)
    spared(sheet, denied, aside, made)
    return made


def _symptoms(sheet: Sheet, denied: Scopes, aside: Scopes, made: Findings) -> None:
    """Conditions, onset, growth, noise, wear and things seen."""
    for hit in sheet.of("symptom"):
        if aside.covering(hit.start) is not None:
            continue
        key = hit.value.split(".")[0]
        if key == "speed" and denied.covering(hit.start) is not None:
            continue
        if denied.covering(hit.start) is not None or is_ruled_out(sheet, hit, denied):
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
