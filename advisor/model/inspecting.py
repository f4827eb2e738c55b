"""Inspections, the states of access they need, and the limits they are held against.

Each of these records is one entry of one kind of file in rules/, and its schema.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Literal

from pydantic import Field

from advisor.model.base import Record
from advisor.model.terms import Background, Duty, Group, Level, Seen, Slug, VehicleType, WheelKind


class Measure(Record):
    """A number an inspection yields, and how it compares.

    over: the limit ids it is held against (the one that fits vehicle, axle and wheel is used);
    repeatability: standard deviation of one careful reading, in the unit of the key.
    """

    key: Slug
    what: str
    unit: str
    over: list[Slug] = []
    repeatability: Annotated[float, Field(gt=0)]
    repeatability_source: Slug


class Inspection(Record):
    """A check someone does. Its outcome is the symptom `found.<id>`; rules say how reliable it is.

    access: state the vehicle must be in; at: `wheel_end` checks are done per place, `axle` per
    axle group, `vehicle` once; minutes: hands-on time without opening the access state.
    """

    id: Slug
    name: str
    access: Slug
    at: Literal["wheel_end", "axle", "vehicle"]
    groups: list[Group] = []
    vehicles: list[VehicleType] = []
    minutes: Annotated[float, Field(gt=0)]
    minutes_source: Slug
    tool: str
    how: list[str]
    found_means: str
    clear_means: str
    false_alarm: Background
    measures: list[Measure] = []
    limits: list[Slug] = []
    cautions: list[Slug] = []
    safety: bool = False
    if_found: Level = "none"
    source: Slug


class Access(Record):
    """A state of access: what it takes to open it, from which state it is reached."""

    id: Slug
    name: str
    after: Slug | None = None
    open_minutes: Annotated[float, Field(ge=0)]
    per: Literal["vehicle", "place"]
    cautions: list[Slug] = []
    how: str
    equipment: str
    source: Slug


class Limit(Record):
    """A figure something is held against. applies_to empty means anywhere the text says."""

    id: Slug
    what: str
    value: float
    low: float | None = None
    unit: str
    groups: list[Group] = []
    vehicles: list[VehicleType] = []
    duty: list[Duty] = []
    wheel: list[WheelKind] = []
    tire_class: list[Literal["standard", "rim_19_5", "wide_base"]] = []
    applies_to: str
    source: Slug
    section: str = ""
    seen: Seen
    checked_on: str
    note: str = ""


class Caution(Record):
    """A warning that stands beside the step it belongs to. short: the act, in one line."""

    id: Slug
    short: Annotated[str, Field(max_length=80)]
    text: str
    source: Slug
    us_rule: bool = False


class WorkItem(Record):
    """Something a shop did; evidence/ says which causes it usually cures."""

    id: Slug
    name: str
    source: Slug


class BalanceWeight(Record):
    """What weights are made of. sections_mm2: cross-section of a strip by how it is fixed (its id:
    clip_on, adhesive), for working out a length; cautions: beside every advice to use it."""

    id: Slug
    name: str
    density_kg_m3: Annotated[float, Field(gt=1000, lt=25000)]
    source: Slug
    seen: Seen
    sections_mm2: Mapping[Slug, Annotated[float, Field(gt=5, lt=2000)]] = {}
    sections_source: Slug
    cautions: list[Slug] = []


class JudgedValue(Record):
    """A figure that somebody had to judge, with its reason (rules/recordings.yaml)."""

    id: Slug
    what: str
    value: Annotated[float, Field(gt=0)]
    unit: str
    because: str
    source: Slug
