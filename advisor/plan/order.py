"""The order of inspections when checks share the cost of getting at them.

Each check finds fault n with probability detect[n] and costs hands-on minutes; checks live in
states of access that must be opened first (jack and chock, pull the wheel, demount the tire), and
all checks inside share that cost: troubleshooting with cost clusters (Heckerman, Breese & Rommelse,
CACM 38(3) 1995; Ottosen & Jensen, UAI 2010, arXiv 1203.3502).

A check is worth the chance that it settles the matter: that the fault is there, that the check
shows it, and that what it shows then points to this fault and no other. Greedy rule: of every
state take the run of checks with the best worth per minute, opening included; do the first check of
the best run; go on with what it left. With one state, one fault and perfect checks of one fault
each this is the order by probability over cost, which is optimal (Kadane & Simon 1977, quoted in
those papers).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from advisor.model.network import Array
from advisor.plan.access import closed_by, kept_open

# Closing a room costs its opening once more when it still holds a check worth this share of the one
# that closes it (judgement).
WORTH_STAYING = 0.5
# With 3, a result that leaves two causes even is worth an eighth of a clear one (judgement).
SHARPNESS = 3.0


@dataclass(frozen=True)
class Check:
    """One inspection at one place. detect: (faults,) chance of finding each; rooms: the access
    states needed, outermost first (empty: as parked); leak: chance of a false alarm; at_wheel_end:
    the wheel end must not be taken apart further than the rooms say."""

    id: str
    place: str
    detect: Array
    minutes: float
    rooms: tuple[str, ...] = ()
    leak: float = 0.0
    at_wheel_end: bool = False

    def worth(self, weight: Array, sharpness: float) -> float:
        """Chance that the check finds a fault and points to it and no other.

        weight: (faults,) probability that each is the one sought and is still to be found;
        sharpness: 0 counts every find in full, whatever it leaves open.
        """
        hits = weight * self.detect
        shown = float(hits.sum())
        total = shown + self.leak * max(0.0, float(weight.sum()) - shown)
        if total <= 0:
            return 0.0
        return float((hits * (hits / total) ** sharpness).sum())


@dataclass(frozen=True)
class Step:
    """A check in its turn: rooms it opens, minutes with opening, its chance to find the fault at
    that point, and its chance to settle it."""

    check: Check
    opens: tuple[str, ...]
    minutes: float
    chance: float
    worth: float


def order_checks(
    checks: Sequence[Check],
    fault: Array,
    opening: Mapping[str, float],
    opened: frozenset[str] = frozenset(),
    most: int = 8,
    least_worth: float = 0.0008,
    sharpness: float = SHARPNESS,
) -> list[Step]:
    """Next checks in order, each supposing that those before it came out clear.

    fault: (faults,) probability that each is the one sought, summing to at most 1; opening:
    minutes to open each room once the ones around it are open.
    """
    stack = _Stack.of(checks)
    left = np.ones(len(stack.checks), dtype=bool)
    rooms = sorted({check.rooms for check in stack.checks})
    inside = {room: np.array([_within(c, room) for c in stack.checks]) for room in rooms}
    weight = np.array(fault, dtype=float)
    steps: list[Step] = []
    while left.any() and len(steps) < most:
        best: tuple[float, int, int] | None = None
        for room in rooms:
            here = np.flatnonzero(left & inside[room])
            cost = sum(opening[r] for r in room if r not in opened)
            cost += _cost_of_leaving(stack, here, left, weight, opening, opened, sharpness)
            found = _best_run(stack, here, weight, cost, sharpness, best[0] if best else 0.0)
            if found is not None and (best is None or found > best):
                best = found
        if best is None:
            break
        check = stack.checks[best[2]]
        to_open = tuple(r for r in check.rooms if r not in opened)
        worth = check.worth(weight, sharpness)
        left[best[2]] = False
        if worth < least_worth:
            continue
        chance = float(weight @ check.detect)
        minutes = check.minutes + sum(opening[r] for r in to_open)
        steps.append(Step(check, to_open, minutes, chance, worth))
        opened = kept_open(opened, check.rooms, check.at_wheel_end)
        weight = weight * (1 - check.detect)
    return steps


@dataclass(frozen=True)
class _Stack:
    """Checks in the order of (id, place), as arrays: detect (checks, faults), minutes, leak."""

    checks: tuple[Check, ...]
    detect: Array
    minutes: Array
    leak: Array

    @classmethod
    def of(cls, checks: Sequence[Check]) -> _Stack:
        ordered = tuple(sorted(checks, key=lambda c: (c.id, c.place)))
        return cls(
            ordered,
            np.array([c.detect for c in ordered]),
            np.array([c.minutes for c in ordered]),
            np.array([c.leak for c in ordered]),
        )

    def worth(self, hits: Array, rows: NDArray[np.intp], weight: float, sharpness: float) -> Array:
        """Check.worth of these rows; hits: (rows, faults) weight x detect."""
        shown = hits.sum(axis=1)
        total = shown + self.leak[rows] * np.maximum(0.0, weight - shown)
        share = hits / np.where(total > 0, total, 1.0)[:, None]
        return np.asarray((hits * share**sharpness).sum(axis=1))


def _within(check: Check, room: tuple[str, ...]) -> bool:
    """Whether a check is done on the way into a room; checks as parked count by themselves."""
    return check.rooms == room[: len(check.rooms)] if check.rooms else not room


def _best_run(
    stack: _Stack,
    here: NDArray[np.intp],
    weight: Array,
    cost: float,
    sharpness: float,
    beat: float = 0.0,
) -> tuple[float, int, int] | None:
    """(rate, -length, index of the first check) of the best run of these checks; None when no
    run can come up to the rate `beat`."""
    gain, rest = 0.0, np.array(weight)
    best: tuple[float, int, int] | None = None
    first, length = -1, 0
    while len(here):
        hits = stack.detect[here] * rest
        minutes = stack.minutes[here]
        # no check is ever worth more than what it may still show, so nothing later can do better
        most = _reachable(gain, cost, hits.sum(axis=1), minutes)
        if most < beat - 1e-12 or (best is not None and most <= best[0]):
            break
        worth = stack.worth(hits, here, float(rest.sum()), sharpness)
        rates = worth / minutes
        n = len(rates) - 1 - int(np.argmax(rates[::-1]))
        first = int(here[n]) if first < 0 else first
        gain += float(worth[n])
        cost += float(minutes[n])
        rest = rest * (1 - stack.detect[here[n]])
        here = np.delete(here, n)
        length += 1
        rate = gain / cost
        if best is None or rate > best[0] + 1e-15:
            best = (rate, -length, first)
    return best


def _reachable(gain: float, cost: float, shown: Array, minutes: Array) -> float:
    """The best rate there could be if every check were worth all that it may show."""
    by_rate = np.argsort(-shown / minutes)
    gains = gain + np.cumsum(shown[by_rate])
    return float((gains / (cost + np.cumsum(minutes[by_rate]))).max())


def _cost_of_leaving(
    stack: _Stack,
    here: NDArray[np.intp],
    left: NDArray[np.bool_],
    weight: Array,
    opening: Mapping[str, float],
    opened: frozenset[str],
    sharpness: float,
) -> float:
    """Minutes to open again what these checks close, where something useful is left in there."""
    closes = {
        i: closed_by(opened, stack.checks[i].rooms, stack.checks[i].at_wheel_end) for i in here
    }
    closed = frozenset().union(*closes.values())
    if not closed:
        return 0.0
    rows = np.flatnonzero(left)
    worth = stack.worth(stack.detect[rows] * weight, rows, float(weight.sum()), sharpness)
    of = dict(zip(rows.tolist(), worth.tolist(), strict=True))
    least = WORTH_STAYING * max(of[int(i)] for i in here)
    useful = {
        room
        for i, value in of.items()
        if value >= least and i not in closes
        for room in stack.checks[i].rooms
    }
    return sum(opening[room] for room in closed & useful)


def expected_minutes(steps: Sequence[Step], fault: Array) -> float:
    """Expected minutes until the fault is found, going through the steps in order."""
    weight, spent = np.array(fault, dtype=float), 0.0
    for step in steps:
        spent += step.minutes * float(weight.sum())
        weight = weight * (1 - step.check.detect)
    return spent
