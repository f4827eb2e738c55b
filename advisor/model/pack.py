"""What a rule pack holds. Each class is one entry of one kind of file in rules/.

The classes are the schema: the loader validates files with them and the JSON Schemas for editors
are exported from them.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Literal

from pydantic import Field

from advisor.model.base import Record
from advisor.model.report_item import ReportItem
from advisor.model.stack import StackColumn
from advisor.model.terms import Duty, Seen, Slug
from advisor.model.wording import Wording
from advisor.model.worth import Range, Worth

Word = Literal["usually", "often", "sometimes", "seldom", "rarely", "never"]
Background = Literal["usually", "often", "sometimes", "seldom", "rarely", "hardly_ever", "never"]
Group = Literal["steer", "drive", "tag", "trailer"]
VehicleType = Literal[
    "linehaul_tractor",
    "regional_tractor",
    "straight_truck",
    "vocational_truck",
    "refuse_truck",
    "transit_bus",
    "coach",
    "motorhome",
    "trailer",
    "heavy_pickup_or_van",
    "car",
]
WheelKind = Literal["steel_disc", "aluminum_disc", "cast_spoke", "demountable_rim"]
Level = Literal["stop", "soon", "none"]
Probability = Annotated[float, Field(gt=0.0, lt=1.0)]
# what the reading of recordings takes from rules/recordings.yaml
RECORDING_VALUES = (
    "typical-amplitude",
    "shows-when-there",
    "shows-anyway",
    "shows-anyway-steady",
    "usual-wheel-order",
    "usual-shaft-order",
    "usual-engine-order",
    "as-on-sound-vehicle",
    "clearly-above-usual",
    "as-strong",
    "too-weak",
    "passes-a-resonance",
    "other-kinds-strength",
    "harmonic-in-full",
    "harmonic-too-weak",
    "harmonic-anyway",
    "engine-speed-error",
)
COMPLAINT = "complaint.vibration"  # somebody complains: present in every case


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


class ChangeEntry(Record):
    """One version of the pack in words for its users."""

    version: str
    date: str
    changes: list[str]


class PackInfo(Record):
    """rules/pack.yaml. scale: how often each word means, as a probability."""

    version: Annotated[str, Field(pattern=r"^\d+\.\d+\.\d+$")]
    schema_version: Annotated[int, Field(alias="schema")]
    needs_advisor: str
    date: str
    name: str
    scale: Mapping[Background, Annotated[float, Field(ge=0.0, lt=1.0)]]
    scale_source: str
    scale_note: str
    complaint_link: Word = "usually"
    complaint_leak: Probability = 0.01
    restatement_bound: Annotated[float, Field(gt=0.0, lt=1.0)] = 0.5
    changelog: list[ChangeEntry]


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
    """

    name: str
    ask: str = ""
    background: Background = "rarely"
    aspect: Slug | None = None
    derive: Derive | None = None
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


class Caution(Record):
    """A warning that stands beside the step it belongs to. short: the act, in one line."""

    id: Slug
    short: Annotated[str, Field(max_length=80)]
    text: str
    source: Slug
    us_rule: bool = False


class SafetyRule(Record):
    """Answers or probabilities that must be dealt with before anything else.

    any_of: symptom ids, one of which is enough; all_of: all needed; probable: cause ids whose
    probability above `above` triggers the rule. lifted_when_checked: the answers only hint, so
    when every check of the rule came out clear everywhere a stop becomes soon, and a soon goes.
    """

    id: Slug
    level: Literal["stop", "soon"]
    any_of: list[Slug] = []
    all_of: list[Slug] = []
    probable: list[Slug] = []
    above: Probability | None = None
    says: str
    do_now: str
    checks: list[Slug]
    lifted_when_checked: bool = False
    cautions: list[Slug] = []
    because: str
    source: Slug
    us_rule: str = ""


class Limitation(Record):
    """A limit of the tool itself: when it holds, what it means, what to do about it.

    when: a named condition the pipeline knows (see DEVELOPERS.md).
    """

    id: Slug
    when: Slug
    says: str
    do: str


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


class LimitChange(Record):
    """A shop's own figure for a limit, and why."""

    value: float
    because: str


class Overlay(Record):
    """A shop's own figures on top of the pack, which stays as it is.

    minutes: by inspection id; open_minutes: by access state; priors: by cause id; worth: by figure
    of worth.yaml, or `figure.duty` where a duty differs.
    """

    shop: str = ""
    limits: Mapping[str, LimitChange] = {}
    minutes: Mapping[str, Annotated[float, Field(gt=0)]] = {}
    open_minutes: Mapping[str, Annotated[float, Field(ge=0)]] = {}
    priors: Mapping[str, Prior] = {}
    worth: Mapping[str, Range] = {}


class Pack(Record):
    """All of rules/, loaded and cross-checked."""

    info: PackInfo
    sha256: str
    sources: Mapping[str, Source]
    families: Mapping[str, Family]
    causes: Mapping[str, Cause]
    keys: Mapping[str, SymptomKey]
    symptoms: Mapping[str, Symptom]
    rules: tuple[Rule, ...]
    inspections: Mapping[str, Inspection]
    access: Mapping[str, Access]
    limits: Mapping[str, Limit]
    vehicles: Mapping[str, VehicleInfo]
    tires: Mapping[str, Tire]
    cautions: Mapping[str, Caution]
    safety: tuple[SafetyRule, ...]
    limitations: tuple[Limitation, ...]
    work: Mapping[str, WorkItem]
    weights: Mapping[str, BalanceWeight]
    recordings: Mapping[str, JudgedValue]
    wording: Wording = Wording(())
    worth: Worth | None = None
    report_items: Mapping[str, ReportItem] = {}
    columns: tuple[StackColumn, ...] = ()
    overlay: str = ""

    def causes_named(self, name: str) -> list[str]:
        """The cause ids a rule means: a family stands for all its causes."""
        if name in self.causes:
            return [name]
        return [cause.id for cause in self.causes.values() if cause.family == name]

    def rules_of(self, symptom: str) -> list[Rule]:
        """The rules in force that speak about a symptom."""
        return [r for r in self.rules if r.symptom == symptom and r.status != "retired"]
