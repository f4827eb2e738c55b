"""What several speeds in one text mean: felt here, smooth there, gone above, worst at."""

from __future__ import annotations

from dataclasses import dataclass

from advisor.intake.text_found import QUIET, Findings
from advisor.intake.text_lexicon import Hit
from advisor.intake.text_numbers import Speed, speeds
from advisor.intake.text_scope import Scopes
from advisor.intake.text_sheet import FULL_STOPS, Sheet, any_between
from advisor.model.case import SpeedRange

LOW_SPEED_MPH = 40.0
COURSE = (("ends", "ends"), ("fine", "smooth"), ("starts", "starts"), ("peak", "peak"))
BRAKE_REACH, SLOWING_REACH = 14, 8
CONDITIONAL = frozenset(("if", "when", "whenever", "once", "on", "over"))
REACHING = frozenset(("once", "whenever", "when", "upon", "reaching", "hitting"))
SKIPPED, REACHING_WORDS = FULL_STOPS | {"that"}, 4
UNTIL_REACH, STARTS_REACH = 7, 6
LONG_CLAUSE = 20
SHORT_CLAUSE = 6  # words; a clause so short takes its meaning from the one before


@dataclass(frozen=True)
class Said:
    """A speed and its part in the story: felt, starts, peak, smooth, ends, stops (on slowing),
    braking, riding (only driven), or limit (a limit, a habit)."""

    speed: Speed
    role: str


def roles(sheet: Sheet, denied: Scopes, aside: Scopes, told: Findings) -> list[Said]:
    """The part each speed plays."""
    said: list[Said] = []
    for speed in speeds(sheet):
        if aside.covering(speed.start) is not None:
            continue
        role = _role(sheet, speed, denied, told)
        if not role:
            role = _from_before(sheet, speed, said) or "felt"
        if role == "smooth" and _shakes_on_bumps(sheet, speed, told.sensed):
            role = "felt"
        said.append(Said(speed, role))
    return said


def _shakes_on_bumps(sheet: Sheet, speed: Speed, sensed: list[int]) -> bool:
    """ "Fine over 55, but when the road is broken it shakes": felt there all the same."""
    end = sheet.stretch(sheet.sentence, speed.end - 1)[1]
    turn = sheet.first_in("contrast", speed.end, end + 2)
    if turn is None or turn.value or CONDITIONAL.isdisjoint(sheet.words[turn.end : turn.end + 2]):
        return False
    start, end = sheet.stretch(sheet.segment, turn.start)
    numbered = any(word[0].isdigit() for word in sheet.words[start:end])
    return any_between(sensed, start, end) and not numbered


def _role(sheet: Sheet, speed: Speed, denied: Scopes, told: Findings) -> str:
    """From the words of the clause; empty when it says nothing."""
    sensed = told.sensed
    start, end = sheet.stretch(sheet.clause, speed.start)
    end = max(end, sheet.stretch(sheet.clause, speed.end - 1)[1])
    near = max(start, speed.start - 5)
    if sheet.first_in("limit", near, speed.start) is not None:
        return "limit"
    until = sheet.last_in("until", max(0, speed.start - UNTIL_REACH), speed.start)
    if until is not None and sheet.sentence[until.start] != sheet.sentence[speed.start]:
        until = None
    if until is not None:
        return _until(sheet, until.start, sensed)
    if denied.covering(speed.start) is not None:
        return "smooth"
    slowed = sheet.first_in("slowing", max(start, speed.start - SLOWING_REACH), speed.start)
    segment = sheet.stretch(sheet.segment, speed.start)
    if slowed is not None and _in_vain(sheet, speed.end, end):
        return "limit"
    if slowed is not None:
        must = slowed.value == "must" or sheet.any_of(("ends", "fine", "until"), *segment)
        return "stops" if must else "riding"
    if any_between(sensed, start, end):
        return _of_sensation(sheet, speed, start, end, denied)
    if any(start <= at < end and kind not in QUIET for kind, at in told.absent):
        return "smooth"  # "ran it up to 70 without a quiver"
    for kind, role in COURSE:
        hit = sheet.first_in(kind, start, end)
        if hit is not None and denied.covering(hit.start) is None:
            return "stops" if role == "ends" and speed.shape == "below" else role
    then = _clause_after(sheet, end, denied)
    if then:
        return then
    trailing = sheet.last_in("deny", speed.end, end)
    if trailing is not None and trailing.end >= end:
        return "smooth"
    driven = sheet.first_in("riding", max(0, speed.start - 4), speed.start + 1) is not None
    if driven and sheet.words[start] not in CONDITIONAL:
        return "riding"
    return ""


def _reaches(sheet: Sheet, speed: Speed, start: int, begins: Hit) -> bool:
    """ "At 60 it starts shaking", "whenever I reach 60 it begins": not what once began."""
    first = sheet.words[start + 1 if sheet.words[start] in SKIPPED else start]
    if first in ("at", "@"):
        return True
    told = sheet.within("starts", begins.start, begins.start + 1)
    led = sheet.words[max(start, speed.start - REACHING_WORDS) : speed.start]
    return not (any(hit.value == "past" for hit in told) or REACHING.isdisjoint(led))


def _in_vain(sheet: Sheet, start: int, end: int) -> bool:
    """ "even slowing down to 50 didn't help": it goes on, but nobody says where it ends."""
    return any(hit.value == "no_change" for hit in sheet.within("result", start, end))


def _clause_after(sheet: Sheet, at: int, denied: Scopes) -> str:
    """ "speed up to 60 and it is smooth": the next clause tells, when it names no speed."""
    if at >= len(sheet.words) or sheet.words[at] not in ("and", "where"):
        return ""
    start, end = sheet.stretch(sheet.clause, at)
    if end - start > LONG_CLAUSE or any(w[0].isdigit() for w in sheet.words[start:end]):
        return ""
    for kind, role in (("ends", "ends"), ("fine", "smooth")):
        hit = sheet.first_in(kind, start, end)
        if hit is not None and denied.covering(hit.start) is None:
            return role
    return ""


def _of_sensation(sheet: Sheet, speed: Speed, start: int, end: int, denied: Scopes) -> str:
    """The clause names a sensation that is there."""
    if sheet.first_in("ends", start, speed.start) is not None:
        return "stops" if speed.shape == "below" else "ends"
    near = sheet.within("symptom", max(start, speed.start - BRAKE_REACH), speed.end + BRAKE_REACH)
    if any(hit.value == "condition.braking" and hit.start < end for hit in near):
        return "braking"
    before = max(start, speed.start - 6)
    if sheet.first_in("starts", before, speed.start + 1) is not None:
        return "starts"
    if sheet.first_in("peak", before, speed.start + 1) is not None:
        return "peak"
    begins = sheet.first_in("starts", speed.end, min(end, speed.end + STARTS_REACH))
    if begins is not None and speed.shape == "point" and _reaches(sheet, speed, start, begins):
        return "starts"
    return "felt"


def _until(sheet: Sheet, at: int, sensed: list[int]) -> str:
    """ "fine until 60", "not until 60" start it; "shakes until 45" ends it."""
    segment = sheet.stretch(sheet.segment, at)
    for ends in sheet.within("ends", max(segment[0], at - UNTIL_REACH), at):
        if sheet.any_of(("deny",), ends.start - 2, ends.start):
            return "stops"  # "did not stop until 40"
    quiet = sheet.any_of(("fine", "deny"), segment[0], at + 1) or sheet.words[at] == "not"
    if quiet:
        return "starts"
    falling = any(h.value == "condition.coasting" for h in sheet.within("symptom", segment[0], at))
    if falling or sheet.any_of(("slowing",), at, segment[1]):
        return "stops"
    going_on = sheet.any_of(("starts", "stays"), segment[0], at)
    return "ends" if going_on or any_between(sensed, segment[0], at) else "starts"


def _from_before(sheet: Sheet, speed: Speed, said: list[Said]) -> str:
    """A short clause repeats the meaning of the one before: "smooth below 50 and over 65"."""
    if not said:
        return ""
    start, end = sheet.stretch(sheet.clause, speed.start)
    last = said[-1]
    same = sheet.segment[last.speed.start] == sheet.segment[speed.start]
    return last.role if same and end - start <= SHORT_CLAUSE and last.role != "riding" else ""


def felt_range(sheet: Sheet, said: list[Said]) -> tuple[SpeedRange | None, str]:
    """The range of speeds it is felt at, and the pattern when the text spells one out."""
    felt = [s.speed for s in said if s.role in ("felt", "starts", "peak")]
    for role in ("braking", "riding"):
        if not felt:
            felt = [s.speed for s in said if s.role == role]
    starts = [s.speed for s in said if s.role == "starts"]
    low, high = _hull(felt, starts, [s.speed for s in said if s.role == "peak"])
    low, high, gone = _bounded(said, low, high, "slowing" in sheet.hits)
    if low is None and high is None:
        return None, ""
    if low == high and _never_below(said, low):
        high = None
    peaks = [s.speed.low for s in said if s.role == "peak" and s.speed.shape == "point"]
    used = felt or [s.speed for s in said if s.role in ("smooth", "ends", "stops")]
    span = sheet.span(used[0].start, used[0].end)
    digits = [round(v, 1) if v is not None else None for v in (low, high)]
    found = SpeedRange(digits[0], digits[1], peaks[0] if peaks else None, "read", span)
    if gone and low is not None:
        return found, "only_in_band"
    only_low = low is None and high is not None and high <= LOW_SPEED_MPH
    return found, "low_speed_only" if only_low else ""


def _never_below(said: list[Said], low: float | None) -> bool:
    """ "Shakes at 40. Never below 40": it starts there, and the top is open."""
    quiet = [s.speed for s in said if s.role == "smooth" and s.speed.shape == "below"]
    return any(speed.high == low for speed in quiet)


def _hull(
    felt: list[Speed], starts: list[Speed], peaks: list[Speed]
) -> tuple[float | None, float | None]:
    """Lowest and highest speed named; a start, or "above", leaves the top open."""
    lows = [s.low for s in felt if s.low is not None]
    highs = [s.high for s in felt if s.high is not None]
    open_top = any(s.high is None for s in felt)
    closed = [s.high or 0 for s in felt if s not in peaks or s.shape != "point"]
    begins = [s.low or 0 for s in starts if s.shape in ("point", "above")]
    if begins and max(begins) >= max(closed, default=0):
        open_top = True
    low = min(lows) if lows else None
    return low, None if open_top or not highs else max(highs)


def _bounded(
    said: list[Said], low: float | None, high: float | None, slowing: bool
) -> tuple[float | None, float | None, bool]:
    """Where it ends and where it is smooth bounds the range."""
    gone = False
    felt_lows = [s.speed.low or 0 for s in said if s.role in ("felt", "starts", "peak")]
    pointed = all(s.speed.shape == "point" for s in said if s.role in ("felt", "peak"))
    pointed = pointed and not any(s.role == "starts" for s in said)
    highest_low = max(felt_lows, default=0)
    ranged = any(s.speed.shape == "range" for s in said if s.role in ("felt", "starts", "peak"))
    for speed, role in ((s.speed, s.role) for s in said):
        edge = speed.low if speed.low is not None else speed.high
        if edge is None:
            continue
        if role == "ends" and slowing and low is not None and edge < low:
            role = "stops"  # "pulses when slowing from 60, quits by 25"
        below = role == "stops" or (role == "smooth" and speed.shape == "below")
        above = role == "ends" or (role == "smooth" and speed.shape == "above")
        if below and role == "stops" and pointed and low is not None and edge < low:
            low = edge  # set off at one speed, stops only at a lower one
        elif below and (low is None or low < edge) and (high is None or high >= edge):
            low = edge
        elif above and (low is None or edge >= low) and edge >= highest_low:
            gone = True
            if high is None or high > edge or not ranged:
                high = edge
    return low, high, gone
