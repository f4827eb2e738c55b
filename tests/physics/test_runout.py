"""Harmonics of dial readings: exact recovery, error bars, what a set of positions cannot see."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.physics.harmonics import aliasing_lobes, lobe_leaks
from advisor.physics.problem import PhysicsError
from advisor.physics.runout import fit_runout, pooled_reading_sd_m

TURN = 2 * math.pi


def even(n: int) -> np.ndarray:
    return TURN * np.arange(n) / n


def wave(angle, mean=0.003, parts=((1, 0.0008, 0.7), (2, 0.0003, 1.1))):
    return mean + sum(a * np.cos(n * (np.asarray(angle) - g)) for n, a, g in parts)


def test_recovers_known_harmonics_at_unequal_angles_with_points_missing():
    angle = np.delete(even(12), [2, 7]) + np.linspace(0, 0.1, 10)
    fit = fit_runout(angle, wave(angle))
    assert fit.offset.tir_m == pytest.approx(0.0016, abs=1e-15)
    assert fit.offset.high_spot_rad == pytest.approx(0.7, abs=1e-12)
    assert fit.harmonics[1].amplitude_m == pytest.approx(0.0003, abs=1e-15)
    assert fit.harmonics[1].high_spot_rad == pytest.approx(1.1, abs=1e-12)
    assert fit.mean_m == pytest.approx(0.003, abs=1e-15)


def test_equal_spacing_agrees_with_the_fast_fourier_transform():
    reading = np.random.default_rng(1).normal(size=12)
    spectrum = np.fft.rfft(reading) / 6
    for harmonic in fit_runout(even(12), reading).harmonics:
        assert harmonic.vector.value == pytest.approx(spectrum[harmonic.order].conjugate())


def test_shape_is_what_the_offset_cannot_make():
    angle = even(24)
    fit = fit_runout(angle, wave(angle))
    oval = 0.0003 * np.cos(2 * (angle - 1.1))
    np.testing.assert_allclose(fit.shape_m, oval, atol=1e-15)
    assert fit.shape_tir_m == pytest.approx(np.ptp(oval))
    assert fit.tir_m == pytest.approx(np.ptp(wave(angle)))


@given(
    turn=st.floats(0, TURN),
    lift=st.floats(-0.01, 0.01),
    seed=st.integers(0, 10_000),
    n=st.integers(6, 16),
)
def test_turning_the_marks_turns_the_vector_and_lifting_the_dial_changes_nothing(
    turn, lift, seed, n
):
    rng = np.random.default_rng(seed)
    reading = rng.normal(scale=1e-3, size=n)
    plain = fit_runout(even(n), reading)
    moved = fit_runout(even(n) + turn, reading + lift)
    for before, after in zip(plain.harmonics, moved.harmonics, strict=True):
        expected = before.vector.value * np.exp(1j * before.order * turn)
        assert abs(after.vector.value - expected) < 1e-12
    assert moved.tir_m == pytest.approx(plain.tir_m, abs=1e-12)
    assert moved.shape_tir_m == pytest.approx(plain.shape_tir_m, abs=1e-12)


@pytest.mark.parametrize("given_sd", [True, False])
def test_error_bars_match_monte_carlo_at_uneven_positions(given_sd):
    rng = np.random.default_rng(5)
    angle = np.delete(even(14), [0, 1, 2])
    sd, clean = 5e-5, wave(angle)
    known = sd if given_sd else None
    fits = [
        fit_runout(angle, clean + rng.normal(scale=sd, size=11), reading_sd_m=known)
        for _ in range(600)
    ]
    for k in range(2):
        parts = [fit.harmonics[k] for fit in fits]
        claimed = math.sqrt(np.mean([h.tir_sd_m**2 for h in parts]))
        assert np.std([h.tir_m for h in parts]) == pytest.approx(claimed, rel=0.10)
        claimed = math.sqrt(np.mean([h.high_spot_sd_rad**2 for h in parts]))
        assert np.std([h.high_spot_rad for h in parts]) == pytest.approx(claimed, rel=0.12)


def test_error_of_the_offset_follows_the_closed_form():
    # sd(TIR1) = 2 s sqrt(2 / N): textbook variance of a Fourier coefficient.
    fit = fit_runout(even(12), wave(even(12)), reading_sd_m=2e-5)
    assert fit.offset.tir_sd_m == pytest.approx(2 * 2e-5 * math.sqrt(2 / 12))


def test_pooled_error_is_that_of_all_spare_readings_together():
    rng = np.random.default_rng(3)
    fits = [fit_runout(even(n), rng.normal(size=n)) for n in (8, 12)]
    spare = sum(fit.dof for fit in fits)
    squares = sum(float(fit.residual_m @ fit.residual_m) for fit in fits)
    assert pooled_reading_sd_m(fits) == pytest.approx(math.sqrt(squares / spare))
    with pytest.raises(PhysicsError, match="error estimate"):
        pooled_reading_sd_m([fit_runout(even(8), np.arange(8.0), reading_sd_m=1.0)])


@pytest.mark.parametrize("n", range(6, 14))
def test_folding_rule_is_what_the_fit_really_does(n):
    for lobes in range(2, 25):
        pattern = np.cos(lobes * even(n) + 0.3)
        fit = fit_runout(even(n), pattern, highest_order=1)
        assert (fit.offset.amplitude_m > 0.5) == (lobes in aliasing_lobes(n))


def test_ten_lugs_fold_onto_the_offset_at_nine_and_eleven_positions_only():
    # Sampling theorem: N divides 10 - 1 or 10 + 1.
    assert [n for n in range(6, 17) if 10 in aliasing_lobes(n)] == [9, 11]
    assert 10 in fit_runout(even(9), np.zeros(9)).lobes_as_offset
    assert fit_runout(even(12), np.zeros(12)).lobes_as_offset == (11, 13, 23)


def test_leak_of_uneven_positions_bounds_every_phase():
    angle = np.delete(even(12), [0, 5])
    leak = lobe_leaks(angle, 2, [7])[7]
    offsets = [
        fit_runout(angle, np.cos(7 * angle - p), highest_order=2).offset.amplitude_m
        for p in np.linspace(0, TURN, 181)
    ]
    assert max(offsets) == pytest.approx(leak, rel=1e-3)


@pytest.mark.parametrize(
    ("angle", "message"),
    [
        (even(5), "5 positions"),
        (np.repeat(even(4), 3), "4 positions"),
        (np.linspace(0, 1.5, 12), "gap too wide"),
    ],
)
def test_refuses_positions_that_cannot_carry_an_offset(angle, message):
    with pytest.raises(PhysicsError, match=message) as caught:
        fit_runout(angle, np.cos(angle))
    assert caught.value.still and caught.value.remeasure


def test_refuses_a_missing_number_and_too_many_harmonics():
    with pytest.raises(PhysicsError, match="not a number"):
        fit_runout(even(8), [math.nan, *range(7)])
    with pytest.raises(PhysicsError, match="more harmonics"):
        fit_runout(even(7), np.arange(7.0), highest_order=3)
    # with a known reading error seven positions do carry their seven numbers
    exact = fit_runout(even(7), np.arange(7.0), highest_order=3, reading_sd_m=0.1)
    assert (exact.dof, len(exact.harmonics)) == (0, 3)
    assert np.abs(exact.residual_m).max() < 1e-12


@pytest.mark.parametrize(("positions", "order"), [(6, 2), (8, 3), (9, 3), (10, 4), (24, 4)])
def test_as_many_harmonics_as_the_positions_carry(positions, order):
    """The sampling theorem: below half of them; four at most (own choice)."""
    assert len(fit_runout(even(positions), np.arange(float(positions))).harmonics) == order


def test_a_little_over_half_the_turn_carries_the_offset_alone():
    angle = np.radians(np.linspace(0, 200, 12))
    fit = fit_runout(angle, 1 + 2 * np.cos(angle - 0.3))
    assert [h.order for h in fit.harmonics] == [1]
    assert fit.offset.amplitude_m == pytest.approx(2.0)


def test_a_round_true_part_has_no_angle():
    fit = fit_runout(even(12), np.full(12, 0.004), reading_sd_m=1e-5)
    assert fit.offset.tir_m < 1e-15
    assert fit.offset.high_spot_sd_rad == pytest.approx(math.pi / math.sqrt(3))
