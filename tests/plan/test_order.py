"""The order of inspections against the proven rule where it holds and brute force where it does
not (Kadane & Simon 1977 and the cost-cluster papers named in advisor/plan/order.py)."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from advisor.plan.order import Check, Step, expected_minutes, order_checks


def perfect(name: str, fault: int, faults: int, minutes: float, rooms=()) -> Check:
    detect = np.zeros(faults)
    detect[fault] = 1.0
    return Check(name, "", detect, minutes, tuple(rooms))


def cost_of(order, fault, opening) -> float:
    """Expected minutes of any order, straight from the definition."""
    weight, opened, total = np.array(fault, dtype=float), set(), 0.0
    for check in order:
        minutes = check.minutes + sum(opening[r] for r in check.rooms if r not in opened)
        if "road" in check.rooms:  # nobody drives with an axle in the air
            opened = set()
        elif check.rooms:
            opened -= {"road"}
        opened |= set(check.rooms)
        total += minutes * weight.sum()
        weight = weight * (1 - check.detect)
    return total


@pytest.mark.parametrize("seed", range(8))
def test_probability_over_cost_is_optimal_without_opening_costs(seed):
    rng = np.random.default_rng(seed)
    fault = rng.dirichlet(np.ones(6))
    checks = [perfect(f"c{i}", i, 6, float(rng.uniform(2, 40))) for i in range(6)]
    steps = order_checks(checks, fault, {}, least_worth=0.0)
    by_ratio = sorted(range(6), key=lambda i: -fault[i] / checks[i].minutes)
    assert [s.check.id for s in steps] == [f"c{i}" for i in by_ratio]
    best = min(cost_of(order, fault, {}) for order in itertools.permutations(checks))
    assert expected_minutes(steps, fault) == pytest.approx(best)


@pytest.mark.parametrize("seed", range(12))
def test_shared_opening_costs_come_within_ten_percent_of_the_optimum(seed):
    rng = np.random.default_rng(100 + seed)
    faults = 6
    fault = rng.dirichlet(np.ones(faults))
    opening = {"raised": 15.0, "wheel_off": 20.0, "road": 20.0}
    rooms = [(), (), ("raised",), ("raised",), ("raised", "wheel_off"), ("road",)]
    checks = [
        Check(f"c{i}", "", rng.uniform(0, 0.95, faults) * (rng.random(faults) < 0.5), m, rooms[i])
        for i, m in enumerate(rng.uniform(3, 25, 6))
    ]
    steps = order_checks(checks, fault, opening, least_worth=-1.0, sharpness=0.0)
    ours = cost_of([s.check for s in steps], fault, opening)
    best = min(cost_of(order, fault, opening) for order in itertools.permutations(checks))
    assert ours <= 1.10 * best
    assert ours == pytest.approx(expected_minutes(steps, fault))


def test_opening_is_paid_once_and_not_at_all_when_open():
    fault = np.array([0.5, 0.4, 0.1])
    checks = [perfect(f"c{i}", i, 3, 5, ["raised"]) for i in range(3)]
    steps: list[Step] = order_checks(checks, fault, {"raised": 15.0})
    assert [s.minutes for s in steps] == [20.0, 5.0, 5.0]
    again = order_checks(checks, fault, {"raised": 15.0}, frozenset({"raised"}))
    assert [s.minutes for s in again] == [5.0, 5.0, 5.0]


def test_two_cheap_checks_inside_can_outrank_one_outside():
    """Neither check inside pays for the jack alone; together they do."""
    fault = np.array([0.4, 0.4, 0.2])
    inside = [perfect("in0", 0, 3, 2, ["raised"]), perfect("in1", 1, 3, 2, ["raised"])]
    outside = perfect("out", 2, 3, 8)
    steps = order_checks([outside, *inside], fault, {"raised": 12.0})
    assert [s.check.id for s in steps] == ["in1", "in0", "out"] or [s.check.id for s in steps] == [
        "in0",
        "in1",
        "out",
    ]


def test_checks_that_find_nothing_are_left_out():
    steps = order_checks([perfect("none", 0, 2, 5)], np.array([0.0, 1.0]), {})
    assert steps == []
