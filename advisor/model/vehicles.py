"""Vehicle types, their mode bands, and tires.

Each of these records is one entry of one kind of file in rules/, and its schema.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated

from pydantic import Field

from advisor.model.base import Record
from advisor.model.terms import Duty, Group, Seen, Slug, VehicleType


class ModeBand(Record):
    """A band of natural frequencies. group: axle group it belongs to, if any."""

    mode: Slug
    name: str
    low_hz: Annotated[float, Field(gt=0)]
    high_hz: Annotated[float, Field(gt=0)]
    damping_ratio: Annotated[float, Field(gt=0, lt=1)]
    group: Group | None = None
    felt: str
    source: Slug
    seen: Seen


class AxleGroup(Record):
    """An axle group of a vehicle type; dual: it carries two tires a side; attached: it belongs
    to a towed unit that may not be there."""

    group: Group
    name: str
    dual: bool = False
    attached: bool = False


class VehicleInfo(Record):
    """A type of vehicle."""

    id: VehicleType
    name: str
    axle_groups: list[AxleGroup]
    typical_tires: list[str]
    duty: Duty
    in_scope: bool = True
    scope_note: str = ""
    top_speed_mph: Annotated[float, Field(gt=0, le=120)]
    modes: list[ModeBand]
    model: Mapping[str, float] = {}
    model_source: Slug | None = None
    source: Slug


class Tire(Record):
    """A tire size. revs_per_mile wins over the diameter where it is given."""

    size: str
    overall_diameter_in: Annotated[float, Field(gt=15, lt=70)]
    revs_per_mile: Annotated[float, Field(gt=300, lt=1200)] | None = None
    tolerance_percent: Annotated[float, Field(gt=0, lt=10)] = 2.5
    source: Slug
    seen: Seen
    note: str = ""
