"""Where a case stands at the truck: posterior, safety verdict and planner, without the report."""

from __future__ import annotations

from dataclasses import dataclass

from advisor.assessment import Assessment
from advisor.evidence.network import groups_of
from advisor.model.case import Case
from advisor.model.diagnosis import Safety
from advisor.model.pack import AxleGroup, Pack
from advisor.pipeline import assess
from advisor.plan.done import cleared
from advisor.plan.inspections import Planner
from advisor.plan.safety import safety_gate


@dataclass(frozen=True)
class Standing:
    """may_drive: whether anything may be done on the road."""

    assessed: Assessment
    groups: tuple[AxleGroup, ...]
    safety: Safety
    planner: Planner
    may_drive: bool


def stand(case: Case, pack: Pack, opened: frozenset[str] = frozenset()) -> Standing:
    """Assess a case and set up its planner.

    Nothing is planned on the road while a stop finding is open or one of the safety checks has not
    come out clear at every axle; the checks a safety finding asks for come before all others.
    """
    assessed = assess(case, pack)
    groups = tuple(groups_of(pack, case.vehicle))
    clear = cleared(pack, case)
    safety = safety_gate(pack, assessed.findings, assessed.now.cause, clear)
    looked_over = {i.id for i in pack.inspections.values() if i.safety} <= clear
    may_drive = safety.level != "stop" and looked_over
    urgent = frozenset(check for finding in safety.findings for check in finding.checks)
    planner = Planner(pack, case, assessed, groups, opened, may_drive, urgent)
    return Standing(assessed, groups, safety, planner, may_drive)
