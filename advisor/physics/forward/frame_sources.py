"""Shaking that does not come through a wheel: shafts, joints, engine, ringing modes, loose parts.

Each gives acceleration of the frame where the driver sits, in m/s2 over time. A force on the frame
moves an effective mass (assumed, MOVED_KG), which is crude: real frames have modes of their own.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import tan
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
MOVED_KG = 600.0  # part of the frame that moves with a shaft or engine mount, assumed
CRUISE_TORQUE_N_M = 900.0  # on the propeller shaft at full power share 1, assumed
SHAFT_SPAN_M = 1.5  # between the supports that carry the couple of a bent joint, assumed
KICKS_PER_S = 4.0  # of the road into a lightly damped mode, assumed
BURST_S = 0.15  # of a loose part, assumed


@dataclass(frozen=True)
class Running:
    """The state of the vehicle over a recording, arrays (n,).

    shaft_rad, shaft_rad_s: propeller shaft; engine_rad: crankshaft; power: -1 (over-run) to 1;
    moving: road speed above walking pace; shaken: vertical acceleration before this source.
    """

    shaft_rad: Array
    shaft_rad_s: Array
    engine_rad: Array
    power: Array
    moving: NDArray[np.bool_]
    shaken: Array
    rate_hz: float


class FrameSource(Protocol):
    """Something that shakes the frame."""

    def acceleration(self, running: Running, rng: np.random.Generator) -> Array:
        """m/s2, (n,)."""
        ...


@dataclass(frozen=True)
class ShaftImbalance:
    """Shaft order 1: moment_kg_m is mass times radius; force grows with speed squared."""

    moment_kg_m: float

    def acceleration(self, running: Running, rng: np.random.Generator) -> Array:
        phase = rng.uniform(0, 2 * np.pi)
        force = self.moment_kg_m * running.shaft_rad_s**2
        return force * np.cos(running.shaft_rad + phase) / MOVED_KG


@dataclass(frozen=True)
class BentJoint:
    """Universal joint at an angle under torque: secondary couple T tan(b), twice a shaft turn.

    With a third of it at order 1 for a worn joint (assumed share).
    """

    angle_rad: float
    once_share: float = 0.3

    def acceleration(self, running: Running, rng: np.random.Generator) -> Array:
        phase = rng.uniform(0, 2 * np.pi, 2)
        torque = CRUISE_TORQUE_N_M * np.abs(running.power)
        force = torque * tan(self.angle_rad) / SHAFT_SPAN_M
        twice = np.cos(2 * running.shaft_rad + phase[0])
        once = self.once_share * np.cos(running.shaft_rad + phase[1])
        return force * (twice + once) / MOVED_KG


@dataclass(frozen=True)
class EngineShake:
    """Engine orders (order: m/s2 at the seat), there at standstill too."""

    orders: Mapping[float, float]

    def acceleration(self, running: Running, rng: np.random.Generator) -> Array:
        total = np.zeros_like(running.engine_rad)
        for order, level in sorted(self.orders.items()):
            phase = rng.uniform(0, 2 * np.pi)
            total += level * np.cos(order * running.engine_rad + phase)
        return total * (0.6 + 0.4 * np.maximum(running.power, 0.0))


@dataclass(frozen=True)
class Ringing:
    """Broadband kicks while moving, through one fixed lightly damped mode; level_m_s2: rms."""

    natural_hz: float
    damping_ratio: float
    level_m_s2: float

    def acceleration(self, running: Running, rng: np.random.Generator) -> Array:
        n = len(running.moving)
        hit = rng.random(n) < KICKS_PER_S / running.rate_hz
        kicks = np.where(hit & running.moving, rng.normal(size=n), 0.0)
        rung = through_mode(kicks, self.natural_hz, self.damping_ratio, running.rate_hz)
        rms = float(np.sqrt(np.mean(rung**2)))
        return rung * (self.level_m_s2 / rms) if rms > 0 else rung


@dataclass(frozen=True)
class FrameMode:
    """A frame or cab mode that adds gain x (what shakes it) at its natural frequency."""

    natural_hz: float
    damping_ratio: float
    gain: float

    def acceleration(self, running: Running, rng: np.random.Generator) -> Array:
        shaken = running.shaken - running.shaken.mean()
        return self.gain * through_mode(
            shaken, self.natural_hz, self.damping_ratio, running.rate_hz
        )


@dataclass(frozen=True)
class LoosePart:
    """Short bursts of rattle while moving; level_m_s2: rms inside a burst."""

    level_m_s2: float

    def acceleration(self, running: Running, rng: np.random.Generator) -> Array:
        n, length = len(running.moving), max(1, round(BURST_S * running.rate_hz))
        begins = rng.random(n) < 0.5 / running.rate_hz
        burst = np.convolve(begins.astype(float), np.ones(length))[:n] > 0
        return np.where(burst & running.moving, self.level_m_s2 * rng.normal(size=n), 0.0)


def through_mode(values: Array, natural_hz: float, damping_ratio: float, rate_hz: float) -> Array:
    """Band-pass of a mass on a spring: 2 z w s / (s^2 + 2 z w s + w^2), 1 at the peak.

    Made discrete by the bilinear transform, warped to keep natural_hz (scipy.signal.bilinear).
    Raises ValueError where the sample rate cannot hold the mode.
    """
    from scipy.signal import bilinear, lfilter

    if not 0 < natural_hz < 0.45 * rate_hz:
        raise ValueError(f"natural_hz={natural_hz:g} needs more than {rate_hz:g} samples a second")
    warped = 2 * rate_hz * tan(np.pi * natural_hz / rate_hz)
    width = 2 * damping_ratio * warped
    return lfilter(*bilinear([width, 0.0], [1.0, width, warped**2], fs=rate_hz), values)
