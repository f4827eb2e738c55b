"""Frequency-weighted vibration: how much of an acceleration a seated person takes note of."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class Weighting:
    """Corner frequencies in Hz and quality factors of one frequency weighting; no step when f5 = 0.

    Letters as in the standard. Source: ISO 8041 parameters as reprinted in an instrument reference
    manual, table 3.1 (secondary).
    """

    f1_hz: float
    f2_hz: float
    f3_hz: float
    f4_hz: float
    q4: float
    f5_hz: float = 0.0
    q5: float = 1.0
    f6_hz: float = 0.0
    q6: float = 1.0


WEIGHTINGS = {
    "Wk": Weighting(0.4, 100.0, 12.5, 12.5, 0.63, 2.37, 0.91, 3.35, 0.91),
    "Wd": Weighting(0.4, 100.0, 2.0, 2.0, 0.63),
}
HIGHEST_HZ = 80.0  # band of the method, ISO 2631-1:1997 (clause from memory)
CREST_FACTOR_LIMIT = 9.0  # beyond it the rms understates; ISO 2631-1:1997, 6.2.1, from memory


@dataclass(frozen=True)
class WeightedVibration:
    """rms_m_s2: weighted root mean square; crest_factor: largest weighted value over it."""

    weighting: str
    rms_m_s2: float
    crest_factor: float


def weighting_response(name: str, frequency_hz: np.ndarray) -> np.ndarray:
    """Complex response of weighting `name` ("Wk" vertical, "Wd" horizontal) at frequencies (f,).

    Band limits times acceleration-velocity transition times upward step, ISO 8041 (form from
    memory, parameters secondary). Raises KeyError for another name.
    """
    w = WEIGHTINGS[name]
    s = 2j * np.pi * np.maximum(np.asarray(frequency_hz, float), 1e-12)
    w1, w2, w3, w4 = (2 * np.pi * f for f in (w.f1_hz, w.f2_hz, w.f3_hz, w.f4_hz))
    high_pass = 1 / (1 + math.sqrt(2) * w1 / s + (w1 / s) ** 2)
    low_pass = 1 / (1 + math.sqrt(2) * s / w2 + (s / w2) ** 2)
    transition = (1 + s / w3) / (1 + s / (w.q4 * w4) + (s / w4) ** 2)
    if not w.f5_hz:
        return high_pass * low_pass * transition
    w5, w6 = 2 * np.pi * w.f5_hz, 2 * np.pi * w.f6_hz
    below = 1 + s / (w.q5 * w5) + (s / w5) ** 2
    above = 1 + s / (w.q6 * w6) + (s / w6) ** 2
    return high_pass * low_pass * transition * below / above * (w5 / w6) ** 2


def weight_signal(signal: np.ndarray, sample_rate_hz: float, name: str) -> np.ndarray:
    """Weighted time signal (n,); mean removed, ends padded with zeros against wrap-around."""
    from scipy.fft import irfft, next_fast_len, rfft

    size = next_fast_len(len(signal) + int(5 * sample_rate_hz), real=True)
    spectrum = rfft(signal - np.mean(signal), size)
    spectrum *= weighting_response(name, np.fft.rfftfreq(size, 1 / sample_rate_hz))
    return irfft(spectrum, size)[: len(signal)]


def weighted_vibration(
    signal: np.ndarray, sample_rate_hz: float, name: str, *, valid: np.ndarray | None = None
) -> WeightedVibration:
    """Weighted rms and crest factor of an acceleration (n,) in m/s2; gaps (valid False) left out.

    Raises ValueError when nothing is valid.
    """
    if valid is not None and not valid.any():
        raise ValueError("no valid sample")
    weighted = weight_signal(signal, sample_rate_hz, name)
    if valid is not None:
        weighted = weighted[valid]
    rms = math.sqrt(float(weighted @ weighted) / len(weighted))
    largest = float(max(weighted.max(), -weighted.min()))
    return WeightedVibration(name, rms, largest / rms if rms else 0.0)


def total_value(rms_m_s2: Sequence[float], factors: Sequence[float] = (1.0, 1.0, 1.0)) -> float:
    """Vibration total value: root sum of squares of factor times weighted rms, x, y, z.

    factors: 1, 1, 1 for comfort at the seat surface; 1.4, 1.4, 1 for health. Source: ISO
    2631-1:1997 as implemented in open-source code (secondary; clauses 8.2.2, 7.2.3 from memory).
    """
    return math.sqrt(sum((k * a) ** 2 for k, a in zip(factors, rms_m_s2, strict=True)))
