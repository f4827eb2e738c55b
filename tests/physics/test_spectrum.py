"""Steady spectrum and its peaks; scipy and Monte Carlo are the reference."""

import numpy as np
import pytest
from scipy import signal as sp

from advisor.physics.sampling import frequency_error_bound_hz
from advisor.physics.spectrum import amplitude_spectrum, find_peaks

RATE_HZ = 100


def tone(frequency_hz, amplitude, seconds=10.0, phase=0.3):
    time_s = np.arange(int(seconds * RATE_HZ)) / RATE_HZ
    return amplitude * np.cos(2 * np.pi * frequency_hz * time_s + phase)


def noise(seconds, sd, seed=0):
    return sd * np.random.default_rng(seed).standard_normal(int(seconds * RATE_HZ))


def test_amplitudes_are_those_of_scipy_welch():
    signal = tone(8.0, 0.3, 60) + noise(60, 0.1)
    spectrum = amplitude_spectrum(signal, RATE_HZ, block_s=10)
    frequency_hz, power = sp.welch(signal, RATE_HZ, nperseg=1000, scaling="spectrum")
    ours = np.interp(frequency_hz, spectrum.frequency_hz, spectrum.amplitude)
    np.testing.assert_allclose(ours[1:], np.sqrt(2 * power)[1:], rtol=1e-6)


def test_noise_floor_is_what_noise_alone_shows():
    spectrum = amplitude_spectrum(noise(600, 0.2), RATE_HZ, block_s=10)
    inside = spectrum.frequency_hz > 1
    shown = np.sqrt(np.mean(spectrum.amplitude[inside] ** 2))
    assert np.mean(spectrum.noise_amplitude[inside]) == pytest.approx(shown, rel=0.03)


def test_frequency_error_of_a_peak_is_honest():
    # Held against the Cramer-Rao bound by Monte Carlo.
    rng = np.random.default_rng(2)
    errors, claimed = [], []
    for seed in range(200):
        true_hz = 8 + rng.uniform(0, 0.1)
        signal = tone(true_hz, 0.05, phase=rng.uniform(0, 6.28)) + noise(10, 0.03, seed)
        peak = find_peaks(amplitude_spectrum(signal, RATE_HZ))[0]
        errors.append(peak.frequency_hz - true_hz)
        claimed.append(peak.frequency_sd_hz)
    bound_hz = frequency_error_bound_hz(0.05, 0.03, 1000, RATE_HZ)
    assert bound_hz * 0.9 < np.std(errors) < 2 * bound_hz
    assert np.std(errors) == pytest.approx(np.mean(claimed), rel=0.2)


@pytest.mark.parametrize("true_hz", np.linspace(7.9, 8.1, 9))
def test_frequency_without_noise_stays_within_its_stated_error(true_hz):
    peak = find_peaks(amplitude_spectrum(tone(true_hz, 1.0) + noise(10, 1e-6), RATE_HZ))[0]
    assert abs(peak.frequency_hz - true_hz) < 3 * peak.frequency_sd_hz
    assert peak.amplitude == pytest.approx(1.0, rel=0.01)


def test_two_lines_half_a_hertz_apart_in_ten_seconds():
    signal = tone(8.0, 0.3) + tone(8.5, 0.15, phase=1.0) + noise(10, 0.1)
    peaks = find_peaks(amplitude_spectrum(signal, RATE_HZ))
    assert [round(p.frequency_hz, 1) for p in peaks] == [8.0, 8.5]
    assert [p.amplitude for p in peaks] == pytest.approx([0.3, 0.15], abs=0.02)


def test_one_line_at_8_0_is_told_from_one_at_8_5():
    for true_hz in (8.0, 8.5):
        peak = find_peaks(amplitude_spectrum(tone(true_hz, 0.05) + noise(10, 0.05), RATE_HZ))[0]
        other_hz = 16.5 - true_hz
        assert abs(peak.frequency_hz - true_hz) < 4 * peak.frequency_sd_hz
        assert abs(peak.frequency_hz - other_hz) > 20 * peak.frequency_sd_hz


def test_noise_alone_shows_no_line():
    quiet = sum(not find_peaks(amplitude_spectrum(noise(10, 1, s), RATE_HZ)) for s in range(200))
    assert quiet >= 198  # false alarm 1e-3 a spectrum


def test_a_smeared_line_gets_a_wide_error():
    time_s = np.arange(1000) / RATE_HZ
    sweep = 0.3 * np.cos(2 * np.pi * (8.0 * time_s + 0.025 * time_s**2)) + noise(10, 0.01)
    peak = find_peaks(amplitude_spectrum(sweep, RATE_HZ))[0]
    assert peak.frequency_sd_hz > 0.05


def test_not_a_number_is_refused():
    with pytest.raises(ValueError, match="finite"):
        amplitude_spectrum(np.full(100, np.nan), RATE_HZ)
