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

from advisor.model.network import Array


# With 3, a result that leaves two causes even is worth an eighth of a clear one (judgement).
SHARPNESS = 3.0


@dataclass(frozen=True)
class Check:
    """One inspection at one place. detect: (faults,) chance of finding each; rooms: the access
    states needed, outermost first (empty: as parked); leak: chance of a false alarm."""

    id: str
    place: str
    detect: Array
    minutes: float
    rooms: tuple[str, ...] = ()
    leak: float = 0.0

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
    left = list(checks)
    weight = np.array(fault, dtype=float)
    steps: list[Step] = []
    while left and len(steps) < most:
        best: tuple[float, int, str, str] | None = None
        for room in sorted({check.rooms for check in left}):
            found = _best_run(left, room, weight, opening, opened, sharpness)
            if found is not None and (best is None or found > best):
                best = found
        if best is None:
            break
        check = next(c for c in left if (c.id, c.place) == best[2:])
        to_open = tuple(r for r in check.rooms if r not in opened)
        worth = check.worth(weight, sharpness)
        if worth < least_worth:
            left.remove(check)
            continue
        chance = float(weight @ check.detect)
        minutes = check.minutes + sum(opening[r] for r in to_open)
        steps.append(Step(check, to_open, minutes, chance, worth))
        opened = opened | set(check.rooms)
        weight = weight * (1 - check.detect)
        left.remove(check)
    return steps


def _best_run(
    checks: Sequence[Check],
    rooms: tuple[str, ...],
    weight: Array,
    opening: Mapping[str, float],
    opened: frozenset[str],
    sharpness: float,
) -> tuple[float, int, str, str] | None:
    """(rate, -length, id, place) of the best run of checks inside these rooms."""
    inside = [c for c in checks if c.rooms == rooms[: len(c.rooms)] and c.rooms]
    if not rooms:
        inside = [c for c in checks if not c.rooms]
    cost = sum(opening[r] for r in rooms if r not in opened)
    left, gain, rest = list(inside), 0.0, np.array(weight)
    best: tuple[float, int, str, str] | None = None
    first: Check | None = None
    length = 0
    while left:
        check = max(left, key=lambda c: (c.worth(rest, sharpness) / c.minutes, c.id, c.place))
        first = first or check
        gain += check.worth(rest, sharpness)
        cost += check.minutes
        rest = rest * (1 - check.detect)
        left.remove(check)
        length += 1
        rate = gain / cost
        if best is None or rate > best[0] + 1e-15:
            best = (rate, -length, first.id, first.place)
    return best


def expected_minutes(steps: Sequence[Step], fault: Array) -> float:
    """Expected minutes until the fault is found, going through the steps in order."""
    weight, spent = np.array(fault, dtype=float), 0.0
    for step in steps:
        spent += step.minutes * float(weight.sum())
        weight = weight * (1 - step.check.detect)
    return spent
