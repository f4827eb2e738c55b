"""One complaint from write-up to close, as the rest of the program sees it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any, Literal

from advisor.model.place import Place

if TYPE_CHECKING:
    from advisor.model.read import Mark
from advisor.model.reading import Reading

Origin = Literal["asked", "read", "measured", "computed"]
State = Literal["yes", "no"]
WORK_RESULTS = ("cured", "better", "no_change", "worse", "came_back", "unknown")


@dataclass(frozen=True)
class Span:
    """A stretch of the write-up: text == write_up[start:end]."""

    start: int
    end: int
    text: str


@dataclass(frozen=True)
class Vehicle:
    """The vehicle of a case; None means not said. revs_per_mile is a measured figure and wins
    over the tire size."""

    type: str
    tire: str | None = None
    axle_ratio: float | None = None
    duty: str | None = None
    wheel: str | None = None
    revs_per_mile: float | None = None
    cylinders: int | None = None
    gear_ratio: float | None = None
    engine_rpm: float | None = None
    studs: int | None = None
    has_trailer: bool | None = None
    odometer_miles: float | None = None


@dataclass(frozen=True)
class Answer:
    """A symptom answered yes or no, at a place or anywhere, and where the answer came from."""

    symptom: str
    state: State
    place: Place | None = None
    origin: Origin = "asked"
    span: Span | None = None


@dataclass(frozen=True)
class SpeedRange:
    """Speeds at which it is felt, mph; None means not said."""

    low_mph: float | None = None
    high_mph: float | None = None
    peak_mph: float | None = None
    origin: Origin = "asked"
    span: Span | None = None


@dataclass(frozen=True)
class Frequency:
    """A frequency measured or counted at a road speed, both with standard uncertainty."""

    hz: float
    hz_sd: float
    at_mph: float | None = None
    mph_sd: float = 1.0
    origin: Origin = "measured"


@dataclass(frozen=True)
class WorkDone:
    """Something a shop did and what came of it. place: where, if said."""

    what: str
    result: str = "unknown"
    when: str | None = None
    place: Place | None = None
    origin: Origin = "asked"
    span: Span | None = None


@dataclass(frozen=True)
class InspectionDone:
    """An inspection that was carried out.

    outcome: found, clear, or None when only numbers were given; values: measured numbers by key.
    """

    id: str
    place: Place | None
    outcome: Literal["found", "clear", "skipped"] | None
    values: Mapping[str, float] = field(default_factory=dict)
    by: str | None = None
    date: str | None = None


@dataclass(frozen=True)
class SoftFinding:
    """A symptom known only as a likelihood ratio: how likely the observation is if the symptom
    holds (lambda1) and if it does not (lambda0)."""

    symptom: str
    lambda1: float
    lambda0: float
    place: Place | None
    words: str
    origin: Origin = "measured"


@dataclass(frozen=True)
class Conflict:
    """The write-up says one thing, an explicit answer another; the answer was used."""

    symptom: str
    answer: str
    read: str
    span: Span | None


@dataclass(frozen=True)
class ConfirmedCause:
    """A cause found at the end of a case."""

    id: str
    place: Place | None


@dataclass(frozen=True)
class Confirmed:
    """How a case ended."""

    causes: tuple[ConfirmedCause, ...]
    by: str
    date: str | None


@dataclass(frozen=True)
class Case:
    """One complaint with all that is known of it. path: the file it came from ("-" for standard
    input); marks: (line, column) by dotted key, for messages."""

    id: str
    vehicle: Vehicle
    title: str = ""
    unit: str = ""
    reported: str | None = None
    write_up: str = ""
    answers: tuple[Answer, ...] = ()
    speed: SpeedRange | None = None
    frequencies: tuple[Frequency, ...] = ()
    work_done: tuple[WorkDone, ...] = ()
    inspections: tuple[InspectionDone, ...] = ()
    readings: tuple[Reading, ...] = ()
    measured: tuple[SoftFinding, ...] = ()
    conflicts: tuple[Conflict, ...] = ()
    read_notes: tuple[str, ...] = ()
    marks: tuple[Mark, ...] = ()
    confirmed: Confirmed | None = None
    demo: bool = False
    teaches: str = ""
    fixed_by: str = ""
    path: str = "-"

    def with_changes(self, **changes: Any) -> Case:
        """A copy with some fields changed."""
        return replace(self, **changes)
