"""The light path: what is told -> verdict, causes, question, first visit and its worth."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from advisor.assessment import Assessment
from advisor.errors import ClashingEvidence
from advisor.evidence.tables import Tables
from advisor.model.diagnosis import Safety
from advisor.model.network import Posterior
from advisor.model.pack import COMPLAINT, Pack
from advisor.pipeline import assess, planner_of, safety_of
from advisor.plan.first_look import FirstLook, first_look
from advisor.plan.questions import questions
from advisor.plan.worth import NOTHING, Estimate, Three, estimate, losses
from advisor.triage.told import Told

CAUSES = 3
DIGITS = 4
SHORTLIST = 4  # the most telling question was among so many in all worked cases
PRECISION = 1e-7  # far below the digits shown
# How far the first cause leads, in words (judgement): (its chance at least, times the second's).
CONFIDENCE = (("clear", 0.5, 2.0), ("fair", 0.3, 1.25))
FEW_FACTS = 2


@dataclass(frozen=True)
class Quick:
    """Verdict and causes. level: stop, soon or none; safety: ids of the safety rules that hold;
    causes: (id, probability), likeliest first; place: where the first is likeliest; confidence:
    clear, fair or open; clash: answers that cannot all be true, when nothing could be ranked."""

    level: str
    safety: tuple[str, ...] = ()
    causes: tuple[tuple[str, float], ...] = ()
    place: str = ""
    confidence: str = "open"
    clash: str = ""


@dataclass(frozen=True)
class Glance:
    """One unit at a glance. question: symptom to ask about; checks: safety checks still open;
    inspection, inspection_place, access: the first one after them; check_minutes, minutes: of the
    checks, of the whole visit; money in US dollars, low, typical, high (see plan.worth)."""

    quick: Quick
    question: str = ""
    checks: tuple[str, ...] = ()
    inspection: str = ""
    inspection_place: str = ""
    access: str = ""
    check_minutes: float = 0.0
    minutes: float = 0.0
    waiting: Three = NOTHING
    avoided: Three = NOTHING
    looking: Three = NOTHING
    per_minute: Three = NOTHING


class Glancer:
    """Judges what is told by one pack. Results do not depend on what was judged before."""

    def __init__(self, pack: Pack):
        self.pack = pack
        self.tables = Tables(pack)
        self._losses: dict[str | None, Mapping[str, Three]] = {}

    def _assess(self, told: Told) -> Assessment:
        return assess(told.as_case(), self.pack, tables=self.tables, precision=PRECISION)

    def quick(self, told: Told) -> Quick:
        """Verdict and causes only."""
        try:
            assessed = self._assess(told)
        except ClashingEvidence as error:
            return _clash(error)
        return _quick(assessed, safety_of(assessed))

    def at(self, told: Told) -> Glance:
        """The whole glance."""
        try:
            assessed = self._assess(told)
        except ClashingEvidence as error:
            return Glance(_clash(error))
        safety = safety_of(assessed)
        look = first_look(planner_of(assessed, safety))
        may_drive = safety.level != "stop"
        asked = questions(self.pack, assessed, most=1, shortlist=SHORTLIST, may_drive=may_drive)
        worth = self._worth(assessed, look)
        low, typical, high = (round(v, 3) for v in worth.per_minute)
        return Glance(
            quick=_quick(assessed, safety),
            question=asked[0].symptom if asked else "",
            checks=look.safety,
            inspection=look.inspection,
            inspection_place=look.place,
            access=look.access,
            check_minutes=round(look.safety_minutes, 1),
            minutes=round(look.all_minutes, 1),
            waiting=worth.waiting,
            avoided=worth.avoided,
            looking=worth.looking,
            per_minute=(low, typical, high),
        )

    def _worth(self, assessed: Assessment, look: FirstLook) -> Estimate:
        duty = assessed.case.vehicle.duty
        if duty not in self._losses:
            self._losses[duty] = losses(self.pack, duty)
        return estimate(
            self.pack.worth,
            self._losses[duty],
            duty,
            assessed.network.nodes,
            assessed.now.node,
            look.found,
            look.all_minutes,
        )


def _quick(assessed: Assessment, safety: Safety) -> Quick:
    causes = _causes(assessed.now)
    return Quick(
        level=safety.level,
        safety=tuple(f.id for f in safety.findings),
        causes=causes,
        place=_place(assessed, causes[0][0]),
        confidence=_confidence(assessed, causes),
    )


def _causes(now: Posterior) -> tuple[tuple[str, float], ...]:
    rounded = {cause: round(p, DIGITS) for cause, p in now.cause.items()}
    first = sorted(rounded, key=lambda c: (-rounded[c], c))[:CAUSES]
    return tuple((cause, rounded[cause]) for cause in first)


def _place(assessed: Assessment, cause: str) -> str:
    """Where the cause is likeliest; empty for causes that have no wheel end."""
    network, best = assessed.network, (0.0, "")
    for state, place in enumerate(network.place):
        if place is not None and network.nodes[network.state_node[state]].cause == cause:
            p = round(float(assessed.now.state[state]), 9)
            if p > best[0]:
                best = (p, str(place))
    return best[1]


def _confidence(assessed: Assessment, causes: tuple[tuple[str, float], ...]) -> str:
    """How far the first cause leads, and on how much."""
    told = [f for f in assessed.findings if f.symptom != COMPLAINT and not f.implied]
    if len(told) < FEW_FACTS:
        return "open"
    first, second = causes[0][1], causes[1][1]
    for word, least, lead in CONFIDENCE:
        if first >= least and first >= lead * second:
            return word
    return "open"


def _clash(error: ClashingEvidence) -> Quick:
    # what cannot be ranked is looked at early rather than late
    return Quick("soon", clash="; ".join(error.clashing))
