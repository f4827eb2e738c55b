"""Causes: priors, what shakes, remedies; and the sources everything names.

Each of these records is one entry of one kind of file in rules/, and its schema.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Literal

from pydantic import Field

from advisor.model.base import Record
from advisor.model.terms import Level, Probability, Seen, Slug, VehicleType


class Source(Record):
    """Where a statement or figure comes from; the only place a source is spelled out.

    seen: published = the text itself was read; secondary = quoted by someone else.
    """

    id: Slug
    title: str
    section: str = ""
    year: str = ""
    seen: Seen
    url: str = ""
    note: str = ""


class Prior(Record):
    """How often a unit in service has this fault badly enough to be felt, by axle group.

    For a cause that is not at a wheel end use `vehicle`. Values are probabilities.
    """

    steer: Probability | None = None
    drive: Probability | None = None
    tag: Probability | None = None
    trailer: Probability | None = None
    vehicle: Probability | None = None


class Excitation(Record):
    """How a cause shakes the vehicle, for the speed-band comparison.

    of: which rotation the order counts; order: cycles per turn; force: how the force grows with
    road speed (speed_squared, constant) or `self_excited` (own frequency once triggered),
    `any_speed` (a broadband kick through a fixed mode), `torque` (speed squared, under load only).
    """

    of: Literal["wheel", "shaft", "engine", "none"]
    order: Annotated[float, Field(ge=0)] = 1.0
    force: Literal["speed_squared", "constant", "self_excited", "any_speed", "torque"]
    share: Annotated[float, Field(gt=0, le=1)] = 1.0


class Remedy(Record):
    """What corrects a cause, in order; what it needs; how to verify; what to do if it returns."""

    steps: list[str]
    needs: str
    verify: str
    if_it_comes_back: str
    cautions: list[Slug] = []


class Cause(Record):
    """A fault that explains the complaint."""

    id: Slug
    name: str
    family: Slug
    what: str
    at_wheel_end: bool
    needs_dual: bool = False
    prior: Prior
    prior_by_vehicle: Mapping[VehicleType, Prior] = {}
    prior_source: Slug
    prior_because: str
    excites: list[Excitation] = []
    orders_say: str = ""
    confirm: str
    confirmed_by: list[Slug]
    remedy: Remedy
    danger: Level = "none"
    danger_because: str = ""
    specialist: str
    source: Slug


class Family(Record):
    """A group of causes shown together; its id stands for all its causes in a rule."""

    id: Slug
    name: str
    what: str
