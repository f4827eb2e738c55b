"""What must not wait. When in doubt it is flagged; a likeness of a wheel coming off is a note."""

from __future__ import annotations

from dataclasses import dataclass, field

from advisor.intake.text_lexicon import PairTable
from advisor.intake.text_pairs import Pairing, pairings
from advisor.intake.text_scope import Scopes
from advisor.intake.text_sheet import Sheet

SIMILE_REACH = 10
DENIAL_REACH = 4
CONTROL = "danger.loss_of_control"


@dataclass
class Dangers:
    """(symptom id, first word, end) of what is said to be there or not; likenesses of danger."""

    there: list[tuple[str, int, int]] = field(default_factory=list)
    denied: list[tuple[str, int, int]] = field(default_factory=list)
    likeness: list[tuple[str, int, int]] = field(default_factory=list)


def dangers(sheet: Sheet, pairs: PairTable, denied: Scopes, aside: Scopes) -> Dangers:
    """Read every danger word."""
    made = Dangers([], [(h.value, h.start, h.end) for h in sheet.of("denied")])
    for hit in sheet.of("danger"):
        _place(sheet, (hit.value, hit.start, hit.end), hit.start, hit.start, denied, aside, made)
    for pair in pairings(sheet, pairs):
        if pair.first.value == "some_of_them" and not sheet.of("fastener"):
            continue  # "checked the lugs. Two of them were loose."
        if _of_another(sheet, pair):
            continue
        state = pair.second.start
        found = (pair.finds, pair.start, pair.end)
        if _may_be_likeness(pair) and _likened(sheet, pair.start):
            made.likeness.append(found)
        else:
            _place(sheet, found, pair.start, state, denied, aside, made)
    return made


def _of_another(sheet: Sheet, pair: Pairing) -> bool:
    """ "wheel creaks, column loose": what is loose is named right before it; and weights."""
    loose = pair.second
    after = sheet.words[loose.end] if loose.end < len(sheet.words) else ""
    if loose.value == "parting" and after[:1].isdigit():
        return True  # "the tire was off 2 oz"
    if pair.first.kind != "road_wheel" or loose.value != "loose":
        return False
    named = sheet.last_in("accessory", max(0, loose.start - 3), loose.start)
    return named is not None and named.end == loose.start and named.start != pair.first.start


def _may_be_likeness(pair: Pairing) -> bool:
    """A wheel or a whole tire coming off; not nuts, and not a tread."""
    values = pair.first.value, pair.second.value
    return values[1] == "off" or values == ("tire", "parting")


def _place(
    sheet: Sheet,
    found: tuple[str, int, int],
    start: int,
    state: int,
    denied: Scopes,
    aside: Scopes,
    made: Dangers,
) -> None:
    """Sort one finding. state: the word that says what is wrong with the part."""
    if _is_denied(sheet, denied, state):
        made.denied.append(found)
        return
    scope = aside.covering(start)
    if scope is not None:
        if found[0] == CONTROL or sheet.any_of(("elsewhere",), scope.by, scope.by + 1):
            return
        asked = sheet.within("ask", scope.by, scope.by + 1)
        if any(hit.value == "general" for hit in asked):
            return  # "would a loose wheel cause a shimmy?"
    made.there.append(found)


def _is_denied(sheet: Sheet, denied: Scopes, state: int) -> bool:
    """The denial stands right before what it denies: not in "no vibration lug nuts loose"."""
    scope = denied.covering(state)
    if scope is None or sheet.segment[scope.by] != sheet.segment[state]:
        return False
    between = sheet.any_of(("sensation", "felt", "action", "work"), scope.start, state)
    return not between and state - scope.start <= DENIAL_REACH


def _likened(sheet: Sheet, start: int) -> bool:
    """ "felt like the wheel was coming off"."""
    begin = max(sheet.stretch(sheet.sentence, start)[0], start - SIMILE_REACH)
    return sheet.last_in("simile", begin, start + 1) is not None
