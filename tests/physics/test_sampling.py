"""Aliasing, record length, jitter and the frequency bound, against published or simple values."""

import numpy as np
import pytest

from advisor.physics.samples import Samples
from advisor.physics.sampling import (
    aliased_frequency_hz,
    allowed_speed_drift_m_s,
    frequency_error_bound_hz,
    jitter_noise_db,
    length_to_separate_s,
    lines_folding_onto_wheel_orders,
    timing_jitter_s,
)
from advisor.physics.steady import steady_stretch

CIRCUMFERENCE_M = 3.143


@pytest.mark.parametrize("true_hz", [60.0, 62.1, 24.9, 25.0, 99.0, 137.3])
def test_folding_agrees_with_the_spectrum_of_a_sampled_sine(true_hz):
    time_s = np.arange(0, 40, 1 / 50)
    spectrum = np.abs(np.fft.rfft(np.cos(2 * np.pi * true_hz * time_s + 0.3)))
    seen_hz = np.fft.rfftfreq(len(time_s), 1 / 50)[spectrum.argmax()]
    assert aliased_frequency_hz(true_hz, 50) == pytest.approx(seen_hz, abs=0.026)


def test_engine_and_shaft_lines_at_50_samples_a_second():
    # Computed in the physics notes: 60 Hz shows at 10.0, 62.1 Hz at 12.1 Hz.
    assert aliased_frequency_hz(60, 50) == pytest.approx(10.0)
    assert aliased_frequency_hz(62.1, 50) == pytest.approx(12.1)


def test_only_lines_that_fold_onto_a_wheel_order_are_named():
    lines = {"engine firing": 60.0, "shaft order 2": 62.1, "engine order 1": 20.0}
    found = lines_folding_onto_wheel_orders(lines, wheel_hz=10.0, sample_rate_hz=50)
    assert [(f.name, f.wheel_order) for f in found] == [("engine firing", 1)]
    assert lines_folding_onto_wheel_orders(lines, wheel_hz=10.0, sample_rate_hz=500) == ()


def test_length_and_drift_agree_with_the_fourier_resolution():
    # 1/T for a boxcar, 2/T for a Hann window; computed in the physics notes for 3.143 m.
    assert length_to_separate_s(8.0, 8.5, window="boxcar") == pytest.approx(2)
    assert length_to_separate_s(8.0, 8.5) == pytest.approx(4)
    step_hz = 1 / 3.6 / CIRCUMFERENCE_M
    assert length_to_separate_s(9.0, 9.0 + step_hz, window="boxcar") == pytest.approx(11.3, abs=0.1)
    assert allowed_speed_drift_m_s(8, CIRCUMFERENCE_M) * 3.6 == pytest.approx(1.4, abs=0.02)
    assert allowed_speed_drift_m_s(16, CIRCUMFERENCE_M) * 3.6 == pytest.approx(0.7, abs=0.01)


@pytest.mark.parametrize(("tone_hz", "below_db"), [(8, 48), (30, 36), (60, 30)])
def test_jitter_noise_of_80_microseconds(tone_hz, below_db):
    # Source of the jitter: dsp.stackexchange question 45337; decibels by Monte Carlo here.
    rng = np.random.default_rng(3)
    time_s = np.arange(20_000) / 200
    shaken = np.cos(2 * np.pi * tone_hz * (time_s + 80e-6 * rng.standard_normal(len(time_s))))
    noise = np.mean((shaken - np.cos(2 * np.pi * tone_hz * time_s)) ** 2)
    assert 10 * np.log10(noise / 0.5) == pytest.approx(jitter_noise_db(tone_hz, 80e-6), abs=0.3)
    assert jitter_noise_db(tone_hz, 80e-6) == pytest.approx(-below_db, abs=0.5)


def test_jitter_ignores_a_clock_that_runs_wrong_steadily():
    rng = np.random.default_rng(5)
    time_s = 7 + np.arange(5000) * 0.01003 + 1e-4 * rng.standard_normal(5000)
    assert timing_jitter_s(time_s) == pytest.approx(1e-4, rel=0.05)


def test_frequency_bound_is_reached_by_the_maximum_likelihood_estimate():
    # Cramer-Rao bound: Rife and Boorstyn 1974 (from memory); reached by fine search of the
    # periodogram, which is the maximum-likelihood estimate of one tone.
    rng = np.random.default_rng(1)
    rate_hz, count, amplitude, noise = 100, 1000, 0.05, 0.03
    time_s = np.arange(count) / rate_hz
    fine_hz = 8.0 + np.linspace(-0.01, 0.01, 401)
    waves = np.exp(-2j * np.pi * np.outer(fine_hz, time_s))
    phases = rng.uniform(0, 2 * np.pi, 300)
    tones = amplitude * np.cos(2 * np.pi * 8.0 * time_s[:, None] + phases)
    tones += noise * rng.standard_normal(tones.shape)
    found_hz = fine_hz[np.abs(waves @ tones).argmax(axis=0)]
    bound_hz = frequency_error_bound_hz(amplitude, noise, count, rate_hz)
    assert np.std(found_hz) == pytest.approx(bound_hz, rel=0.15)
    assert bound_hz == pytest.approx(1.5e-3, rel=0.05)


def test_what_cannot_be_computed_is_refused():
    for wrong in (
        lambda: aliased_frequency_hz(8.0, 0.0),
        lambda: jitter_noise_db(8.0, 0.0),
        lambda: jitter_noise_db(0.0, 1e-4),
        lambda: allowed_speed_drift_m_s(0.0, CIRCUMFERENCE_M),
        lambda: frequency_error_bound_hz(0.0, 0.03, 1000, 100),
        lambda: frequency_error_bound_hz(0.05, 0.03, 2, 100),
        lambda: length_to_separate_s(8.0, 8.0),
    ):
        with pytest.raises(ValueError, match=r"above zero|told apart"):
            wrong()
    assert timing_jitter_s(np.array([0.0, 0.1])) == 0.0  # two stamps lie on a line


def test_the_longest_run_without_a_gap_is_taken_where_the_speed_is_unknown():
    """100 samples a second with a second missing at 40 s of 100: the last 59 s; 3 s are too few."""
    valid = np.ones(10_000, bool)
    valid[4000:4100] = False
    values = np.zeros((1, 10_000))
    none = np.zeros(0)
    stretch = steady_stretch(Samples(values, 100.0, none, none, valid), None, None)
    assert (stretch.first, stretch.stop) == (4100, 10_000)
    whole = steady_stretch(Samples(values, 100.0, none, none), None, None)
    assert (whole.first, whole.stop) == (0, 10_000)
    for few in (np.arange(10_000) < 300, np.zeros(10_000, bool)):
        assert steady_stretch(Samples(values, 100.0, none, none, few), None, None) is None
