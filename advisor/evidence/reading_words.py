"""Numbers of a reading in words a tech can chalk on a tire."""

from __future__ import annotations

import math

from advisor.model.pack import Limit, Pack
from advisor.model.place import Place
from advisor.physics.problem import Flaw, PhysicsError
from advisor.physics.units import M_PER_IN, kg_to_oz, n_to_lbf

GRADES = {
    "published": "published",
    "secondary": "quoted, not read",
    "common practice": "common practice, no source",
    "memory": "from memory",
    "judgement": "judgement, no source",
    "invented": "invented for the demo",
}


def length(value_m: float, unit: str) -> str:
    """'0.034 in' or '0.86 mm', one digit more where it would read as nothing."""
    value, digits = (value_m * 1000, 2) if unit == "mm" else (value_m / M_PER_IN, 3)
    if 0 < abs(value) < 10**-digits:
        digits += 1
    return f"{value:.{digits}f} {'mm' if unit == 'mm' else 'in'}"


def in_unit(value_m: float, unit: str) -> float:
    """Meters as a number in the reading's unit, rounded for showing."""
    return round(value_m * 1000, 3) if unit == "mm" else round(value_m / M_PER_IN, 4)


def mass(kg: float, unit: str) -> str:
    """'10.2 oz (290 g)', the file's unit first."""
    ounces, grams = f"{kg_to_oz(kg):.1f} oz", f"{kg * 1000:.0f} g"
    return f"{grams} ({ounces})" if unit == "g" else f"{ounces} ({grams})"


def mass_in(kg: float, unit: str) -> float:
    """Kilograms as a number in the reading's unit, rounded for showing."""
    return round(kg * 1000, 1) if unit == "g" else round(kg_to_oz(kg), 2)


def force(newtons: float) -> str:
    """'63 lbf (279 N)'."""
    return f"{n_to_lbf(newtons):.0f} lbf ({newtons:.0f} N)"


def degrees(angle_rad: float) -> float:
    """In [0, 360), to a tenth."""
    return round(math.degrees(angle_rad) % 360, 1) % 360


def clock(angle_rad: float) -> str:
    """Nearest half hour of a clock face with the mark at 12: "4 o'clock", "half past 4"."""
    halves = round(degrees(angle_rad) / 15) % 24
    hour = halves // 2 or 12
    return f"half past {hour}" if halves % 2 else f"{hour} o'clock"


def spot(angle_rad: float, zero: str, sd_rad: float | None = None) -> str:
    """ "4 o'clock with the valve stem at 12 (118 degrees clockwise, +/- 6)"."""
    give = f", +/- {max(math.degrees(sd_rad), 1):.0f}" if sd_rad is not None else ""
    about = f"{degrees(angle_rad):.0f} degrees clockwise{give}"
    return f"{clock(angle_rad)} with the {zero} at 12 ({about})"


def chance(probability: float) -> str:
    """A probability as a share in a hundred, never 0 or 100."""
    return f"{min(max(round(100 * probability), 1), 99)} in 100"


def limit(figure: Limit, pack: Pack) -> str:
    """A limit with its unit, its source and how that was seen."""
    source = pack.sources[figure.source]
    named = source.title
    if source.seen in ("judgement", "common practice", "memory", "invented"):
        said = GRADES[figure.seen]
    else:
        parts = [named, figure.section or source.section, source.year, GRADES.get(figure.seen, "")]
        said = ", ".join(part for part in parts if part)
    return f"{figure.value:g} {figure.unit} ({said})"


def where(place: Place | None) -> str:
    """', right steer' or nothing."""
    return f", {place.words}" if place else ""


def flaw(found: Flaw | PhysicsError) -> str:
    """What is wrong, what can still be said, what to measure again."""
    return f"{found.what}. Still known: {found.still}. Measure again: {found.remeasure}."


def way(turn_rad: float) -> str:
    """'135 degrees clockwise (seen from outside)', the shorter way round."""
    side = "clockwise" if turn_rad >= 0 else "counterclockwise"
    return f"{abs(math.degrees(turn_rad)):.0f} degrees {side} (seen from outside)"
