"""Wheel turns refined on the vibration itself: a speed log alone is too coarse to count turns."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from advisor.physics.frames import Frames, frame_power, slow_down
from advisor.physics.revolutions import GRID_S, Rotation, rotation_from_rate

BAND = 0.03  # tire tables miss by up to 2.5 %, a satellite speed by less; source: own derivation
CLEAR_POWER = 8.5  # line over the noise beside it; noise alone reaches 5 (8 in 20 s), simulated
PHASE_BANDS_HZ = (0.3, 0.15, 0.15)


@dataclass(frozen=True)
class Refined:
    """Wheel turns after refinement.

    rotation: the refined turns, or those given when `found` is False; scale: refined turns over
    given turns (1.01: circumference 1 % smaller than assumed); above_noise: power of the order
    tracked over the noise 0.6 to 0.9 Hz beside it.
    """

    rotation: Rotation
    found: bool
    scale: float
    above_noise: float


def refine_rotation(
    signal: np.ndarray,
    sample_rate_hz: float,
    rotation: Rotation,
    *,
    order: float = 1.0,
    band: float = BAND,
    min_rate_hz: float = 1.0,
    valid: np.ndarray | None = None,
) -> Refined:
    """Find the ridge of `order` within +/- `band` of the given turns, smooth, integrate, repeat.

    First the frequency of the ridge corrects the rate, then the phase of the order corrects the
    turns. signal: (n,), starting with rotation.time_s[0]. Source: own derivation.
    """
    needed_hz = 1.3 * order * float(rotation.rate_hz.max()) + 2.0
    slow, slow_hz, factor = slow_down(signal, sample_rate_hz, needed_hz)
    slow_valid = None if valid is None else valid[::factor][: len(slow)]
    frames = frame_power(slow, slow_hz, 4.0, valid=slow_valid, padding=4, max_hz=needed_hz)
    given = rotation
    rotation = _on_ridge(frames, rotation, order, band, min_rate_hz)
    usable = _usable(rotation, slow_valid, slow_hz, min_rate_hz)
    for width_hz in PHASE_BANDS_HZ:
        rotation = _on_phase(slow, slow_hz, rotation, order, width_hz, usable)
    above = _line_over_noise(slow, slow_hz, rotation, order, usable)
    turned = float(np.sum(given.rate_hz[usable]))
    scale = float(np.sum(rotation.rate_hz[usable])) / turned if turned else 1.0
    if above < CLEAR_POWER or abs(scale - 1) > 1.5 * band:
        return Refined(given, False, 1.0, above)
    return Refined(rotation, True, scale, above)


def _usable(
    rotation: Rotation, valid: np.ndarray | None, rate_hz: float, min_rate_hz: float
) -> np.ndarray:
    """Grid points fast enough and outside gaps."""
    usable = rotation.rate_hz >= min_rate_hz
    if valid is not None:
        at = np.clip((rotation.time_s * rate_hz).astype(np.intp), 0, len(valid) - 1)
        usable &= valid[at]
    return usable


def _on_ridge(
    frames: Frames, rotation: Rotation, order: float, band: float, min_rate_hz: float
) -> Rotation:
    """Scale the rate so that it follows the ridge; weak frames count little."""
    center_hz = order * np.interp(frames.time_s, rotation.time_s, rotation.rate_hz)
    ratios = np.linspace(1 - band, 1 + band, 61)
    power = np.empty((len(center_hz), len(ratios)))
    for k, at in enumerate(center_hz[:, None] * ratios):
        power[k] = np.interp(at, frames.frequency_hz, frames.power[k])
    noise = np.median(frames.power[:, frames.frequency_hz > 1.0], axis=1)
    weight = np.clip(power.max(axis=1) / np.maximum(noise, 1e-300) / 30, 0, 1) ** 2
    weight *= center_hz >= order * min_rate_hz
    if len(center_hz) < 6 or weight.sum() < 3:
        return rotation
    smooth = _smooth(frames.time_s, ratios[power.argmax(axis=1)], weight)
    ratio = np.interp(rotation.time_s, frames.time_s, np.clip(smooth, 1 - band, 1 + band))
    return rotation_from_rate(rotation.time_s, rotation.rate_hz * ratio)


def _smooth(time_s: np.ndarray, value: np.ndarray, weight: np.ndarray) -> np.ndarray:
    """Weighted Gaussian smoothing over about two frames."""
    from scipy.ndimage import gaussian_filter1d

    step_s = float(np.median(np.diff(time_s)))
    weight = weight + 1e-6
    up = gaussian_filter1d(weight * value, 3.0 / step_s, mode="nearest")
    return up / gaussian_filter1d(weight, 3.0 / step_s, mode="nearest")


def _baseband(
    signal: np.ndarray, rate_hz: float, rotation: Rotation, order: float, width_hz: float
) -> np.ndarray:
    """The order turned to standstill, low-passed to width_hz, on the grid of `rotation`."""
    from scipy.ndimage import gaussian_filter1d

    time_s = np.arange(len(signal)) / rate_hz
    turns = np.interp(time_s, rotation.time_s, rotation.revolutions)
    still = signal * np.exp(-2j * np.pi * order * turns)
    sigma = rate_hz * 0.1325 / width_hz  # half power at width_hz
    still = gaussian_filter1d(still, sigma, mode="constant")
    at = rotation.time_s
    return np.interp(at, time_s, still.real) + 1j * np.interp(at, time_s, still.imag)


def _on_phase(
    signal: np.ndarray,
    rate_hz: float,
    rotation: Rotation,
    order: float,
    width_hz: float,
    usable: np.ndarray,
) -> Rotation:
    """Add the slow phase of the order to the turns."""
    still = _baseband(signal, rate_hz, rotation, order, width_hz)
    phase = np.unwrap(np.angle(still[usable])) / (2 * np.pi * order)
    if len(phase) < 2:
        return rotation
    time_s = rotation.time_s
    turns = rotation.revolutions + np.interp(time_s, time_s[usable], phase)
    turns = np.maximum.accumulate(turns - turns[0])
    return Rotation(time_s, turns, np.maximum(np.gradient(turns, GRID_S), 0.0))


def _line_over_noise(
    signal: np.ndarray, rate_hz: float, rotation: Rotation, order: float, usable: np.ndarray
) -> float:
    """Power of the order in 0.15 Hz over the median of four bands beside it."""

    def power(shift_hz: float) -> float:
        turns = rotation.revolutions + shift_hz * rotation.time_s / order
        moved = Rotation(rotation.time_s, turns, rotation.rate_hz)
        still = _baseband(signal, rate_hz, moved, order, 0.15)
        return float(np.mean(np.abs(still[usable]) ** 2)) if usable.any() else 0.0

    beside = np.median([power(shift) for shift in (-0.9, -0.6, 0.6, 0.9)])
    return power(0.0) / max(float(beside), 1e-300)
