"""Where a case stands at the truck: posterior, safety verdict and planner, without the report."""

from __future__ import annotations

from dataclasses import dataclass

from advisor.assessment import Assessment
from advisor.evidence.tables import Tables
from advisor.inference.quickscore import WORST_CANCELLATION
from advisor.model.case import Case
from advisor.model.diagnosis import Safety
from advisor.model.pack import AxleGroup, Pack
from advisor.pipeline import assess, planner_of, safety_of
from advisor.plan.done import cleared
from advisor.plan.inspections import Planner


@dataclass(frozen=True)
class Standing:
    """may_drive: whether anything may be done on the road."""

    assessed: Assessment
    groups: tuple[AxleGroup, ...]
    safety: Safety
    planner: Planner
    may_drive: bool


def stand(
    case: Case,
    pack: Pack,
    opened: frozenset[str] = frozenset(),
    tables: Tables | None = None,
    precision: float = WORST_CANCELLATION,
) -> Standing:
    """Assess a case and set up its planner. tables, precision: as of pipeline.assess.

    Nothing is planned on the road while a stop finding is open or one of the safety checks has not
    come out clear at every axle; the checks a safety finding asks for come before all others.
    """
    assessed = assess(case, pack, tables=tables, precision=precision)
    safety = safety_of(assessed)
    looked_over = {i.id for i in pack.inspections.values() if i.safety} <= cleared(pack, case)
    may_drive = safety.level != "stop" and looked_over
    planner = planner_of(assessed, safety, opened, may_drive)
    return Standing(assessed, tuple(planner.groups), safety, planner, may_drive)
