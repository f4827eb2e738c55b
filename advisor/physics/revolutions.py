"""From road speed to wheel turns, and from samples in time to samples in turns."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

GRID_S = 0.1  # road speed changes slowly: ten points a second describe it fully


@dataclass(frozen=True)
class Rotation:
    """Wheel turns against time on an even grid: time_s, revolutions, rate_hz, each (k,)."""

    time_s: np.ndarray
    revolutions: np.ndarray
    rate_hz: np.ndarray


@dataclass(frozen=True)
class AngleSignal:
    """A signal sampled at equal steps of wheel angle.

    values, valid (m,): valid is False in gaps and below the lowest rate asked; rate_hz (m,):
    wheel turns a second at each sample.
    """

    values: np.ndarray
    valid: np.ndarray
    rate_hz: np.ndarray
    samples_per_revolution: int
    max_order: float


def rotation_from_rate(time_s: np.ndarray, rate_hz: np.ndarray) -> Rotation:
    """Integrate wheel turns a second to wheel turns (trapezoid)."""
    from scipy.integrate import cumulative_trapezoid

    rate_hz = np.maximum(rate_hz, 0.0)
    return Rotation(time_s, cumulative_trapezoid(rate_hz, time_s, initial=0.0), rate_hz)


def rotation_from_speed(
    time_s: np.ndarray,
    speed_m_s: np.ndarray,
    circumference_m: float,
    *,
    end_s: float,
    smoothing_s: float = 0.0,
) -> Rotation:
    """Wheel turns from a speed log (any steps) over 0..end_s, the time base of the signal.

    smoothing_s: standard deviation of a Gaussian smoothing, 0 for none. Values outside the log are
    held. Raises ValueError for a log that is empty, unsorted or not finite.
    """
    from scipy.ndimage import gaussian_filter1d

    usable = len(time_s) > 0 and np.isfinite(speed_m_s).all() and bool((np.diff(time_s) > 0).all())
    if not usable or circumference_m <= 0:
        raise ValueError("the speed log must be finite, sorted and not empty")
    grid_s = np.arange(0.0, end_s + GRID_S, GRID_S)
    rate_hz = np.interp(grid_s, time_s, speed_m_s) / circumference_m
    if smoothing_s:
        rate_hz = gaussian_filter1d(rate_hz, smoothing_s / GRID_S, mode="nearest")
    return rotation_from_rate(grid_s, rate_hz)


def resample_by_angle(
    signal: np.ndarray,
    sample_rate_hz: float,
    rotation: Rotation,
    *,
    max_order: float,
    min_rate_hz: float,
    valid: np.ndarray | None = None,
) -> AngleSignal:
    """Samples of `signal` (n,) at equal wheel angles, by cubic splines (scipy.ndimage).

    max_order: highest order wanted; min_rate_hz: slower stretches are marked not valid.
    Orders fold back once a turn holds too few samples, so what no wanted order can be is filtered
    out first. Source: cubic or better is needed, Fyfe and Munck, MSSP 11(2) 1997, abstract.
    Raises ValueError when the wheel never turns fast enough.
    """
    from scipy.ndimage import map_coordinates

    if min_rate_hz <= 0:
        raise ValueError("min_rate_hz must be above zero")
    turning = rotation.rate_hz >= min_rate_hz
    if not turning.any():
        raise ValueError("the wheel never turns fast enough for order tracking")
    slowest, fastest = rotation.rate_hz[turning].min(), rotation.rate_hz[turning].max()
    cut_hz = 1.1 * max_order * fastest
    per_turn = math.ceil(max(2.4 * max_order, cut_hz / slowest + max_order))
    angle = np.arange(0.0, rotation.revolutions[-1], 1.0 / per_turn)
    at_s = np.interp(angle, rotation.revolutions, rotation.time_s)
    at = at_s * sample_rate_hz
    at = at[at <= len(signal) - 1]
    smooth = _low_pass(signal, sample_rate_hz, cut_hz)
    values = map_coordinates(smooth, at[None], order=3, mode="mirror")
    rate_hz = np.interp(at_s[: len(at)], rotation.time_s, rotation.rate_hz)
    good = rate_hz >= min_rate_hz
    if valid is not None:
        good &= valid[np.round(at).astype(np.intp)]
    return AngleSignal(values, good, rate_hz, per_turn, max_order)


def _low_pass(signal: np.ndarray, sample_rate_hz: float, cut_hz: float) -> np.ndarray:
    """Zero-phase low-pass, flat to cut_hz; unchanged when the signal holds nothing above."""
    from scipy.signal import butter, sosfiltfilt

    corner_hz = 1.25 * cut_hz  # forward and back, order 8: 0.1 % loss at cut_hz
    if corner_hz >= 0.45 * sample_rate_hz:
        return signal
    return sosfiltfilt(butter(8, corner_hz, fs=sample_rate_hz, output="sos"), signal)
