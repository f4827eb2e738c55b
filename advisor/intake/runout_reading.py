"""`kind: runout` -> Runout: dial readings in one or several set-ups."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from advisor.intake.checker import Checker
from advisor.intake.reading_fields import METERS, MISSED, Fields, angle_rad, in_unit
from advisor.model.place import Place
from advisor.model.reading import DIAL_PLACES, ZERO_WORDS, DialSetUp, Runout
from advisor.physics.units import M_PER_IN
from advisor.yaml_marks import Key

TURNS = ("wheel_turn_studs", "wheel_turn_degrees", "tire_turn_studs", "tire_turn_degrees")
SET_UP_KEYS = (*TURNS, "positions", "readings")
KEYS = (
    "kind", "name", "of", "place", "unit", "counted_from", "direction", "studs", "dial_range",
    "reading_sd", "pilot_clearance", "set_ups", *SET_UP_KEYS,
)  # fmt: skip
DIRECTIONS = ("clockwise", "counterclockwise")
# No dial indicator on a wheel travels further, and no wheel that can be mounted runs out more
# (judgement); a larger number has the wrong unit.
MOST_TRAVEL_M = 2 * M_PER_IN
MOST_SPREAD_M = 1 * M_PER_IN


def read_runout(
    data: Mapping[str, Any], at: Key, check: Checker, place: Place | None
) -> Runout | None:
    """One mapping as Runout; None where problems were noted in the checker."""
    before = len(check.problems)
    f = Fields(data, at, check, KEYS)
    of = f.word("of", DIAL_PLACES)
    unit = f.word("unit", METERS)
    counted = f.word("counted_from", ZERO_WORDS)
    sense = -1.0 if f.word("direction", DIRECTIONS, "clockwise") == DIRECTIONS[1] else 1.0
    studs = f.whole("studs", 3, 12)
    if unit is None or of is None or counted is None:
        return None
    set_ups = _set_ups(f, unit, sense, studs)
    turned = any(s.wheel_turn_rad or s.tire_turn_rad for s in set_ups)
    if counted == "mark" and turned:
        what = "a part was turned, so it must be said which part the mark is on"
        f.problem("counted_from", what, "valve, stud, hub_mark, tire_mark")
    if any(s.tire_turn_rad for s in set_ups) and DIAL_PLACES[of].carries != "whole":
        f.problem("of", f"turning the tire does not move the {DIAL_PLACES[of].words}", "tread")
    made = Runout(
        place=place,
        name=f.text("name"),
        of=of,
        unit="mm" if unit == "mm" else "in",
        counted_from=counted,  # type: ignore[arg-type]
        set_ups=tuple(set_ups),
        studs=studs,
        dial_turn_m=_positive(f, "dial_range", unit),
        reading_sd_m=_positive(f, "reading_sd", unit),
        pilot_clearance_m=f.quantity("pilot_clearance", unit, METERS, 0.0),
    )
    return made if len(check.problems) == before else None


def _positive(f: Fields, key: str, unit: str) -> float | None:
    found = f.quantity(key, unit, METERS)
    if found is not None and found <= 0:
        f.problem(key, f'"{f.data[key]}" must be above zero')
    return found


def _set_ups(f: Fields, unit: str, sense: float, studs: int | None) -> list[DialSetUp]:
    if not f.has("set_ups"):
        return [s for s in [_set_up(f, unit, sense, studs)] if s]
    for key in SET_UP_KEYS:
        if f.has(key) and key != "positions":
            f.problem(key, f"with set_ups, {key} stands in each of them", "inside set_ups")
    made = []
    for row in f.rows("set_ups", SET_UP_KEYS):
        if "positions" not in row.data and "positions" in f.data:
            # the same marks for all set-ups are written once
            row.data = {**row.data, "positions": f.data["positions"]}
        made.append(_set_up(row, unit, sense, studs))
    return [s for s in made if s]


def _set_up(f: Fields, unit: str, sense: float, studs: int | None) -> DialSetUp | None:
    wheel = _turn(f, "wheel", sense, studs)
    tire = _turn(f, "tire", sense, studs)
    readings = [_reading(f.check, at, said, unit) for said, at in f.values("readings")]
    finite = [r for r in readings if r is not None and math.isfinite(r)]
    if any(r is None for r in readings):
        return None
    if len(finite) < 2:
        if "readings" in f.data:
            what = f"{len(finite)} reading is no runout: nothing can be said"
            f.problem("readings", what, "at least 6 positions, better 12")
        return None
    if max(finite) - min(finite) > MOST_SPREAD_M:
        spread = (max(finite) - min(finite)) / M_PER_IN
        what = f"the readings spread over {spread:.3g} in, more than any wheel that can be mounted"
        f.problem("readings", what, "", "is the unit right? in, mm or thousandths")
        return None
    angles = _positions(f, len(readings), sense)
    if angles is None:
        return None
    values = tuple(r for r in readings if r is not None)
    return DialSetUp(
        angle_rad=tuple(angles), reading_m=values, wheel_turn_rad=wheel, tire_turn_rad=tire
    )


def _reading(check: Checker, at: Key, said: Any, unit: str) -> float | None:
    """Meters, NaN for a missed position, None with a problem noted."""
    if str(said).strip().lower() in MISSED:
        return math.nan
    value = in_unit(check, at, said, unit, METERS)
    if value is not None and abs(value) > MOST_TRAVEL_M:
        what = f"{said} {unit} is more than a dial indicator travels"
        check.add(at, what, "", "is the unit right? in, mm or thousandths")
        return None
    return value


def _turn(f: Fields, part: str, sense: float, studs: int | None) -> float:
    """How far a part was turned from the first marks, radians clockwise."""
    by_studs, by_degrees = f"{part}_turn_studs", f"{part}_turn_degrees"
    if f.has(by_studs) and f.has(by_degrees):
        f.problem(by_degrees, f"{by_studs} says the turn already", "one of the two")
    if f.has(by_studs):
        steps = f.whole(by_studs, -12, 12)
        if steps and studs is None:
            f.problem(by_studs, "a turn in studs needs the number of studs", "studs: 10")
            return 0.0
        return sense * 2 * math.pi * (steps or 0) / (studs or 1)
    degrees = f.number(by_degrees, -360, 360, "degrees")
    return sense * math.radians(degrees or 0.0)


def _positions(f: Fields, count: int, sense: float) -> list[float] | None:
    """Angles of the readings; one reading more than positions closes the turn."""
    said = f.data.get("positions", str(count))
    if isinstance(said, list):
        if len(said) != count:
            what = f"{len(said)} positions and {count} readings"
            f.problem("positions", what, "one for each", "write missed for one not read")
            return None
        return _listed(f, said, sense)
    number = f.whole("positions", 2, 360) if f.has("positions") else count
    if number is None:
        return None
    if count not in (number, number + 1):
        what = f"{number} positions and {count} readings"
        allowed = f"{number}, or {number + 1} when the first is read again at the end"
        f.problem("positions", what, allowed, "write missed for one not read")
        return None
    return [sense * 2 * math.pi * k / number for k in range(count)]


def _listed(f: Fields, said: Sequence[Any], sense: float) -> list[float] | None:
    if len(said) > 3 and all(_is_hour(p) for p in said):
        what = "bare numbers are degrees, and these look like hours of the clock"
        f.problem("positions", what, "", "write 1:00, 2:00 or 30, 60")
        return None
    found = [
        angle_rad(f.check, (*f.at, "positions", index), p, sense) for index, p in enumerate(said)
    ]
    angles = [angle for angle in found if angle is not None]
    return angles if len(angles) == len(said) else None


def _is_hour(said: Any) -> bool:
    text = str(said).strip()
    return text in {str(n) for n in range(13)}
