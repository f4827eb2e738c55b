"""Repeat set-ups and limits: chances against Monte Carlo and reference distributions."""

import math

import numpy as np
import pytest
from scipy import stats

from advisor.physics.seating import compare_repeats, probability_over, seating_sd_m
from advisor.physics.vector import UncertainVector

COVARIANCE = np.array([[4.0, 1.0], [1.0, 2.0]]) * 1e-10


def test_chance_is_uniform_when_only_reading_error_is_at_work():
    rng = np.random.default_rng(2)
    draws = rng.multivariate_normal([3e-4, 1e-4], COVARIANCE, size=(1500, 2))
    chances = [
        compare_repeats(*(UncertainVector(complex(x, y), COVARIANCE) for x, y in pair)).chance
        for pair in draws
    ]
    assert stats.kstest(chances, "uniform").pvalue > 0.01


def test_seating_is_called_at_three_sd_of_the_difference():
    sd = 2e-5
    for factor, called in ((2.9, False), (3.1, True)):
        pair = [UncertainVector.with_sd(v, sd) for v in (0j, factor * math.sqrt(2) * sd * 1j)]
        result = compare_repeats(*pair)
        assert result.seating is called
        assert result.share_of_limit == pytest.approx(factor / 3)
        assert result.tir_m == pytest.approx(2 * factor * math.sqrt(2) * sd)
    with pytest.raises(ValueError, match="reading errors"):
        compare_repeats(UncertainVector(1j), UncertainVector(1 + 0j))


def test_clearance_gives_the_spread_of_a_wheel_dropped_at_random():
    angle = np.random.default_rng(4).uniform(0, 2 * math.pi, 20_000)
    drop = 0.5 * 2.5e-4 * np.cos(angle)
    assert seating_sd_m(2.5e-4) == pytest.approx(drop.std(), rel=0.02)


def test_probability_over_a_limit_agrees_with_scipy():
    assert probability_over(1.2, 0.1, 1.0) == pytest.approx(stats.norm.sf(1.0, 1.2, 0.1))
    assert probability_over(1.2, 0.1, 1.0, dof=3) == pytest.approx(stats.t.cdf(2.0, 3))
    assert [probability_over(v, 0.0, 1.0) for v in (0.9, 1.0, 1.1)] == [0.0, 0.5, 1.0]
    with pytest.raises(ValueError, match="negative"):
        probability_over(1.0, -0.1, 1.0)
