"""The steadiest stretch of a recording, where a plain spectrum is honest."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from advisor.physics.revolutions import GRID_S, Rotation
from advisor.physics.samples import Samples

LENGTHS_S = (120.0, 60.0, 30.0, 16.0, 8.0)
MOST_DRIFT_M_S = 0.7  # over the stretch, on the smoothed speed; source: own choice
SLOWEST_M_S = 5.0


@dataclass(frozen=True)
class Stretch:
    """Samples first..stop; mean_m_s and drift_m_s of the speed (NaN when unknown); block_s: longest
    spectrum block that the drift does not smear.
    """

    first: int
    stop: int
    mean_m_s: float
    drift_m_s: float
    block_s: float


def steady_stretch(
    samples: Samples, rotation: Rotation | None, speed_m_s: np.ndarray | None
) -> Stretch | None:
    """Longest stretch without gap whose speed drifts little; all of it when speed is unknown.

    speed_m_s (k,) on the grid of `rotation`. None when there is no such stretch of 8 s.
    """
    from scipy.ndimage import maximum_filter1d, minimum_filter1d

    rate_hz, count = samples.sample_rate_hz, samples.acceleration.shape[1]
    if rotation is None or speed_m_s is None:
        first, stop = _longest_run(samples.valid, count)
        enough = (stop - first) / rate_hz >= LENGTHS_S[-1] / 2
        return Stretch(first, stop, np.nan, np.nan, 32.0) if enough else None
    good = speed_m_s >= SLOWEST_M_S
    if samples.valid is not None:
        at = np.minimum((rotation.time_s * rate_hz).astype(np.intp), count - 1)
        good &= samples.valid[at]
    for length_s in LENGTHS_S:
        size = round(length_s / GRID_S)
        if size > len(speed_m_s):
            continue
        half = size // 2
        drift = maximum_filter1d(speed_m_s, size) - minimum_filter1d(speed_m_s, size)
        drift[minimum_filter1d(good.astype(np.int8), size + 2) == 0] = np.inf
        drift[:half] = drift[len(drift) - (size - half) + 1 :] = np.inf
        middle = int(drift.argmin())
        if drift[middle] <= MOST_DRIFT_M_S:
            part = slice(middle - half, middle - half + size)
            first = round(rotation.time_s[part.start] * rate_hz)
            stop = min(count, first + round(length_s * rate_hz))
            return _stretch(first, stop, speed_m_s[part], rotation.rate_hz[part])
    return None


def _stretch(first: int, stop: int, speed_m_s: np.ndarray, turn_hz: np.ndarray) -> Stretch:
    drift_hz = max(float(np.ptp(turn_hz)), 1 / 32)
    return Stretch(
        first, stop, float(speed_m_s.mean()), float(np.ptp(speed_m_s)), max(4.0, 1 / drift_hz)
    )


def _longest_run(valid: np.ndarray | None, count: int) -> tuple[int, int]:
    """First and stop of the longest run of True."""
    if valid is None:
        return 0, count
    edges = np.flatnonzero(np.diff(np.concatenate([[False], valid, [False]]).astype(np.int8)))
    longest = int(np.argmax(edges[1::2] - edges[::2])) if len(edges) else 0
    return (int(edges[2 * longest]), int(edges[2 * longest + 1])) if len(edges) else (0, 0)
