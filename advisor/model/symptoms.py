"""What can be answered, and the rules that say how often it goes with which causes.

Each of these records is one entry of one kind of file in rules/, and its schema.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from advisor.model.base import Record
from advisor.model.terms import Background, Duty, Group, Slug, VehicleType, WheelKind, Word


class Derive(Record):
    """A symptom that follows from a number the driver gave."""

    field: Literal["speed.low_mph", "speed.high_mph", "speed.peak_mph", "speed.width_mph"]
    at_most: float | None = None
    at_least: float | None = None
    absent_beyond: float


class SymptomValue(Record):
    """One thing that can be answered yes, no or left unknown.

    background: how often it is reported when none of the causes in its rules is present.
    aspect: values that restate each other share one and are tempered together.
    derive: set from a number instead of being asked (speed.low_mph at_most 30).
    settled_by: ids of symptoms; once one of them was answered yes there is no point in asking this.
    """

    name: str
    ask: str = ""
    background: Background = "rarely"
    aspect: Slug | None = None
    derive: Derive | None = None
    settled_by: list[Slug] = []
    observable: Literal["driver", "shop", "either"] = "driver"


class SymptomKey(Record):
    """A key of `symptoms:` in a case file with its values; the symptom id is `key.value`.

    exclusive: at most one value holds, so reporting one speaks against the others.
    placed: the answer is given per place.
    """

    key: Slug
    what: str
    ask: str
    several: bool = True
    exclusive: bool = False
    placed: bool = False
    values: Mapping[Slug, SymptomValue]


class Symptom(Record):
    """One symptom as the engine sees it: a value of a key in symptoms.yaml, the result of an
    inspection (found.ID), or what a remedy did (cured_by.ID, came_back_after.ID)."""

    id: Slug
    key: Slug
    name: str
    ask: str
    background: Background
    aspect: str
    placed: bool
    exclusive: bool = False
    derive: Derive | None = None
    settled_by: list[Slug] = []
    observable: Literal["driver", "shop", "either"] = "driver"


class Given(Record):
    """Context that must be known and match for a rule to apply; known, not weighed."""

    vehicle: list[VehicleType] = []
    place: list[Group] = []
    duty: list[Duty] = []
    wheel: list[WheelKind] = []


class Example(Record):
    """What one rule alone must do: the answers, and what they raise or lower."""

    say: Mapping[str, object]
    raises: Slug | None = None
    lowers: Slug | None = None
    moves: Literal["nothing"] | None = None


class Rule(Record):
    """One statement: how often a symptom shows with which causes, why, and who says so."""

    id: Slug
    symptom: Slug
    given: Given = Given()
    shows: Mapping[Word, list[Slug]]
    otherwise: Background | None = None
    because: str
    mistaken_when: str
    source: Slug
    section: str = ""
    status: Literal["trial", "settled", "retired"] = "trial"
    confirmed_by: list[str] = []
    since: str
    examples: list[Example]
