"""The order of inspections when checks share the cost of getting at them.

Each check finds fault n with probability detect[n] and costs hands-on minutes; checks live in
states of access that must be opened first (jack and chock, pull the wheel, demount the tire), and
all checks inside share that cost: troubleshooting with cost clusters (Heckerman, Breese & Rommelse,
CACM 38(3) 1995; Ottosen & Jensen, UAI 2010, arXiv 1203.3502). Greedy rule: of every state take the
run of checks with the best chance of finding the fault per minute, opening included; do the first
check of the best run; go on with what it left. With one state, one fault and perfect independent
checks this is the order by probability over cost, which is optimal (Kadane & Simon 1977, quoted in
those papers).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from advisor.model.network import Array


@dataclass(frozen=True)
class Check:
    """One inspection at one place. detect: (faults,) chance of finding each; rooms: the access
    states needed, outermost first (empty: as parked)."""

    id: str
    place: str
    detect: Array
    minutes: float
    rooms: tuple[str, ...] = ()


@dataclass(frozen=True)
class Step:
    """A check in its turn: rooms it opens, minutes with opening, and its chance at that point."""

    check: Check
    opens: tuple[str, ...]
    minutes: float
    chance: float


def order_checks(
    checks: Sequence[Check],
    fault: Array,
    opening: Mapping[str, float],
    opened: frozenset[str] = frozenset(),
    most: int = 8,
    least_chance: float = 0.004,
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
            found = _best_run(left, room, weight, opening, opened)
            if found is not None and (best is None or found > best):
                best = found
        if best is None:
            break
        check = next(c for c in left if (c.id, c.place) == best[2:])
        to_open = tuple(r for r in check.rooms if r not in opened)
        chance = float(weight @ check.detect)
        if chance < least_chance:
            left.remove(check)
            continue
        minutes = check.minutes + sum(opening[r] for r in to_open)
        steps.append(Step(check, to_open, minutes, chance))
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
        check = max(left, key=lambda c: (float(rest @ c.detect) / c.minutes, c.id, c.place))
        first = first or check
        gain += float(rest @ check.detect)
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
