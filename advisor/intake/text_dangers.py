"""What must not wait. When in doubt it is flagged; a likeness of a wheel coming off is a note."""

from __future__ import annotations

from dataclasses import dataclass, field

from advisor.intake.text_lexicon import Hit, PairTable
from advisor.intake.text_pairs import Pairing, pairings
from advisor.intake.text_scope import Scope, Scopes, looked_for
from advisor.intake.text_sheet import Sheet

SIMILE_REACH, CONFIRMED_REACH, PICTURE_REACH = 10, 8, 4
LOOKED_REACH, RULE_REACH = 6, 5
TREAD_REACH, LINKS = 7, frozenset(("of", "on", "from", "off"))
BESIDE_REACH = {"to_bits": 3, "burst": 1}  # sentences
BROKEN = frozenset(("parting", "leaving", "separating"))
WORN = frozenset(("bearing_worn", "joint_worn", "spring_fault", "shaft_fault", "part_parting"))
FAULTS = frozenset(("crack", "cracking", "spilt"))  # pairs that name the fault before the part
DENIAL_REACH, CLAUSE_REACH = 4, 9
STUD_BEFORE = 3  # words between studs and what they are
CONTROL, BURST = "danger.loss_of_control", "wear.bulge_or_separation"
HEAT, NUTS = "danger.hub_hot_or_smoke", "danger.loose_or_missing_nuts"
NO_TEMPERATURE = 2000  # a year, a part number
FIGURE_REACH = 4  # words between a gauge and its figure


@dataclass
class Dangers:
    """(symptom id, first word, end) of what is said to be there or not; likenesses of danger."""

    there: list[tuple[str, int, int]] = field(default_factory=list)
    denied: list[tuple[str, int, int]] = field(default_factory=list)
    likeness: list[tuple[str, int, int]] = field(default_factory=list)


def dangers(sheet: Sheet, pairs: PairTable, denied: Scopes, aside: Scopes) -> Dangers:
    """Read every danger word."""
    said = [hit for hit in sheet.of("denied") if aside.covering(hit.start) is None]
    made = Dangers([], [(h.value, h.start, h.end) for h in said])
    for hit in sheet.of("danger"):
        found = (hit.value, hit.start, hit.end)
        if _likened(sheet, hit.start, hit.end, outright=_is_picture(sheet, found)):
            made.likeness.append(found)
        else:
            _place(sheet, found, hit.start, hit.start, denied, aside, made)
    for pair in pairings(sheet, pairs):
        if pair.first.value == "some_of_them" and not sheet.of("fastener"):
            continue  # "checked the lugs. Two of them were loose."
        if _of_another(sheet, pair) or _renewed(sheet, pair):
            continue
        state = (pair.first if pair.first.value in FAULTS else pair.second).start
        found = (pair.finds, pair.start, pair.end)
        if _likened(sheet, pair.start, pair.end, _may_be_likeness(pair)):
            made.likeness.append(found)
        else:
            _place(sheet, found, pair.start, state, denied, aside, made)
    for start, end in _measured_heat(sheet):
        _place(sheet, (HEAT, start, end), start, start, denied, aside, made)
    for start, end in _burst_beside(sheet):
        if not made.there:
            _place(sheet, (BURST, start, end), start, start, denied, aside, made)
    return made


def _is_picture(sheet: Sheet, found: tuple[str, int, int]) -> bool:
    """ "like a tire coming apart", "feels like a wheel is about to fall off"."""
    id_, start, end = found
    if id_ != NUTS or sheet.words[end - 1] != "off":
        return sheet.words[start] == "tire"
    return sheet.last_in("simile", start - PICTURE_REACH, start + 1) is not None


def _measured_heat(sheet: Sheet) -> list[tuple[int, int]]:
    """ "Hub temp 310F", "gun reads 425 on the drum": a figure no sound wheel end runs at."""
    found = []
    for gauge in sheet.of("too_hot"):
        start, end = sheet.stretch(sheet.sentence, gauge.start)
        if not any(cue.value == "rolling_part" for cue in sheet.within("cue", start, end)):
            continue
        near = range(max(start, gauge.start - FIGURE_REACH), min(end, gauge.end + FIGURE_REACH))
        figures = [at for at in near if sheet.words[at].isdecimal()]
        found += [(at, at + 1) for at in figures if _too_hot(sheet, gauge, at)]
    return sorted(set(found))


def _too_hot(sheet: Sheet, gauge: Hit, at: int) -> bool:
    """The least figure that is too hot stands with the word that says how it is measured."""
    least = int((sheet.first_in("too_hot_unit", at + 1, at + 2) or gauge).value)
    return least <= int(sheet.words[at][:4]) < NO_TEMPERATURE


def _burst_beside(sheet: Sheet) -> list[tuple[int, int]]:
    """ "We had checked the tires. Then the thing exploded.": the tire is named a sentence away."""
    found = []
    tires = [cue.start for cue in sheet.named("cue", "tire")]
    for cue in sheet.of("cue") if tires else ():
        reach = BESIDE_REACH.get(cue.value)
        if reach is None:
            continue
        apart = min(sheet.told_between(*sorted((cue.start, tire))) for tire in tires)
        if not 0 < apart <= reach:
            continue
        whole = sheet.stretch(sheet.sentence, cue.start)
        if sheet.any_of(("thing", "accessory", "engine", "simile"), *whole):
            continue
        found.append((cue.start, cue.end))
    return found


def _of_another(sheet: Sheet, pair: Pairing) -> bool:
    """ "wheel creaks, column loose": what is loose is named right before it; and weights."""
    loose = pair.second
    after = sheet.words[loose.end] if loose.end < len(sheet.words) else ""
    if loose.value == "crack" or pair.first.value == "crack":
        crack = loose if loose.value == "crack" else pair.first
        return sheet.any_of(("fastener",), crack.start - STUD_BEFORE, crack.start)
    if loose.value == "part_parting" and loose.start < pair.first.start:
        return sheet.segment[loose.start] != sheet.segment[pair.first.start]
    if loose.value == "off" and any(
        cue.value == "tread" for cue in sheet.within("cue", loose.start - STUD_BEFORE, loose.start)
    ):
        return True  # "the belt was separated on the inner dual"
    if loose.value == "leaving" and after[:1].isdigit():
        return True  # "the tire was off 2 oz"
    if loose.value == "came_off" and (
        loose.start < pair.first.start or _tread_between(sheet, pair)
    ):
        return True  # "rubber coming off the tire"
    if pair.first.kind != "road_wheel" or loose.value != "loose":
        return False
    named = sheet.last_in("accessory", max(0, loose.start - 3), loose.start)
    return named is not None and named.end == loose.start and named.start != pair.first.start


def _renewed(sheet: Sheet, pair: Pairing) -> bool:
    """ "drag link replaced, still sloppy": the part was seen to; another is meant."""
    if pair.second.value not in WORN:
        return False
    before = sheet.words[max(0, pair.first.start - 1) : pair.first.start]
    return "new" in before or sheet.any_of(("action", "work"), pair.first.end, pair.second.start)


def _tread_between(sheet: Sheet, pair: Pairing) -> bool:
    """ "a tire whose tread flew off", "the tread on the tire came off": the tread."""
    first = pair.first
    cues = sheet.within("cue", first.start - TREAD_REACH, pair.second.start)
    treads = [c for c in cues if c.value == "tread" and not first.start <= c.start < first.end]
    return any(
        c.start >= first.end or not LINKS.isdisjoint(sheet.words[c.end : first.start])
        for c in treads
    )


def _may_be_likeness(pair: Pairing) -> bool:
    """A wheel or a whole tire coming off, a bearing gone; not nuts, and not a tread."""
    first, second = pair.first.value, pair.second.value
    return second in ("off", "bearing_gone") or (first == "tire" and second in BROKEN)


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
    over = aside.covering(state)
    if over is not None and _in_general(sheet, over):
        return  # "retorque the nuts, or you could lose a wheel"
    if (
        _is_rule(sheet, start, found[2])
        or _only_looked_for(sheet, state, found[2])
        or _asked_and_denied(sheet, start)
    ):
        return
    scope = aside.covering(start)
    if scope is not None:
        if found[0] == CONTROL or sheet.any_of(("elsewhere",), scope.by, scope.by + 1):
            return
        if _in_general(sheet, scope):
            return  # "would a loose wheel cause a shimmy?", "can cause a wheel to come off"
    made.there.append(found)


def _in_general(sheet: Sheet, scope: Scope) -> bool:
    """What may happen to any vehicle."""
    told = [
        hit
        for kind in ("ask", "hypothetical")
        for hit in sheet.within(kind, scope.by, scope.by + 1)
    ]
    return any(hit.value == "general" for hit in told)


def _is_rule(sheet: Sheet, start: int, end: int) -> bool:
    """ "a loose wheel can cause a shimmy": any wheel, not this one."""
    if _only_looked_for(sheet, start, end):
        return True
    before = sheet.words[start - 1] if start else "."
    if before[0].isalnum() and before not in ("a", "an", "any"):
        return False
    return any(
        hit.value == "general" for hit in sheet.within("hypothetical", end, end + RULE_REACH)
    )


def _asked_and_denied(sheet: Sheet, start: int) -> bool:
    """ "A loose nut? No.": the next word answers the question."""
    end = sheet.stretch(sheet.sentence, start)[1]
    if sheet.words[end : end + 1] != ["?"]:
        return False
    return any(h.value == "no" and h.end == end + 2 for h in sheet.within("deny", end, end + 2))


def _only_looked_for(sheet: Sheet, start: int, end: int) -> bool:
    """ "have the tires checked for separation", and nothing of what was found."""
    near = [at for at in looked_for(sheet, start - LOOKED_REACH, start) if at >= start - 1]
    if not near or end > near[-1] + LOOKED_REACH - 2:
        return False
    stop = sheet.stretch(sheet.sentence, start)[1] + CONFIRMED_REACH
    found = any(hit.value == "find" for hit in sheet.within("perceive", end, stop))
    return not found and not sheet.any_of(("loose", "detached", "danger"), end, stop)


def _is_denied(sheet: Sheet, denied: Scopes, state: int) -> bool:
    """The denial stands right before what it denies: not in "no vibration lug nuts loose"."""
    scope = denied.covering(state)
    if scope is None or sheet.segment[scope.by] != sheet.segment[state]:
        return False
    between = sheet.any_of(("sensation", "felt", "action", "work"), scope.start, state)
    by = sheet.within("deny", scope.by, scope.by + 1)
    reach = CLAUSE_REACH if any(hit.value == "at_no_time" for hit in by) else DENIAL_REACH
    return not between and state - scope.start <= reach


def _likened(sheet: Sheet, start: int, end: int, outright: bool) -> bool:
    """ "felt like the wheel was coming off" outright; or "thought a wheel was loose", and no word
    that it was. Loose nuts are never taken for a likeness."""
    if "simile" not in sheet.hits or sheet.any_of(("fastener",), start, end):
        return False
    begin, stop = sheet.stretch(sheet.sentence, start)
    by = sheet.last_in("simile", max(begin, start - SIMILE_REACH), start + 1)
    if by is None or outright:
        return by is not None
    told = sheet.within("cue", by.end, stop + CONFIRMED_REACH)
    return by.value == "thought" and not any(hit.value == "confirmed" for hit in told)
