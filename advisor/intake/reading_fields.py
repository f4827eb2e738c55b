"""One mapping of a reading, field by field: units, angles, lists, problems with their place."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from advisor.errors import did_you_mean, one_of
from advisor.intake.checker import Checker
from advisor.physics.units import KG_PER_OZ, M_PER_IN
from advisor.yaml_marks import Key

MISSED = {"", "-", "missed", "nan", "~", "null", "none", "n/a", "?"}
METERS = {"in": M_PER_IN, "mm": 0.001, "thousandths": M_PER_IN / 1000}
KILOGRAMS = {"oz": KG_PER_OZ, "g": 0.001}
SPELLINGS = {"inch": "in", "inches": "in", '"': "in", "thou": "thousandths", "ounces": "oz"}
_QUANTITY = re.compile(r"^([-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?)\s*([a-z\"/]*)$", re.I)
_CLOCK = re.compile(r"^(\d{1,2}):(\d{2})(?:\s*o'?clock)?$|^(\d{1,2})\s*o'?clock$", re.I)
_DEGREES = re.compile(r"^([-+]?(?:\d+\.?\d*|\.\d+))\s*(?:deg|degrees|°)?$", re.I)


class Fields:
    """Takes the fields of one mapping; unknown keys are problems at once."""

    def __init__(self, data: Mapping[str, Any], at: Key, check: Checker, allowed: Sequence[str]):
        self.data, self.at, self.check = data, at, check
        for key in data:
            if key not in allowed:
                hint = did_you_mean(str(key), allowed)
                check.add((*at, key), f'unknown key "{key}"', one_of(allowed, 40), hint)

    def has(self, key: str) -> bool:
        """Whether the key is there with something in it."""
        return str(self.data.get(key, "")).strip().lower() not in MISSED

    def problem(self, key: str, what: str, allowed: str = "", hint: str = "") -> None:
        """Note a problem at a key, or at the mapping when the key is not there."""
        self.check.add((*self.at, key) if key else self.at, what, allowed, hint)

    def word(self, key: str, choices: Iterable[str], default: str | None = None) -> str | None:
        """One of some words; without a default the key must be there."""
        pool = list(choices)
        if not self.has(key):
            if default is None:
                self.problem(key, f'the key "{key}" is missing', one_of(pool))
            return default
        return self.check.pick((*self.at, key), self.data[key], pool, key.replace("_", " "))

    def text(self, key: str) -> str:
        """Free text, or empty."""
        return str(self.data[key]).strip() if self.has(key) else ""

    def number(self, key: str, low: float, high: float, unit: str = "") -> float | None:
        """A number within bounds, None where the key is missing or wrong."""
        if not self.has(key):
            return None
        return self.check.number((*self.at, key), self.data[key], low, high, unit)

    def whole(self, key: str, low: int, high: int) -> int | None:
        """A whole number within bounds."""
        found = self.number(key, low, high)
        if found is None:
            return None
        if found != int(found):
            self.problem(key, f"{found:g} is not a whole number", f"{low} to {high}")
            return None
        return int(found)

    def of_units(self, names: Mapping[str, float], low: float, high: float) -> float | None:
        """A quantity whose unit ends its key: {"mass_lb": 0.4536, "mass_kg": 1.0}; SI value."""
        found = [(key, factor) for key, factor in names.items() if self.has(key)]
        if len(found) > 1:
            keys = " and ".join(key for key, _ in found)
            self.problem(found[1][0], f"{keys} say the same thing in two units", "one of them")
        for key, factor in found[:1]:
            unit = key.rsplit("_", 1)[1]
            value = self.number(key, low / factor, high / factor, unit)
            return None if value is None else value * factor
        return None

    def quantity(
        self, key: str, unit: str, factors: Mapping[str, float], low: float = -math.inf
    ) -> float | None:
        """A number in the reading's own unit, as SI; None where missing or wrong."""
        if not self.has(key):
            return None
        value = in_unit(self.check, (*self.at, key), self.data[key], unit, factors)
        if value is not None and value < low:
            self.problem(key, f'"{self.data[key]}" is too small', f"at least {low:g} {unit}")
            return None
        return value

    def angle(self, key: str, sense: float) -> float | None:
        """A clock position or degrees as radians clockwise; None where missing or wrong."""
        if not self.has(key):
            return None
        return angle_rad(self.check, (*self.at, key), self.data[key], sense)

    def rows(self, key: str, allowed: Sequence[str]) -> list[Fields]:
        """A list of mappings."""
        found = self.data.get(key)
        if not isinstance(found, list) or not found:
            self.problem(key, f'"{key}" must be a list of readings', "", "each on its own line")
            return []
        made = []
        for index, item in enumerate(found):
            at = (*self.at, key, index)
            if isinstance(item, dict):
                made.append(Fields(item, at, self.check, allowed))
            else:
                self.check.add(at, f'"{item}" is not a mapping of keys to values', one_of(allowed))
        return made

    def values(self, key: str) -> list[tuple[Any, Key]]:
        """The items of a list with their places."""
        found = self.data.get(key)
        if not isinstance(found, list):
            self.problem(key, f'"{key}" must be a list', "[0.010, 0.012, ...]")
            return []
        return [(item, (*self.at, key, index)) for index, item in enumerate(found)]


def in_unit(
    check: Checker, at: Key, said: Any, unit: str, factors: Mapping[str, float]
) -> float | None:
    """A number with or without its unit behind it, as SI; another unit is a problem."""
    text = str(said).strip()
    match = _QUANTITY.match(text)
    if match is None:
        hint = "use a decimal point" if "," in text else "write missed where it was not read"
        check.add(at, f'"{text}" is not a number', f"a number in {unit}", hint)
        return None
    behind = match[2].lower()
    behind = SPELLINGS.get(behind, behind)
    if behind and behind != unit:
        what = f'"{text}" mixes units: this reading is in {unit}'
        check.add(at, what, f"all numbers in {unit}", "convert it or give the unit once")
        return None
    return float(match[1]) * factors[unit]


def angle_rad(check: Checker, at: Key, said: Any, sense: float) -> float | None:
    """sense: 1 where degrees count clockwise seen from outside, -1 where the other way. A clock
    position is clockwise always."""
    text = str(said).strip()
    clock = _CLOCK.match(text)
    if clock:
        hour, minute = int(clock[1] or clock[3]), int(clock[2] or 0)
        if hour <= 12 and minute < 60:
            return math.radians(hour % 12 * 30 + minute / 2)
        check.add(at, f'"{text}" is not a clock position', "1:00 to 12:59")
        return None
    degrees = _DEGREES.match(text)
    if degrees and -720 <= float(degrees[1]) <= 720:
        return sense * math.radians(float(degrees[1]))
    check.add(at, f'"{text}" is not a position', "degrees such as 45, or the clock such as 1:30")
    return None
