"""Steady-speed spectrum: amplitudes, noise floor, and peaks with the error of their frequency."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from advisor.physics.sampling import frequency_error_bound_hz

HANN_ERROR_FACTOR = 1.5  # peak of a Hann spectrum against the bound; held by a Monte Carlo test
PARABOLA_ERROR_BINS = 0.003  # bias of the three-bin parabola; held by a test without noise
HANN_NOISE_BINS = 1.5  # equivalent noise bandwidth (Harris, Proc. IEEE 66, 1978, from memory)


HANN_WIDTH_BINS = 1.44  # of the main lobe at half power (the same, from memory)
PADDING = 4  # zero padding, so that a parabola through three bins is good enough


@dataclass(frozen=True)
class Spectrum:
    """Amplitude spectrum of a recording at steady speed.

    frequency_hz, amplitude, noise_amplitude: shape (f,); amplitude is the peak of a tone, in the
    unit of the signal, noise_amplitude what noise alone shows there. block_s: length of one block,
    blocks: how many were averaged (half overlapped), power-wise.
    """

    frequency_hz: np.ndarray
    amplitude: np.ndarray
    noise_amplitude: np.ndarray
    block_s: float
    blocks: int
    sample_rate_hz: float


@dataclass(frozen=True)
class Peak:
    """One line of a spectrum; errors are standard deviations.

    above_noise_db: its power over the noise around it.
    """

    frequency_hz: float
    frequency_sd_hz: float
    amplitude: float
    amplitude_sd: float
    above_noise_db: float


def amplitude_spectrum(
    signal: np.ndarray, sample_rate_hz: float, *, block_s: float | None = None
) -> Spectrum:
    """Averaged Hann amplitude spectrum of `signal` (n,), mean removed (Welch 1967, by scipy).

    block_s: block length; default the whole record up to 32 s. Resolution is 2/block_s.
    Raises ValueError when fewer than 16 samples or a value is not finite.
    """
    from scipy import signal as sp
    from scipy.fft import next_fast_len

    if len(signal) < 16 or not np.isfinite(signal).all():
        raise ValueError("a spectrum needs at least 16 finite samples")
    size = min(len(signal), int((block_s or 32.0) * sample_rate_hz))
    frequency_hz, power = sp.welch(
        signal,
        sample_rate_hz,
        window="hann",
        nperseg=size,
        nfft=PADDING * next_fast_len(size, real=True),
        detrend="constant",
        scaling="spectrum",
    )
    blocks = 1 + (len(signal) - size) // (size - size // 2)
    noise = _noise_power(power, independent_blocks(blocks))
    return Spectrum(
        frequency_hz,
        np.sqrt(2 * power),
        np.sqrt(2 * noise),
        size / sample_rate_hz,
        blocks,
        sample_rate_hz,
    )


def independent_blocks(blocks: int) -> float:
    """How many independent blocks `blocks` half-overlapped Hann blocks are worth (Welch 1967)."""
    return max(1.0, 0.95 * blocks)


def _noise_power(power: np.ndarray, blocks: float) -> np.ndarray:
    """Mean noise power around each bin, from the median of 40 neighbors, which lines don't lift."""
    from scipy.ndimage import median_filter
    from scipy.stats import chi2

    # Zero padding only interpolates: every fourth bin carries all there is.
    coarse = power[::PADDING]
    level = median_filter(coarse, size=min(41, len(coarse)), mode="reflect")
    dof = 2 * blocks
    mean = level * dof / chi2.median(dof)
    return np.interp(np.arange(len(power)), np.arange(len(coarse)) * PADDING, mean)


def find_peaks(
    spectrum: Spectrum,
    *,
    low_hz: float = 1.0,
    high_hz: float | None = None,
    false_alarm: float = 1e-3,
) -> tuple[Peak, ...]:
    """Lines that stand out of the noise, strongest first.

    false_alarm: chance that noise alone gives any peak in the band searched. Frequency from a
    parabola through the logarithm of three bins; its error from the Cramer-Rao bound for the noise
    beside the line, widened when the line is wider than a steady tone.
    """
    from scipy import signal as sp
    from scipy.stats import f as ratio_of_powers

    high_hz = spectrum.sample_rate_hz / 2 if high_hz is None else high_hz
    inside = (spectrum.frequency_hz >= low_hz) & (spectrum.frequency_hz <= high_hz)
    cells = max(1.0, inside.sum() / PADDING)
    dof = 2 * independent_blocks(spectrum.blocks)
    # The noise level is itself an estimate, worth about 13 independent bins.
    threshold = math.sqrt(ratio_of_powers.isf(false_alarm / cells, dof, 13 * dof))
    height = np.where(inside, spectrum.amplitude / np.maximum(spectrum.noise_amplitude, 1e-300), 0)
    # Side lobes of a Hann window are 31 dB down: a peak must stand clear of its neighbor's skirt.
    at, _ = sp.find_peaks(height, height=threshold, distance=PADDING, prominence=threshold / 2)
    peaks = [_measure_peak(spectrum, int(k)) for k in at]
    strongest = max((p.amplitude for p in peaks), default=0.0)
    kept = [p for p in peaks if not _is_side_lobe(p, peaks, spectrum.block_s, strongest)]
    return tuple(sorted(kept, key=lambda p: -p.amplitude))


def _is_side_lobe(peak: Peak, peaks: list[Peak], block_s: float, strongest: float) -> bool:
    if peak.amplitude > strongest * 0.05:
        return False
    # Hann side lobes fall by 18 dB an octave from -31 dB at 2.4 bins.
    for other in peaks:
        bins = abs(other.frequency_hz - peak.frequency_hz) * block_s
        if bins > 1.5 and peak.amplitude < 1.5 * other.amplitude * 0.027 * (2.4 / bins) ** 3:
            return True
    return False


def _measure_peak(spectrum: Spectrum, k: int) -> Peak:
    step_hz = spectrum.frequency_hz[1]
    left, mid, right = np.log(spectrum.amplitude[k - 1 : k + 2])
    offset = 0.5 * (left - right) / (left - 2 * mid + right)
    amplitude = math.exp(mid - 0.25 * (left - right) * offset)
    noise = float(spectrum.noise_amplitude[k])
    samples = max(3, round(spectrum.block_s * spectrum.sample_rate_hz))
    # Noise amplitude of one Hann bin back to the standard deviation of white noise.
    noise_sd = noise / 2 * math.sqrt(samples / HANN_NOISE_BINS)
    blocks = independent_blocks(spectrum.blocks)
    bound = frequency_error_bound_hz(amplitude, noise_sd, samples, spectrum.sample_rate_hz)
    sd = HANN_ERROR_FACTOR * bound / math.sqrt(blocks)
    excess = _excess_width_hz(spectrum, k)
    return Peak(
        frequency_hz=float(spectrum.frequency_hz[k] + offset * step_hz),
        frequency_sd_hz=math.hypot(sd, excess / 2, PARABOLA_ERROR_BINS / spectrum.block_s),
        amplitude=amplitude,
        amplitude_sd=noise / math.sqrt(2 * blocks),
        above_noise_db=20 * math.log10(amplitude / max(noise, 1e-300)),
    )


def _excess_width_hz(spectrum: Spectrum, k: int) -> float:
    """How much wider than a steady tone the line is at half power; zero for a steady tone."""
    height = spectrum.amplitude / spectrum.amplitude[k] * math.sqrt(2)
    above, below = _fall(height[k:]), _fall(height[k::-1])
    width = (above + below) * float(spectrum.frequency_hz[1])
    # Noise shakes the flanks: only what it cannot explain counts.
    doubt = 1.05 + 1.5 * float(spectrum.noise_amplitude[k] / spectrum.amplitude[k])
    return math.sqrt(max(0.0, width**2 - (HANN_WIDTH_BINS * doubt / spectrum.block_s) ** 2))


def _fall(height: np.ndarray) -> float:
    """Bins, in parts, until a flank that starts above one falls below one."""
    under = np.flatnonzero(height < 1)
    if not len(under):
        return float(len(height))
    n = int(under[0])
    return n - float((1 - height[n]) / (height[n - 1] - height[n]))
