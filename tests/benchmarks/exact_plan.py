"""Small planning problems with their exact optimum, and the same under the planner's order.

One fault of a few; each check finds each fault with some chance and raises a false alarm with
another, confirms some faults, and stands in rooms that must be opened. A walk ends when a check
that confirms the fault finds it. The exact best way is found by going through every result of
every check (3^checks states); the planner's way is costed over the same states.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from advisor.plan.order import Check, order_checks

OPENING = {"raised": 15.0, "wheel_off": 25.0}
ROOMS = ((), (), (), ("raised",), ("raised",), ("raised", "wheel_off"), ("raised", "wheel_off"))


@dataclass(frozen=True)
class Small:
    """fault: (faults,); checks; confirms: (checks, faults) 1 where a find settles the fault."""

    fault: np.ndarray
    checks: tuple[Check, ...]
    confirms: np.ndarray


def small_problem(seed: int, faults: int = 5, checks: int = 6) -> Small:
    """A problem like those of a shop: confirming checks are good ones and often deep inside, quick
    looks hint at several faults."""
    rng = np.random.default_rng(seed)
    fault = rng.dirichlet(np.full(faults, 0.7))
    confirms = np.zeros((checks, faults))
    made = []
    for i in range(checks):
        own = i % faults
        confirms[i, own] = 1.0
        detect = rng.choice([0.0, 0.15, 0.35], faults)
        detect[own] = rng.choice([0.65, 0.85])
        rooms = ROOMS[int(rng.integers(len(ROOMS)))]
        leak = float(rng.choice([0.01, 0.05]))
        beyond = np.maximum(0.0, detect - leak)
        made.append(Check(f"c{i}", "", beyond, float(rng.integers(4, 21)), rooms, leak))
    return Small(fault, tuple(made), confirms)


Choose = Callable[[Small, np.ndarray, frozenset[int], frozenset[str]], int | None]


def best_minutes(problem: Small) -> float:
    """Expected minutes of the best way there is."""
    memo: dict[tuple[int, ...], float] = {}

    def value(results: tuple[int, ...], weight: np.ndarray) -> float:
        if results not in memo:
            costs = [
                _cost(problem, results, weight, i, value)
                for i, result in enumerate(results)
                if not result
            ]
            memo[results] = min(costs, default=0.0)
        return memo[results]

    return value((0,) * len(problem.checks), problem.fault)


def planned_minutes(problem: Small) -> float:
    """Expected minutes when every step is the planner's first, after every result."""

    def value(results: tuple[int, ...], weight: np.ndarray) -> float:
        left = [c for c, result in zip(problem.checks, results, strict=True) if not result]
        total = float(weight.sum())
        if not left or total <= 0:
            return 0.0
        opened = _opened(problem, results)
        steps = order_checks(left, weight / total, OPENING, opened, most=1, least_worth=0.0)
        i = problem.checks.index(steps[0].check if steps else left[0])
        return _cost(problem, results, weight, i, value)

    return value((0,) * len(problem.checks), problem.fault)


def _opened(problem: Small, results: tuple[int, ...]) -> frozenset[str]:
    rooms = [c.rooms for c, result in zip(problem.checks, results, strict=True) if result]
    return frozenset(room for each in rooms for room in each)


def _cost(problem, results, weight, i, value) -> float:  # type: ignore[no-untyped-def]
    """Minutes of check i, times the weight still there, plus what follows either result."""
    check = problem.checks[i]
    opened = _opened(problem, results)
    minutes = check.minutes + sum(OPENING[r] for r in check.rooms if r not in opened)
    shown = check.detect + check.leak
    after = [(*results[:i], result, *results[i + 1 :]) for result in (1, 2)]
    clear = weight * (1 - shown)
    found = weight * shown * (1 - problem.confirms[i])
    return minutes * float(weight.sum()) + value(after[0], clear) + value(after[1], found)
