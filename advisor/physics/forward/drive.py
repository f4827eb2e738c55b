"""How the vehicle is driven: speed, power and brake over time, the road, and a GPS log of it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
GPS_RATE_HZ = 1.0
STOPPED_M_S = 0.5
WALKING_M_S = 1.5
# ISO 8608: displacement density at 0.1 cycles/m; class A (very good) is 16e-6 m3 (from memory).
REFERENCE_CYCLES_PER_M = 0.1
SMOOTH_HIGHWAY_M3 = 4e-6  # a good highway within class A, assumed
ROAD_CORNER_HZ = 0.3  # slower swells are left out


@dataclass(frozen=True)
class Drive:
    """Arrays (n,): speed_m_s; power -1 (over-run) to 1; braking 0..1; engaged: the engine is
    coupled to the wheels."""

    rate_hz: float
    speed_m_s: Array
    power: Array
    braking: Array
    engaged: NDArray[np.bool_]

    @property
    def time_s(self) -> Array:
        return np.arange(len(self.speed_m_s)) / self.rate_hz

    @property
    def distance_m(self) -> Array:
        """(n,) by the trapezoid rule from 0."""
        mean = 0.5 * (self.speed_m_s[1:] + self.speed_m_s[:-1])
        return np.concatenate([[0.0], np.cumsum(mean)]) / self.rate_hz

    @property
    def run(self) -> NDArray[np.int64]:
        """(n,) starts from standing so far: a rolling start is run 0."""
        moving = self.speed_m_s > STOPPED_M_S
        started = np.concatenate([[False], moving[1:] & ~moving[:-1]])
        return np.cumsum(started)


def steady(speed_m_s: float, duration_s: float, rate_hz: float) -> Drive:
    """Constant speed that the driver holds within about 0.5 % (a slow ripple, assumed)."""
    time_s = np.arange(round(duration_s * rate_hz)) / rate_hz
    speed = speed_m_s * (1 + 0.005 * np.sin(2 * np.pi * time_s / 23.0))
    return _driven(speed, rate_hz, power=0.5)


def run_up(low_m_s: float, high_m_s: float, duration_s: float, rate_hz: float) -> Drive:
    """Even acceleration from low to high under power."""
    n = round(duration_s * rate_hz)
    return _driven(np.linspace(low_m_s, high_m_s, n), rate_hz, power=0.9)


def coast_down(high_m_s: float, low_m_s: float, duration_s: float, rate_hz: float) -> Drive:
    """Even slowing in neutral: no power, engine uncoupled."""
    n = round(duration_s * rate_hz)
    return _driven(np.linspace(high_m_s, low_m_s, n), rate_hz, power=0.0, engaged=False)


def stop_and_go(
    speed_m_s: float, legs: int, leg_s: float, rate_hz: float, braking: float = 0.4
) -> Drive:
    """Legs that each start from standing, hold a speed and brake to a stop."""
    n = round(leg_s * rate_hz)
    share = np.arange(n) / n
    speed = speed_m_s * np.clip(np.minimum(share / 0.25, (0.95 - share) / 0.2), 0, 1)
    power = np.where(share < 0.25, 0.9, np.where(share < 0.75, 0.4, 0.0))
    brake = np.where((share >= 0.75) & (share < 0.95), braking, 0.0)
    speeds, powers, brakes = (np.tile(part, legs) for part in (speed, power, brake))
    return Drive(rate_hz, speeds, powers, brakes, np.ones(n * legs, dtype=bool))


def _driven(speed_m_s: Array, rate_hz: float, power: float, engaged: bool = True) -> Drive:
    n = len(speed_m_s)
    if n < 2 or not (np.isfinite(speed_m_s).all() and speed_m_s.min() >= 0):
        raise ValueError("a drive needs two samples or more and speeds not below zero")
    return Drive(
        rate_hz, speed_m_s, np.full(n, power), np.zeros(n), np.full(n, engaged, dtype=bool)
    )


def gps_log(drive: Drive, rng: np.random.Generator, noise_m_s: float = 0.05) -> tuple[Array, Array]:
    """(time s, speed m/s) once a second with white noise; 0.05 m/s of a good receiver, assumed."""
    step = max(1, round(drive.rate_hz / GPS_RATE_HZ))
    time_s, speed = drive.time_s[::step], drive.speed_m_s[::step]
    return time_s, np.maximum(speed + noise_m_s * rng.normal(size=len(speed)), 0.0)


def road_height(
    drive: Drive, rng: np.random.Generator, roughness_m3: float = SMOOTH_HIGHWAY_M3
) -> Array:
    """Road height (n,) in m under one wheel: white vertical speed of density 4 pi^2 n0^2 G v.

    That is an ISO 8608 road with its exponent of 2; swells below ROAD_CORNER_HZ are taken out.
    """
    from scipy.signal import lfilter

    density = 4 * np.pi**2 * REFERENCE_CYCLES_PER_M**2 * roughness_m3 * drive.speed_m_s
    rise = rng.normal(size=len(density)) * np.sqrt(density * drive.rate_hz / 2)
    keep = np.exp(-2 * np.pi * ROAD_CORNER_HZ / drive.rate_hz)
    return lfilter([1 / drive.rate_hz], [1.0, -keep], rise)
