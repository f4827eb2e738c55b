"""The steps as one visible list: case -> evidence -> inference -> plan -> diagnosis."""

from __future__ import annotations

from advisor.assessment import Assessment
from advisor.compose import compose
from advisor.evidence.findings import gather
from advisor.evidence.network import groups_of
from advisor.inference.posterior import Grouping, Weighed, infer, infer_families, weigh
from advisor.model.case import Case
from advisor.model.diagnosis import Diagnosis
from advisor.model.pack import Pack
from advisor.plan.done import cleared
from advisor.plan.inspections import Planner
from advisor.plan.questions import questions
from advisor.plan.safety import safety_gate
from advisor.plan.stop import stop_rule


def assess(case: Case, pack: Pack) -> Assessment:
    """Evidence and posterior of a case."""
    evidence = gather(case, pack)
    family_of = {cause.id: cause.family for cause in pack.causes.values()}
    grouping = Grouping.of(evidence.network, family_of)
    bound = float(pack.info.restatement_bound)
    now = infer(evidence.network, evidence.findings, grouping, bound)
    return Assessment(pack, case, evidence, grouping, now)


def weights_of(assessed: Assessment) -> list[Weighed]:
    """What each finding contributed."""
    a = assessed
    return weigh(a.network, a.findings, a.grouping, a.bound, a.now)


def rank(case: Case, pack: Pack, opened: frozenset[str] = frozenset()) -> Diagnosis:
    """The whole way from a case to the document that every report reads.

    opened: access states that are open already ('raised@steer').
    """
    assessed = assess(case, pack)
    weighed = weights_of(assessed)
    families = infer_families(
        assessed.network, assessed.findings, assessed.grouping, assessed.bound
    )
    safety = safety_gate(pack, assessed.findings, assessed.now.cause, cleared(pack, case))
    may_drive = safety.level != "stop"
    planner = Planner(pack, case, assessed, groups_of(pack, case.vehicle), opened, may_drive)
    plan = planner.plan()
    asked = questions(pack, assessed)
    stop = stop_rule(pack, assessed.now.cause, assessed.findings, plan)
    return compose(assessed, weighed, families, safety, plan, asked, stop)
