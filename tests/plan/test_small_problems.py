"""The planner's way against the exact best one, where every result can be gone through."""

from __future__ import annotations

import pytest

from tests.benchmarks.exact_plan import best_minutes, planned_minutes, small_problem

SEEDS = range(40)


@pytest.fixture(scope="module")
def ratios():
    problems = [small_problem(seed) for seed in SEEDS]
    return [planned_minutes(p) / best_minutes(p) for p in problems]


def test_nothing_beats_the_exact_optimum(ratios):
    assert min(ratios) >= 1 - 1e-9


def test_on_average_within_ten_percent_of_the_optimum(ratios):
    assert sum(ratios) / len(ratios) <= 1.10


def test_nine_in_ten_within_ten_percent_and_none_beyond_thirty(ratios):
    assert sum(r <= 1.10 for r in ratios) >= 0.9 * len(ratios)
    assert max(ratios) <= 1.30
