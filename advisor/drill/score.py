"""The score of one drill."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from advisor.drill.paths import Target, Walk, advised, checklist_walked, follow, safety_first
from advisor.drill.world import World
from advisor.model.case import Case, ConfirmedCause
from advisor.model.place import Place, parse_place
from advisor.plan.access import ON_THE_ROAD
from advisor.report import words


@dataclass(frozen=True)
class Named:
    """What the apprentice says it is, where ('' if nowhere in particular), and how sure: 0 to 1."""

    cause: str
    place: str
    confidence: float


@dataclass(frozen=True)
class Score:
    """How a drill went. cause_right, place_right: of what was named; minutes: of the apprentice,
    of the planner and of the checklist (None where that way confirms nothing); safety_skipped:
    safety checks not done, at which axle; on_the_road_early: a road test before they were done, or
    though one had found something; brier: of this one statement."""

    cause_right: bool
    place_right: bool
    minutes: float
    planner_minutes: float | None
    checklist_minutes: float | None
    wheels_for_nothing: int
    planner_wheels: int
    checklist_wheels: int
    safety_skipped: tuple[str, ...]
    on_the_road_early: bool
    brier: float

    @property
    def right(self) -> bool:
        """Cause and place."""
        return self.cause_right and self.place_right

    @property
    def passed(self) -> bool:
        """Right, no safety check left out, and not on the road before they were all clear."""
        return self.right and not self.safety_skipped and not self.on_the_road_early


def brier(statements: Iterable[tuple[float, bool]]) -> float:
    """Mean over statements of the squared errors of both classes, right and not right.

    statements: (stated probability of being right, whether it was). 0 is best, 0.5 is what "even
    odds" always earns, 2 is sure and wrong. Brier, "Verification of forecasts expressed in terms of
    probability", Monthly Weather Review 78(1), 1950, equation 2, from memory: the sum runs over
    both classes. Raises ValueError when there is nothing to score or a probability is none.
    """
    told = list(statements)
    if not told:
        raise ValueError("statements must hold at least one")
    total = 0.0
    for p, was in told:
        if not 0 <= p <= 1:
            raise ValueError(f"p={p} must be from 0 to 1")
        for stated, happened in ((p, was), (1 - p, not was)):
            total += (stated - float(happened)) ** 2
    return total / len(told)


def is_right(named: Named, causes: Sequence[ConfirmedCause]) -> tuple[bool, bool]:
    """(cause, place) right: the place may be as broad as the axle, never the other side."""
    same = [c for c in causes if c.id == named.cause]
    if not same:
        return False, False
    said = parse_place(named.place) if named.place else None
    return True, any(_meets(said, c.place) for c in same)


def _meets(said: Place | None, true: Place | None) -> bool:
    if true is None:
        return True
    return said is not None and (said.covers(true) or true.covers(said))


def score(
    walk: Walk,
    asked: int,
    named: Named,
    case: Case,
    ids: Sequence[str],
    question_minutes: float,
) -> Score:
    """Score a finished drill. case: as told by the driver, for the planner; ids: the checklist."""
    world = walk.world
    cause_right, place_right = is_right(named, world.causes)
    plan = follow(Walk(world, case), advised)
    fixed = checklist_walked(world, case, ids)
    told = len({a.symptom.partition(".")[0] for a in case.answers})
    return Score(
        cause_right=cause_right,
        place_right=place_right,
        minutes=walk.minutes + asked * question_minutes,
        planner_minutes=plan.minutes + told * question_minutes if plan.confirmed else None,
        checklist_minutes=fixed.minutes if fixed.confirmed else None,
        wheels_for_nothing=walk.pulled_for_nothing,
        planner_wheels=plan.pulled_for_nothing,
        checklist_wheels=fixed.pulled_for_nothing,
        safety_skipped=tuple(words_of(t, world) for t in safety_left(walk)),
        on_the_road_early=road_before_safety(walk),
        brier=brier([(named.confidence, cause_right and place_right)]),
    )


def safety_left(walk: Walk) -> list[Target]:
    """Safety checks that were not done, by axle; both sides done count as the axle."""
    return [t for t in safety_first(walk.world) if not _covered(t, walk)]


def _covered(target: Target, walk: Walk) -> bool:
    done = [parse_place(t.place) for t in walk.taken if t.id == target[0] and t.place]
    if not target[1]:
        return any(t.id == target[0] for t in walk.taken)
    here = parse_place(target[1])
    assert here is not None
    inside = [p for p in done if p is not None and p.group == here.group]
    return any(p.covers(here) for p in inside) or {p.side for p in inside} >= {"left", "right"}


def road_before_safety(walk: Walk) -> bool:
    """Whether a check on the road came before every safety check was done and had found nothing."""
    kinds = walk.world.pack.inspections
    part = Walk(walk.world, walk.case)
    for taken in walk.taken:
        unsafe = any(kinds[t.id].safety and t.shown.found for t in part.taken)
        if kinds[taken.id].access == ON_THE_ROAD and (unsafe or safety_left(part)):
            return True
        part.taken.append(taken)
    return False


def words_of(target: Target, world: World) -> str:
    """A check and its place in plain words."""
    name = world.pack.inspections[target[0]].name
    return f"{name}, {words.place(target[1])}" if target[1] else name
