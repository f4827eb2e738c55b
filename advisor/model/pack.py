"""A rule pack as a whole; what its entries are stands in the modules named below.

The classes are the schema: the loader validates files with them and the JSON Schemas for editors
are exported from them.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property
from typing import Annotated

from pydantic import Field

from advisor.model.base import Record
from advisor.model.causes import Cause as Cause
from advisor.model.causes import Excitation as Excitation
from advisor.model.causes import Family as Family
from advisor.model.causes import Prior as Prior
from advisor.model.causes import Remedy as Remedy
from advisor.model.causes import Source as Source
from advisor.model.inspecting import Access as Access
from advisor.model.inspecting import BalanceWeight as BalanceWeight
from advisor.model.inspecting import Caution as Caution
from advisor.model.inspecting import Inspection as Inspection
from advisor.model.inspecting import JudgedValue as JudgedValue
from advisor.model.inspecting import Limit as Limit
from advisor.model.inspecting import Measure as Measure
from advisor.model.inspecting import WorkItem as WorkItem
from advisor.model.report_item import ReportItem
from advisor.model.safety_rules import Limitation as Limitation
from advisor.model.safety_rules import SafetyRule as SafetyRule
from advisor.model.stack import StackColumn
from advisor.model.symptoms import Derive as Derive
from advisor.model.symptoms import Example as Example
from advisor.model.symptoms import Given as Given
from advisor.model.symptoms import Rule as Rule
from advisor.model.symptoms import Symptom as Symptom
from advisor.model.symptoms import SymptomKey as SymptomKey
from advisor.model.symptoms import SymptomValue as SymptomValue
from advisor.model.terms import COMPLAINT as COMPLAINT
from advisor.model.terms import RECORDING_VALUES as RECORDING_VALUES
from advisor.model.terms import Background as Background
from advisor.model.terms import Duty as Duty
from advisor.model.terms import Group as Group
from advisor.model.terms import Level as Level
from advisor.model.terms import Probability as Probability
from advisor.model.terms import Seen as Seen
from advisor.model.terms import Slug as Slug
from advisor.model.terms import VehicleType as VehicleType
from advisor.model.terms import WheelKind as WheelKind
from advisor.model.terms import Word as Word
from advisor.model.vehicles import AxleGroup as AxleGroup
from advisor.model.vehicles import ModeBand as ModeBand
from advisor.model.vehicles import Tire as Tire
from advisor.model.vehicles import VehicleInfo as VehicleInfo
from advisor.model.wording import Wording
from advisor.model.worth import Range, Worth


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

    @cached_property
    def answerable(self) -> tuple[str, ...]:
        """Symptoms a person can answer; results of inspections and work have their own keys."""
        return tuple(id_ for id_, symptom in self.symptoms.items() if symptom.key in self.keys)

    def causes_named(self, name: str) -> list[str]:
        """The cause ids a rule means: a family stands for all its causes."""
        if name in self.causes:
            return [name]
        return [cause.id for cause in self.causes.values() if cause.family == name]

    def rules_of(self, symptom: str) -> list[Rule]:
        """The rules in force that speak about a symptom."""
        return [r for r in self.rules if r.symptom == symptom and r.status != "retired"]
