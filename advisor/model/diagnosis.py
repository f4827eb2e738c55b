"""The one document every report reads. Saved as JSON it can be rendered again.

Field names are the keys of `advisor rank --format json`.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from advisor.model.base import Record
from advisor.model.pack import Level

Probability = Annotated[float, Field(ge=0.0, le=1.0)]


class PackStamp(Record):
    """Which rules produced this."""

    version: str
    sha256: str
    overlay: str = ""


class SourceNote(Record):
    """A source cited in the document."""

    id: str
    text: str
    seen: str


class CautionNote(Record):
    """A caution in full and as the act in one line, with its source id."""

    id: str
    short: str = ""
    text: str
    source: str
    us_rule: bool = False


class SafetyFinding(Record):
    """Something that must be dealt with first."""

    id: str
    level: Level
    says: str
    do_now: str
    triggered_by: list[str]
    checks: list[str]
    cautions: list[str]
    because: str
    source: str
    us_rule: str = ""


class Safety(Record):
    """The verdict: the worst level of the findings. `none` never means that it is safe to drive:
    it means that nothing reported says otherwise."""

    level: Level
    verdict: str
    findings: list[SafetyFinding]


class Statement(Record):
    """One finding that speaks for or against a cause.

    decibans: 10 log10 of the odds ratio with and without it (Good, Probability and the Weighing
    of Evidence, 1950, from memory); says: the finding in plain words; because: the rule's reason.
    """

    symptom: str
    place: str = ""
    says: str
    decibans: float
    rule: str
    because: str
    mistaken_when: str = ""
    source: str
    origin: str


class PlaceShare(Record):
    """Probability that the cause is present at this place."""

    place: str
    probability: Probability


class RankedCause(Record):
    """A cause with its probability of being present; probabilities need not sum to one."""

    id: str
    family: str
    name: str
    what: str
    probability: Probability
    prior: Probability
    places: list[PlaceShare]
    for_: Annotated[list[Statement], Field(alias="for")]
    against: list[Statement]
    confirm: str
    danger: Level
    remedy: list[str] = []
    verify: str = ""


class RankedFamily(Record):
    """Probability that some cause of the family is present."""

    id: str
    name: str
    probability: Probability


class LimitNote(Record):
    """A figure an inspection is held against, chosen for this vehicle, axle and wheel."""

    id: str
    text: str
    value: float
    low: float | None = None
    unit: str
    source: str
    seen: str


class Outlook(Record):
    """What a result would do: how likely it is, and the first causes after it."""

    result: Literal["found", "clear"]
    probability: Probability
    means: str
    first: list[PlaceShare]


class PlannedInspection(Record):
    """The next thing to look at. opens: access states that must be opened first, with minutes;
    minutes: hands-on; minutes_with_access: what it takes from here; chance: that it finds the
    fault."""

    id: str
    name: str
    place: str
    access: str
    opens: list[str]
    minutes: float
    minutes_with_access: float
    tool: str
    how: list[str]
    limit: list[LimitNote]
    fields: list[str]
    tells: list[Outlook]
    chance: Probability
    finds: list[str]
    safety: bool
    cautions: list[str]
    source: str


class Question(Record):
    """A question to the driver. bits: expected drop in uncertainty about the causes."""

    symptom: str
    ask: str
    bits: float
    if_yes: str
    if_no: str


class OrderBand(Record):
    """A rotation order at the reported speeds, in Hz."""

    of: str
    order: float
    name: str
    hz_low: float
    hz_high: float
    mph_low: float
    mph_high: float
    note: str = ""


class ModeNote(Record):
    """A mode band of this vehicle and the speeds at which wheel order 1 crosses it."""

    mode: str
    name: str
    low_hz: float
    high_hz: float
    mph_low: float | None
    mph_high: float | None
    felt: str
    source: str
    seen: str


class Diagram(Record):
    """What the interference diagram is drawn from: order slopes in Hz per mph and mode bands."""

    slopes: list[tuple[str, float]]
    modes: list[ModeNote]
    band_mph: tuple[float, float] | None
    max_mph: float
    tire: str
    circumference_m: float
    tolerance_percent: float


class Unknown(Record):
    """Something nobody has said yet, and what it would settle."""

    symptom: str
    says: str


class LimitationNote(Record):
    """A limit of this result and what to do about it."""

    id: str
    says: str
    do: str


class Marked(Record):
    """A stretch of the write-up that was understood, and as what."""

    symptom: str
    value: str
    start: int
    end: int
    text: str


class ConflictNote(Record):
    """Text and explicit answer disagree; the answer was used."""

    symptom: str
    answer: str
    read: str


class StopRule(Record):
    """Whether to go on: settled (a cause is confirmed), continue, or specialist."""

    state: Literal["settled", "continue", "specialist"]
    says: str


class Firmness(Record):
    """How far the first place hangs on single answers."""

    state: Literal["firm", "hangs"]
    says: str
    hangs_on: list[str]


class Confidence(Record):
    """How much to build on this ranking. conflict: log10 of how much less likely the findings are
    together than each alone; above zero they speak against each other. odd: the finding that fits
    least."""

    state: Literal["firm", "fair", "weak"]
    says: str
    conflict: float
    odd: str = ""


class Change(Record):
    """What a reading changed in the ranking."""

    what: str
    says: str


class VehicleNote(Record):
    """The vehicle as understood."""

    type: str
    name: str
    tire: str = ""
    axle_ratio: float | None = None
    duty: str = ""
    wheel: str = ""
    groups: list[str]
    in_scope: bool = True


class Picture(Record):
    """A drawing that goes with a reading: kind and the data the figure code needs."""

    kind: str
    title: str
    data: dict[str, object]


class ReadingNote(Record):
    """A reading as understood, in plain words.

    problems: what is wrong with the numbers, what can still be said, what to measure again;
    cautions, sources: ids; numbers: the same for other programs, units in the names.
    """

    kind: str
    title: str
    place: str = ""
    lines: list[str]
    problems: list[str] = []
    pictures: list[Picture] = []
    cautions: list[str] = []
    sources: list[str] = []
    numbers: dict[str, object] = {}


class Diagnosis(Record):
    """All that a report shows."""

    schema_: Annotated[int, Field(alias="schema")] = 1
    case: str
    title: str = ""
    unit: str = ""
    reported: str = ""
    demo: bool = False
    pack: PackStamp
    vehicle: VehicleNote
    write_up: str = ""
    spans: list[Marked] = []
    answers: list[str]
    safety: Safety
    causes: list[RankedCause]
    families: list[RankedFamily]
    inspections: list[PlannedInspection]
    questions: list[Question]
    orders: list[OrderBand]
    diagram: Diagram | None
    unknown: list[Unknown]
    limitations: list[LimitationNote]
    conflicts: list[ConflictNote] = []
    stop: StopRule
    firmness: Firmness | None = None
    confidence: Confidence | None = None
    changes: list[Change] = []
    readings: list[ReadingNote] = []
    cautions: list[CautionNote]
    sources: list[SourceNote]
