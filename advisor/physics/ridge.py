"""Follow the strongest ridge of a run-up, and read the speed from it when nothing else gives it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from advisor.physics.frames import Frames, frame_power, slow_down

CLEAR_POWER_RATIO = 12.0  # ridge over the median of its frame; source: own choice
LOWEST_HZ, HIGHEST_HZ = 1.5, 12.0  # wheel order 1 from 10 to 80 mph on heavy tires


@dataclass(frozen=True)
class Ridge:
    """The strongest continuous line.

    time_s, frequency_hz, amplitude (peak), clear: each (k,); clear is False where the ridge does
    not stand out of the frame. frequency_sd_hz: scatter of one point about its neighbors.
    """

    time_s: np.ndarray
    frequency_hz: np.ndarray
    amplitude: np.ndarray
    clear: np.ndarray
    frequency_sd_hz: float


@dataclass(frozen=True)
class SpeedFromRidge:
    """Road speed read from the ridge, taken as `order` of the wheel.

    time_s, speed_m_s (k,); speed_sd_m_s: one point, scatter and circumference together;
    clear_share: part of the time the ridge stood out; moves: False when the ridge is flat, so that
    it may as well be a resonance or a steady speed.
    """

    time_s: np.ndarray
    speed_m_s: np.ndarray
    speed_sd_m_s: float
    clear_share: float
    moves: bool
    order: float


def frame_length_s(rate_change_hz_per_s: float) -> float:
    """Frame that smears a sweeping line least: 1/sqrt(sweep rate), kept in 2 to 8 s.

    Smearing sweep x T equals the line width 1/T. Own derivation.
    """
    return float(np.clip(abs(rate_change_hz_per_s + 1e-9) ** -0.5, 2.0, 8.0))


def follow_ridge(
    signal: np.ndarray,
    sample_rate_hz: float,
    *,
    low_hz: float = LOWEST_HZ,
    high_hz: float = HIGHEST_HZ,
    frame_s: float = 4.0,
    max_sweep_hz_per_s: float = 0.5,
    valid: np.ndarray | None = None,
) -> Ridge:
    """Strongest continuous line of `signal` (n,) between low_hz and high_hz.

    Best path through the frames (Viterbi, IEEE Trans. Inf. Theory 13(2) 1967, from memory):
    loudness counts, jumps beyond max_sweep_hz_per_s are not allowed, smaller ones cost a little.
    Raises ValueError when fewer than 4 frames fit.
    """
    slow, slow_hz, factor = slow_down(signal, sample_rate_hz, 1.5 * high_hz)
    slow_valid = None if valid is None else valid[::factor][: len(slow)]
    frames = frame_power(slow, slow_hz, frame_s, valid=slow_valid, max_hz=1.5 * high_hz, padding=4)
    if len(frames.time_s) < 4:
        raise ValueError(f"a ridge needs at least 4 frames of {frame_s:g} s")
    inside = np.flatnonzero((frames.frequency_hz >= low_hz) & (frames.frequency_hz <= high_hz))
    noise = np.median(frames.power, axis=1)[:, None] + 1e-300
    height = frames.power[:, inside] / noise
    score = np.log(np.maximum(height, 1.0))
    step_hz = frames.frequency_hz[1]
    reach = max(1, round(max_sweep_hz_per_s * frame_s / 2 / step_hz))
    path = _best_path(score, reach)
    at = np.arange(len(path))
    frequency_hz, amplitude = _between_bins(frames, inside[path])
    bend = np.diff(frequency_hz, 2)
    scatter = float(np.median(np.abs(bend))) / 0.6745 / np.sqrt(6) if len(bend) else step_hz
    clear = height[at, path] > CLEAR_POWER_RATIO
    return Ridge(frames.time_s, frequency_hz, amplitude, clear, max(scatter, 0.01 * step_hz))


def _best_path(score: np.ndarray, reach: int) -> np.ndarray:
    """Column of each row (k,) that maximizes the sum of score (k, j), moving at most `reach`."""
    rows, columns = score.shape
    shifts = np.arange(-reach, reach + 1)
    cost = 0.5 * (shifts / reach) ** 2
    total = score[0]
    came_from = np.zeros((rows, columns), np.intp)
    for k in range(1, rows):
        padded = np.pad(total, reach, constant_values=-np.inf)
        options = np.lib.stride_tricks.sliding_window_view(padded, len(shifts)) - cost
        best = options.argmax(axis=1)
        came_from[k] = np.arange(columns) + shifts[best]
        total = options[np.arange(columns), best] + score[k]
    path = np.empty(rows, np.intp)
    path[-1] = total.argmax()
    for k in range(rows - 1, 0, -1):
        path[k - 1] = came_from[k, path[k]]
    return path


def _between_bins(frames: Frames, column: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Frequency and amplitude between bins, by a parabola through the logarithm."""
    at = np.arange(len(column))
    column = np.clip(column, 1, frames.power.shape[1] - 2)
    log = np.log(frames.power + 1e-300)
    left, mid, right = (log[at, column + d] for d in (-1, 0, 1))
    curve = left - 2 * mid + right
    with np.errstate(divide="ignore", invalid="ignore"):
        offset = np.where(curve < 0, 0.5 * (left - right) / curve, 0.0)
    offset = np.clip(offset, -0.5, 0.5)
    amplitude = np.exp(0.5 * (mid - 0.25 * (left - right) * offset))
    return (column + offset) * frames.frequency_hz[1], amplitude


def speed_from_ridge(
    signal: np.ndarray,
    sample_rate_hz: float,
    circumference_m: float,
    *,
    order: float = 1.0,
    low_hz: float = LOWEST_HZ,
    high_hz: float = HIGHEST_HZ,
    circumference_tolerance: float = 0.025,
    valid: np.ndarray | None = None,
) -> SpeedFromRidge:
    """Road speed from the strongest ridge, taken as wheel order `order`.

    low_hz, high_hz: where wheel order 1 may lie. If the ridge is another order m, the true speed
    is order/m of the answer: check one point against the driver's speedometer.
    """
    ridge = follow_ridge(
        signal, sample_rate_hz, low_hz=order * low_hz, high_hz=order * high_hz, valid=valid
    )
    speed_m_s = ridge.frequency_hz * circumference_m / order
    clear = ridge.clear
    spread = float(np.ptp(ridge.frequency_hz[clear])) if clear.any() else 0.0
    middle_m_s = float(np.median(speed_m_s))
    scatter_m_s = ridge.frequency_sd_hz * circumference_m / order
    return SpeedFromRidge(
        ridge.time_s,
        speed_m_s,
        float(np.hypot(scatter_m_s, circumference_tolerance / 2 * middle_m_s)),
        float(clear.mean()),
        spread > max(6 * ridge.frequency_sd_hz, 0.1 * float(np.median(ridge.frequency_hz))),
        order,
    )
