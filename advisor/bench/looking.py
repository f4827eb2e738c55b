"""From a case and the state of access to the next step."""

from __future__ import annotations

from collections.abc import Sequence

from advisor.bench.record import SETTLED, Record
from advisor.bench.step import Lead, Remedy, Step
from advisor.compose import caution_notes, likeliest, places
from advisor.intake.raw_case import RawBenchStep
from advisor.model.case import Case
from advisor.model.diagnosis import PlannedInspection, Question, StopRule
from advisor.model.pack import Pack
from advisor.model.place import parse_place
from advisor.plan.access import closed_by, group_needed, rooms_of
from advisor.plan.inspections import room_words
from advisor.plan.questions import questions
from advisor.plan.stop import LEAST_CHANCE, confirmed_causes, stop_rule
from advisor.standing import stand

MOST_QUESTIONS = 5  # put before anything is opened, as long as each is worth its breath
LEAST_BITS = 0.05
LEADS = 5
AHEAD = 6  # how far the plan is looked through for a check that is still worth its time


class Look:
    """The case as it stands, with everything a step needs."""

    def __init__(self, pack: Pack, case: Case, record: Record):
        self.pack = pack
        self.case = case
        self.record = record
        standing = stand(case, pack, record.opened)
        self.assessed = standing.assessed
        self.groups = standing.groups
        self.safety = standing.safety
        self.planner = standing.planner

    @property
    def skipped_safety(self) -> tuple[str, ...]:
        """Safety checks that were put off; while there are any, nothing is done on the road."""
        done = {d.id for d in self.case.inspections if d.outcome == "skipped"}
        wanted = {i.id for i in self.pack.inspections.values() if i.safety} | set(
            self.planner.urgent
        )
        return tuple(i for i in self.pack.inspections if i in done & wanted)

    def leads(self) -> tuple[Lead, ...]:
        """The first causes."""
        now = self.assessed.now.cause
        made = []
        for id_ in likeliest(self.assessed)[:LEADS]:
            shares = places(self.assessed, id_, 2)
            alone = shares and (len(shares) == 1 or shares[0].probability > shares[1].probability)
            where = shares[0].place if alone else ""
            made.append(Lead(id_, self.pack.causes[id_].name, now[id_], where))
        return tuple(made)

    def step(self) -> Step:
        """The next step: safety, the driver's answers, inspections; or an end."""
        plan = self.planner.plan(most=AHEAD, outlooks=1)
        stop = stop_rule(self.pack, self.assessed.now.cause, self.assessed.findings, plan)
        first = plan[0] if plan else None
        if first is not None and (first.safety or first.id in self.planner.urgent):
            return self._inspection("safety", first, stop)
        remedies = self._remedies()
        if remedies and not self._goes_on(remedies):
            return self._end("settled", stop, remedies)
        question = self._question()
        if question is not None:
            return self._made("question", question.symptom, stop, question=question)
        if first is None or (stop.state == "specialist" and not remedies):
            return self._end("specialist", stop, remedies)
        if remedies and not any(p.chance >= LEAST_CHANCE for p in plan):
            return self._end("settled", stop, remedies)
        return self._inspection("inspection", first, stop)

    def _goes_on(self, remedies: Sequence[Remedy]) -> bool:
        """Whether the tech asked to look for more after these were confirmed."""
        known = {f"{SETTLED}@{r.cause}" for r in remedies}
        return known <= {s.step for s in self.record.log if s.answer == "more"}

    def _question(self) -> Question | None:
        asked = self.record.asked()
        put = [s for s in asked if s.partition("@")[0] in self.pack.symptoms]
        begun = any(self._has_opened(s) for s in self.record.log)
        if begun or len(put) >= MOST_QUESTIONS:
            return None
        may_drive = self.planner.may_drive
        every = questions(self.pack, self.assessed, may_drive=may_drive)
        left = [q for q in every if q.symptom not in asked]
        return left[0] if left and left[0].bits >= LEAST_BITS else None

    def _has_opened(self, step: RawBenchStep) -> bool:
        """Whether an answer was the result of a check that something was opened for."""
        kind = self.pack.inspections.get(step.step.partition("@")[0])
        results = ("found", "clear", "measured")
        return kind is not None and kind.access != "as_parked" and step.answer in results

    def _inspection(self, kind, planned: PlannedInspection, stop: StopRule) -> Step:  # type: ignore[no-untyped-def]
        id_ = f"{planned.id}@{planned.place}" if planned.place else planned.id
        info = self.pack.inspections[planned.id]
        here = parse_place(planned.place)
        group = here.group if here else group_needed(self.pack, info, self.groups)
        rooms = rooms_of(self.pack, info.access, group)
        closes = closed_by(self.record.opened, rooms, info.at == "wheel_end")
        return self._made(
            kind,
            id_,
            stop,
            inspection=planned,
            cautions=tuple(caution_notes(self.pack, planned.cautions)),
            confirm=bool(planned.cautions) and id_ not in self.record.ready(),
            closes=tuple(room_words(self.pack, r) for r in sorted(closes)),
        )

    def _end(self, kind, stop: StopRule, remedies: Sequence[Remedy]) -> Step:  # type: ignore[no-untyped-def]
        return self._made(kind, kind, stop, remedies=tuple(remedies))

    def _made(self, kind, id_: str, stop: StopRule, **more) -> Step:  # type: ignore[no-untyped-def]
        answered = [s for s in self.record.log if s.answer not in ("ready", "lowered")]
        return Step(
            kind=kind,
            id=id_,
            number=len(answered) + 1,
            safety=self.safety,
            leads=self.leads(),
            stop=stop,
            open_now=tuple(room_words(self.pack, r) for r in sorted(self.record.opened)),
            skipped_safety=self.skipped_safety,
            **more,
        )

    def _remedies(self) -> list[Remedy]:
        """Of every probable cause that one of its own checks has shown."""
        causes = self.assessed.now.cause
        confirmed = confirmed_causes(self.pack, causes, self.assessed.findings)
        return [self._remedy(id_, by) for id_, by in confirmed.items()]

    def _remedy(self, id_: str, by: Sequence[str]) -> Remedy:
        cause = self.pack.causes[id_]
        shares = places(self.assessed, id_, 1)
        return Remedy(
            cause=id_,
            name=cause.name,
            place=shares[0].place if shares else "",
            confirmed_by=tuple(self.pack.inspections[i].name for i in by),
            steps=tuple(cause.remedy.steps),
            needs=cause.remedy.needs,
            verify=cause.remedy.verify,
            if_it_comes_back=cause.remedy.if_it_comes_back,
            cautions=tuple(caution_notes(self.pack, cause.remedy.cautions)),
            danger=cause.danger,
            danger_because=cause.danger_because,
            source=cause.source,
        )
