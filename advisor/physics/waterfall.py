"""Speed against frequency: the numbers behind the picture in which orders are slanted lines."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from advisor.physics.frames import frame_power


@dataclass(frozen=True)
class Waterfall:
    """speed_m_s (s,): middle of each speed bin; frequency_hz (f,); amplitude (s, f): peak of a
    tone, root mean square over the frames of that bin, NaN where no frame fell; frames (s,).
    """

    speed_m_s: np.ndarray
    frequency_hz: np.ndarray
    amplitude: np.ndarray
    frames: np.ndarray


def waterfall(
    signal: np.ndarray,
    sample_rate_hz: float,
    speed_time_s: np.ndarray,
    speed_m_s: np.ndarray,
    *,
    bin_m_s: float = 0.5,
    frame_s: float = 4.0,
    max_hz: float = 80.0,
    valid: np.ndarray | None = None,
) -> Waterfall:
    """Frame spectra of `signal` (n,) averaged by road speed.

    speed_time_s, speed_m_s: speed log on the time base of the signal. Raises ValueError when no
    whole frame fits.
    """
    frames = frame_power(
        signal, sample_rate_hz, frame_s, valid=valid, max_hz=min(max_hz, sample_rate_hz / 2)
    )
    if not len(frames.time_s):
        raise ValueError(f"no stretch of {frame_s:g} s without a gap")
    speed = np.interp(frames.time_s, speed_time_s, speed_m_s)
    lowest = int(np.floor(speed.min() / bin_m_s))
    row = np.floor(speed / bin_m_s).astype(int) - lowest
    total = np.zeros((row.max() + 1, len(frames.frequency_hz)))
    np.add.at(total, row, frames.power)
    count = np.bincount(row)
    with np.errstate(invalid="ignore", divide="ignore"):
        amplitude = np.sqrt(total / count[:, None])
    middle = (np.arange(len(count)) + lowest + 0.5) * bin_m_s
    return Waterfall(middle, frames.frequency_hz, amplitude, count)
