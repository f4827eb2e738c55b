"""`kind: balance` -> Balance: balancer readings, trial weights, weights by speed."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from advisor.intake.balance_rows import (
    LEAST_KG,
    error_of,
    mass_readings,
    mass_within,
    nulling_runs,
    vibration_runs,
)
from advisor.intake.checker import Checker
from advisor.intake.reading_fields import KILOGRAMS, Fields, angle_rad
from advisor.intake.runout_reading import DIRECTIONS
from advisor.model.place import Place
from advisor.model.reading import ZERO_WORDS, Balance
from advisor.physics.units import KG_PER_LB, M_PER_IN, mph_to_m_s
from advisor.yaml_marks import Key

METHODS = ("measured", "single_plane", "four_run", "two_plane", "two_speed")
ROWS = {
    "measured": ("of", "plane", "amount", "at"),
    "single_plane": ("run", "weight", "weight_at", "amount", "at"),
    "four_run": ("run", "weight", "weight_at", "amount"),
    "two_plane": ("run", "plane", "weight", "weight_at", "point", "amount", "at"),
    "two_speed": ("speed_mph", "weight", "weight_at", "sd"),
}
KEYS = (
    "kind", "name", "method", "place", "unit", "of", "shows", "counted_from", "direction",
    "readings", "reading_sd", "vibration_unit", "vibration_sd", "speed_mph", "weight_radius_in",
    "weight_radius_mm", "mass_lb", "mass_kg", "plane_distance_in", "plane_distance_mm",
    "weight_on", "reachable", "windows", "first_window", "weight_step", "material", "fixing",
    "cross_section_mm2",
)  # fmt: skip
FASTEST_MPH = 120.0


def read_balance(
    data: Mapping[str, Any], at: Key, check: Checker, place: Place | None
) -> Balance | None:
    """One mapping as Balance; None where problems were noted in the checker."""
    before = len(check.problems)
    f = Fields(data, at, check, KEYS)
    method = f.word("method", METHODS, "measured")
    unit = f.word("unit", KILOGRAMS)
    counted = f.word("counted_from", ZERO_WORDS, "valve")
    sense = -1.0 if f.word("direction", DIRECTIONS, "clockwise") == DIRECTIONS[1] else 1.0
    if method is None or unit is None or counted is None:
        return None
    rows = f.rows("readings", ROWS[method])
    filled: dict[str, Any] = {}
    if method == "measured":
        filled["masses"] = mass_readings(f, rows, unit, sense)
    elif method == "two_speed":
        filled["nulling"], filled["nulling_has_angle"] = nulling_runs(f, rows, unit, sense)
    else:
        filled["runs"] = vibration_runs(f, rows, method, unit, sense)
    made = Balance(
        place=place,
        name=f.text("name"),
        method=method,  # type: ignore[arg-type]
        unit=unit,  # type: ignore[arg-type]
        counted_from=counted,  # type: ignore[arg-type]
        vibration_unit=f.text("vibration_unit"),
        vibration_sd=f.number("vibration_sd", 0, 1e6) or 0.0,
        **filled,
        **_wheel(f),
        **_correction(f, unit, sense),
    )
    return made if len(check.problems) == before else None


def _wheel(f: Fields) -> dict[str, Any]:
    """The wheel the weights go on."""
    speed = f.number("speed_mph", 0, FASTEST_MPH, "mph")
    if speed == 0:
        f.problem("speed_mph", "at 0 mph nothing pulls", f"above 0, to {FASTEST_MPH:g} mph")
    return {
        "speed_m_s": mph_to_m_s(speed) if speed else None,
        "weight_radius_m": f.of_units(
            {"weight_radius_in": M_PER_IN, "weight_radius_mm": 0.001}, 0.1, 0.6
        ),
        "assembly_mass_kg": f.of_units({"mass_lb": KG_PER_LB, "mass_kg": 1.0}, 5, 400),
        "plane_distance_m": f.of_units(
            {"plane_distance_in": M_PER_IN, "plane_distance_mm": 0.001}, 0.05, 0.6
        ),
    }


def _correction(f: Fields, unit: str, sense: float) -> dict[str, Any]:
    """What the correction may be made of and where it may go."""
    weights = f.check.pack.weights
    fixings = sorted({name for w in weights.values() for name in w.sections_mm2})
    section = f.number("cross_section_mm2", 5, 2000, "mm2")
    step = mass_within(f, "weight_step", unit, LEAST_KG)
    return {
        "reading_sd_kg": error_of(f, "reading_sd", unit),
        "weight_on_kg": mass_within(f, "weight_on", unit),
        "weight_step_kg": step,
        "reachable_rad": _reachable(f, sense),
        "material": f.word("material", weights, "") or "",
        "fixing": f.word("fixing", fixings, "") or "",
        "cross_section_m2": section * 1e-6 if section else None,
    }


def _reachable(f: Fields, sense: float) -> tuple[float, ...]:
    """Clock positions, or windows between spokes, where a weight can be put; radians clockwise."""
    if f.has("reachable") and f.has("windows"):
        f.problem("windows", "reachable says the places already", "one of the two")
    if "reachable" in f.data:
        listed = [angle_rad(f.check, at, said, sense) for said, at in f.values("reachable")]
        return tuple(angle for angle in listed if angle is not None)
    count = f.whole("windows", 2, 36)
    if count is None:
        return ()
    first = f.angle("first_window", sense) or 0.0
    return tuple(first + sense * 2 * math.pi * k / count for k in range(count))
