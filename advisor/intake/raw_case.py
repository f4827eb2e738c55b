"""The shape of a case file as a person writes it (the JSON Schema for editors comes from here)."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import Field

from advisor.model.base import Record

Slug = Annotated[str, Field(pattern=r"^[A-Za-z0-9][A-Za-z0-9_.-]{0,99}$")]


class RawVehicle(Record):
    """The vehicle; anything left out is unknown."""

    type: str
    tire: str | None = None
    axle_ratio: Annotated[float, Field(gt=1.2, lt=20)] | None = None
    duty: str | None = None
    wheel: str | None = None
    revs_per_mile: Annotated[float, Field(gt=300, lt=1200)] | None = None
    cylinders: Annotated[int, Field(ge=2, le=16)] | None = None
    gear_ratio: Annotated[float, Field(gt=0.3, lt=30)] | None = None
    engine_rpm: Annotated[float, Field(gt=200, lt=6000)] | None = None
    studs: Annotated[int, Field(ge=4, le=12)] | None = None
    trailer: bool | None = None
    odometer_miles: Annotated[float, Field(ge=0, lt=5_000_000)] | None = None


class RawWork(Record):
    """Something a shop did, when, where and what came of it."""

    what: str
    when: str | None = None
    where: str | None = None
    result: str = "unknown"


class RawInspection(Record):
    """An inspection that was carried out: found, clear, skipped, or numbers by key."""

    id: str
    place: str | None = None
    result: str | dict[str, str]
    by: str | None = None
    date: str | None = None


class RawConfirmedCause(Record):
    """A cause found, and where."""

    id: str
    place: str | None = None


class RawConfirmed(Record):
    """How the case ended."""

    causes: list[RawConfirmedCause]
    by: str
    date: str | None = None


class RawBenchStep(Record):
    """One answer given at the truck, oldest first.

    step: inspection@place, a symptom, or `access`; added: how many entries it put into the case;
    why: of a skip.
    """

    step: str
    answer: Literal[
        "found", "clear", "measured", "skipped", "yes", "no", "ready", "lowered", "more"
    ]
    why: Literal["cannot", "will_not", "no_tool"] | None = None
    added: Annotated[int, Field(ge=0)] = 0


class RawBench(Record):
    """Where the walk through the inspections stands; written by the bench.

    opened: states of access that are open now, as raised@steer.
    """

    opened: list[str] = []
    log: list[RawBenchStep] = []


class RawCase(Record):
    """One complaint. Unknown keys are errors; what is left out is unknown, not no."""

    case: Slug
    vehicle: RawVehicle
    title: str = ""
    unit: str = ""
    reported: str | None = None
    write_up: str = ""
    symptoms: dict[str, Any] | list[Any] | None = None
    work_done: list[RawWork] = []
    inspections: list[RawInspection] = []
    readings: list[dict[str, Any]] = []
    confirmed: RawConfirmed | None = None
    demo: bool = False
    teaches: str = ""
    fixed_by: str = ""
    bench: RawBench | None = None
