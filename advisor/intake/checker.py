"""Collects what is wrong with an input while it is being read, and checks common values."""

from __future__ import annotations

import datetime
import re
from collections.abc import Collection
from dataclasses import dataclass, field

from advisor.errors import Problem, did_you_mean, one_of
from advisor.model.pack import Pack, VehicleInfo
from advisor.model.place import Place, parse_place
from advisor.yaml_marks import Document, Key

YES = {"yes", "y", "true", "on", "present"}
NO = {"no", "n", "false", "off", "absent"}
NOT_SAID = {"unknown", "?", "", "not asked", "null", "~"}


@dataclass
class Checker:
    """One input being read against one pack."""

    document: Document
    pack: Pack
    vehicle: VehicleInfo | None = None
    problems: list[Problem] = field(default_factory=list)

    def add(self, at: Key, what: str, allowed: str = "", hint: str = "") -> None:
        """Note a problem at a key."""
        self.problems.append(self.document.problem(at, what, allowed, hint))

    def pick(self, at: Key, value: object, choices: Collection[str], kind: str) -> str | None:
        """A word out of a list, or None with a problem noted. Spaces and hyphens may stand for
        underscores."""
        if isinstance(value, (list, dict)):
            self.add(at, f"{found_words(value)} is not a {kind}", one_of(choices))
            return None
        word = str(value).strip()
        for form in (word, word.lower(), re.sub(r"[\s-]+", "_", word.lower())):
            if form in choices:
                return form
        hyphened = re.sub(r"[\s_]+", "-", word.lower())
        if hyphened in choices:
            return hyphened
        self.add(
            at, f'"{word}" is not a known {kind}', one_of(choices), did_you_mean(word, choices)
        )
        return None

    def number(self, at: Key, value: object, low: float, high: float, unit: str) -> float | None:
        """A number within bounds, or None with a problem noted. A unit written behind it is
        accepted when it is the expected one."""
        text = found_words(value).strip()
        bare = re.sub(rf"\s*{re.escape(unit)}$", "", text, flags=re.IGNORECASE) if unit else text
        try:
            number = float(bare)
        except ValueError:
            self.add(at, f'"{text}" is not a number', f"{low:g} to {high:g} {unit}".strip())
            return None
        if not low <= number <= high:
            self.add(
                at, f"{text} is outside what is possible", f"{low:g} to {high:g} {unit}".strip()
            )
            return None
        return number

    def yes_no(self, at: Key, value: object) -> str | None:
        """'yes', 'no', or None for unknown; anything else is a problem."""
        word = found_words(value).strip().lower()
        if word in YES:
            return "yes"
        if word in NO:
            return "no"
        if word not in NOT_SAID:
            self.add(at, f'"{word}" is not an answer', "yes, no, unknown")
        return None

    def date(self, at: Key, value: str | None) -> str | None:
        """An ISO date, checked."""
        if value is None or value.strip().lower() in NOT_SAID:
            return None
        try:
            return datetime.date.fromisoformat(value.strip()).isoformat()
        except ValueError:
            self.add(at, f'"{value}" is not a date', "year-month-day as 2031-04-12")
            return None

    def place(self, at: Key, value: object) -> Place | None:
        """A place that exists on this vehicle, or None with a problem noted."""
        place = parse_place(str(value))
        groups = self.vehicle.axle_groups if self.vehicle else []
        here = places_of(self.vehicle) if self.vehicle else []
        if place is None:
            said = found_words(value)
            self.add(at, f'"{said}" is not a place', one_of(here), did_you_mean(said, here))
            return None
        group = next((g for g in groups if g.group == place.group), None)
        if self.vehicle and group is None:
            what = f"a {self.vehicle.name} has no {place.group} axle"
            self.add(at, what, one_of(here))
            return None
        if group is not None and place.dual and not group.dual:
            self.add(at, f"the {place.group} axle of a {self.vehicle_name} carries single tires")
            return None
        return place

    @property
    def vehicle_name(self) -> str:
        """The vehicle type in words."""
        return self.vehicle.name if self.vehicle else "vehicle"


def found_words(value: object) -> str:
    """What was written, as it is shown in a message."""
    if isinstance(value, list):
        return "a list"
    return "a mapping" if isinstance(value, dict) else str(value)


def places_of(vehicle: VehicleInfo) -> list[str]:
    """Every place of a vehicle type in writing."""
    made: list[str] = []
    for axle in vehicle.axle_groups:
        made.append(axle.group)
        for side in ("left", "right"):
            made.append(f"{axle.group}_{side}")
            if axle.dual:
                made += [f"{axle.group}_{side}_{dual}" for dual in ("inner", "outer")]
    return made
