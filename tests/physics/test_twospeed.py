"""Nulling mass against speed: imbalance stays, runout falls as 1/w^2."""

import math

import numpy as np
import pytest
from scipy.optimize import curve_fit

from advisor.physics.problem import PhysicsError
from advisor.physics.twospeed import fit_two_speed

OMEGA = np.array([45.0, 54.0, 62.0])
R = 0.29


def masses(imbalance, force):
    return imbalance + force / (R * OMEGA**2)


@pytest.mark.parametrize(("imbalance", "force"), [(0.4, 0.0), (0.0, 300.0), (0.2 + 0.1j, -90j)])
def test_both_parts_are_recovered(imbalance, force):
    found = fit_two_speed(OMEGA, masses(imbalance, force), 0.02, R)
    assert found.imbalance_add.value == pytest.approx(imbalance, abs=1e-12)
    assert found.runout_force.value == pytest.approx(force, abs=1e-9)
    assert found.ln_likelihood["both"] == pytest.approx(0, abs=1e-12)


def test_the_right_cause_has_the_likelihood():
    assert fit_two_speed(OMEGA, masses(0.4, 0), 0.02, R).ln_ratio > 3
    assert fit_two_speed(OMEGA, masses(0, 300), 0.02, R).ln_ratio < -3
    mixed = fit_two_speed(OMEGA, masses(0.4, 300j), 0.01, R)
    others = max(mixed.ln_likelihood["imbalance"], mixed.ln_likelihood["runout"])
    assert mixed.ln_likelihood["both"] - others > 5
    assert mixed.parameters == {"imbalance": 2, "runout": 2, "both": 4}


def test_ratio_is_that_of_the_two_normal_densities_at_their_best():
    observed, sd = masses(0.3, 80) + np.array([0.01, -0.02, 0.005]), 0.03
    x = 1 / (R * OMEGA**2)
    at_mean = observed - observed.mean()
    at_slope = observed - (x @ observed) / (x @ x) * x
    expected = (at_slope @ at_slope - at_mean @ at_mean) / (2 * sd**2)
    found = fit_two_speed(OMEGA, observed, sd, R)
    assert found.ln_ratio == pytest.approx(expected)
    assert found.parameters["both"] == 2


def test_fit_and_errors_agree_with_scipy():
    sd = np.array([0.02, 0.03, 0.05])
    observed = masses(0.3, 120) + np.array([0.01, -0.03, 0.02])
    best, cov = curve_fit(
        lambda w, m, f: m + f / (R * w**2), OMEGA, observed, [0.3, 100], sd, absolute_sigma=True
    )
    found = fit_two_speed(OMEGA, observed, sd, R)
    assert found.imbalance_add.value.real == pytest.approx(best[0], rel=1e-5)
    assert found.runout_force.value.real == pytest.approx(best[1], rel=1e-5)
    assert found.imbalance_add.magnitude_sd == pytest.approx(math.sqrt(cov[0, 0]), rel=1e-4)
    assert found.runout_force.magnitude_sd == pytest.approx(math.sqrt(cov[1, 1]), rel=1e-4)


def test_errors_of_very_different_size_still_separate_the_two():
    found = fit_two_speed(OMEGA, masses(0.3, 120), [1e-10, 0.02, 0.02], R)
    assert found.imbalance_add.value == pytest.approx(0.3, rel=1e-4)
    assert found.runout_force.value == pytest.approx(120, rel=1e-4)


def test_error_bars_match_monte_carlo_with_angles():
    rng = np.random.default_rng(11)
    sd, clean = 0.02, masses(0.3 + 0.1j, 120j)
    noise = sd * (rng.normal(size=(1000, 3)) + 1j * rng.normal(size=(1000, 3)))
    forces = np.array([fit_two_speed(OMEGA, clean + e, sd, R).runout_force.value for e in noise])
    spread = math.sqrt((forces.real.var() + forces.imag.var()) / 2)
    assert fit_two_speed(OMEGA, clean, sd, R).runout_force.sd == pytest.approx(spread, rel=0.07)


def test_runout_share_falls_with_speed():
    found = fit_two_speed(OMEGA, masses(0.4, 300), 0.02, R)
    for omega in (40.0, 60.0):
        pull = 0.4 * R * omega**2
        assert found.runout_share(omega) == pytest.approx(300 / (300 + pull))
    small = fit_two_speed(OMEGA, masses(0.0004, 0.3), 0.02, R)  # the same wheel, a thousandth of it
    assert small.runout_share(50.0) == pytest.approx(found.runout_share(50.0))
    assert math.isnan(fit_two_speed(OMEGA, masses(0.0, 0.0), 0.02, R).runout_share(50.0))


@pytest.mark.parametrize(
    ("omega", "message"),
    [([0.0, 50.0], "speed is zero"), ([50.0, 51.0], "too close"), ([50.0, 50.0], "too close")],
)
def test_speeds_that_cannot_decide_are_refused(omega, message):
    with pytest.raises(PhysicsError, match=message):
        fit_two_speed(omega, [0.3, 0.4], 0.02, R)


def test_errors_and_radius_must_be_given():
    with pytest.raises(ValueError, match="above zero"):
        fit_two_speed(OMEGA, masses(0.4, 0), 0.0, R)
    with pytest.raises(ValueError, match="above zero"):
        fit_two_speed(OMEGA, masses(0.4, 0), 0.02, 0.0)


def test_two_speeds_are_enough():
    found = fit_two_speed(OMEGA[::2], masses(0.2 + 0.1j, -90j)[::2], 0.02, R)
    assert found.imbalance_add.value == pytest.approx(0.2 + 0.1j)
    assert found.runout_force.value == pytest.approx(-90j)
