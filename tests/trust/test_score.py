"""Scores against arithmetic by hand and published definitions."""

from __future__ import annotations

import math

import numpy as np
import pytest

from advisor.trust.outcomes import Outcome
from advisor.trust.score import bins_of, calibration_error, figures, intervals


def outcome(ranks_of: dict[str, float], found: tuple[str, ...]) -> Outcome:
    ranking = tuple(sorted(ranks_of, key=lambda c: -ranks_of[c]))
    ranks = [ranking.index(c) + 1 for c in found]
    return Outcome("case", "coach", ranks_of, ranking, found, min(ranks), max(ranks))


TWO = [
    outcome({"a": 0.8, "b": 0.3, "c": 0.2, "d": 0.1}, ("a",)),
    outcome({"a": 0.6, "b": 0.5, "c": 0.4, "d": 0.1}, ("b", "d")),
]


def test_shares_and_reciprocal_rank_by_hand():
    f = figures(TWO)
    assert (f.first, f.top_three, f.all_in_three) == (0.5, 1.0, 0.5)
    assert f.reciprocal_rank == pytest.approx((1 / 1 + 1 / 2) / 2)


def test_brier_and_log_loss_by_definition():
    """Brier, Monthly Weather Review 78 (1950): mean squared error of the stated probability."""
    pairs = [(0.8, 1), (0.3, 0), (0.2, 0), (0.1, 0), (0.6, 0), (0.5, 1), (0.4, 0), (0.1, 1)]
    f = figures(TWO)
    assert f.brier == pytest.approx(sum((p - y) ** 2 for p, y in pairs) / len(pairs))
    loss = -sum(math.log(p) if y else math.log(1 - p) for p, y in pairs) / len(pairs)
    assert f.log_loss == pytest.approx(loss)


def test_calibrated_forecasts_have_a_small_calibration_error():
    rng = np.random.default_rng(3)
    p = rng.random(200_000)
    y = rng.random(200_000) < p
    assert calibration_error(bins_of(p, y)) < 0.01
    assert calibration_error(bins_of(p, rng.random(200_000) < p**3)) > 0.1


def test_every_forecast_is_in_one_bin_ends_included():
    p = np.array([0.0, 0.1, 0.5, 0.999, 1.0])
    assert sum(b.count for b in bins_of(p, p > 0.4)) == len(p)


def test_interval_of_a_share_is_about_the_binomial_one():
    """Normal approximation of a binomial share, 90 %: p +/- 1.645 sqrt(p (1 - p) / n)."""
    results = [TWO[0]] * 60 + [TWO[1]] * 40
    found = intervals(results)["first"]
    half = 1.645 * math.sqrt(0.6 * 0.4 / 100)
    assert found.low == pytest.approx(0.6 - half, abs=0.02)
    assert found.high == pytest.approx(0.6 + half, abs=0.02)
