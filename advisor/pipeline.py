"""The steps as one visible list: case -> evidence -> inference -> plan -> diagnosis."""

from __future__ import annotations

from collections.abc import Sequence

from advisor.assessment import Assessment
from advisor.compose import compose
from advisor.evidence.findings import gather
from advisor.evidence.network import groups_of
from advisor.evidence.tables import Tables
from advisor.inference.conflict import Conflict, conflict
from advisor.inference.posterior import Grouping, Weighed, infer_families, weigh
from advisor.inference.quickscore import WORST_CANCELLATION
from advisor.inference.what_if import Suppositions
from advisor.intake.merge_write_up import merge_write_up
from advisor.model.case import Case
from advisor.model.diagnosis import Diagnosis, ReadingNote, Safety
from advisor.model.pack import COMPLAINT, Pack
from advisor.plan.done import cleared
from advisor.plan.inspections import Planner
from advisor.plan.questions import questions
from advisor.plan.safety import safety_gate
from advisor.plan.stop import stop_rule
from advisor.reading_changes import reading_changes, with_readings


def assess(
    case: Case,
    pack: Pack,
    show_personal: bool = False,
    tables: Tables | None = None,
    precision: float = WORST_CANCELLATION,
) -> Assessment:
    """Evidence and posterior of a case; its write-up fills in what nobody answered.

    show_personal: leave names and phone numbers in the write-up readable; tables: what the cases
    of a stack share; precision: relative rounding error that is accepted.
    """
    case, notes = _with_readings(merge_write_up(case, pack, show_personal), pack)
    evidence = gather(case, pack, tables)
    family_of = {cause.id: cause.family for cause in pack.causes.values()}
    grouping = Grouping.of(evidence.network, family_of)
    bound = float(pack.info.restatement_bound)
    open_to = Suppositions(evidence.network, evidence.findings, grouping, bound)
    now = open_to.now(precision)
    return Assessment(pack, case, evidence, grouping, now, open_to, notes)


def _with_readings(case: Case, pack: Pack) -> tuple[Case, tuple[ReadingNote, ...]]:
    """Dial, balance and road readings worked out; most cases have none and need not load that."""
    if not case.readings:
        return case, ()
    from advisor.evidence.readings import enter_readings

    entered = enter_readings(case, pack)
    return entered.case, entered.notes


def weights_of(assessed: Assessment) -> list[Weighed]:
    """What each finding contributed."""
    a = assessed
    return weigh(a.network, a.findings, a.grouping, a.bound, a.now)


def safety_of(assessed: Assessment) -> Safety:
    """What must be dealt with before anything else."""
    done = cleared(assessed.pack, assessed.case)
    return safety_gate(assessed.pack, assessed.findings, assessed.now.cause, done)


def planner_of(
    assessed: Assessment,
    safety: Safety,
    opened: frozenset[str] = frozenset(),
    may_drive: bool = True,
) -> Planner:
    """The planner of a case: what a safety finding asks for comes before all other checks, and
    nothing is done on the road under a stop finding (or with may_drive False)."""
    pack, case = assessed.pack, assessed.case
    drive = may_drive and safety.level != "stop"
    urgent = frozenset(check for finding in safety.findings for check in finding.checks)
    return Planner(pack, case, assessed, groups_of(pack, case.vehicle), opened, drive, urgent)


def fit_of(assessed: Assessment, weighed: Sequence[Weighed]) -> Conflict:
    """Whether the findings fit together, and which fits least."""
    a = assessed
    base = next(f for f in a.findings if f.symptom == COMPLAINT)
    without = {w.finding.key: w.log10_without for w in weighed}
    return conflict(a.network, a.findings, base, a.bound, a.now, without)


def rank(
    case: Case,
    pack: Pack,
    opened: frozenset[str] = frozenset(),
    show_personal: bool = False,
) -> Diagnosis:
    """The whole way from a case to the document that every report reads.

    opened: access states that are open already ('raised@steer').
    """
    assessed = assess(case, pack, show_personal)
    changes = reading_changes(
        case, assessed.notes, assessed.now.cause, lambda less: assess(less, pack).now.cause, pack
    )
    weighed = weights_of(assessed)
    families = infer_families(
        assessed.network, assessed.findings, assessed.grouping, assessed.bound
    )
    safety = safety_of(assessed)
    plan = planner_of(assessed, safety, opened).plan()
    asked = questions(pack, assessed, may_drive=safety.level != "stop")
    stop = stop_rule(pack, assessed.now.cause, assessed.findings, plan)
    fit = fit_of(assessed, weighed)
    made = compose(assessed, weighed, families, safety, plan, asked, stop, fit)
    return with_readings(made, assessed.notes, changes, pack)
