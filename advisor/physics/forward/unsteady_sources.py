"""Faults of a wheel end that change: dips that fade or grow, loose fits, brake drums."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from advisor.physics.forward.pattern import Array, dip_height
from advisor.physics.forward.wheel_end import Loads, Turning, Wheel, forces

JUMPS_PER_KM = 6.0  # of a loose wheel within its clearance, assumed
WANDER_RAD_PER_SQRT_M = 0.02  # of the side it lies on, between jumps, assumed
HALF_TURN_SHARE = 0.3  # a loose wheel rocks: every second turn differs, assumed
BRAKE_N_PER_M = 0.9e6  # brake force variation per m of drum runout, assumed: 15 % for 0.5 mm
BRAKE_UP_SHARE = 0.4  # of it that the brake torque lifts the axle by, assumed


@dataclass(frozen=True)
class Dip:
    """A patch where the tread gives way: its force is that of a hollow depth_m deep.

    fades: (share, half distance in m) of each part that fades with distance (a flat spot from
    standing); grows_per_km: growth of the rest (a separating belt). Shape and both laws assumed.
    """

    depth_m: float
    center_rad: float
    share_of_turn: float = 0.08
    fades: tuple[tuple[float, float], ...] = ()
    grows_per_km: float = 0.0

    def depth(self, distance_m: Array) -> Array:
        """Depth after a distance, m."""
        lasting = 1.0 - sum(share for share, _ in self.fades)
        depth = lasting * (1.0 + self.grows_per_km * distance_m / 1000)
        for share, half_m in self.fades:
            depth = depth + share * 0.5 ** (distance_m / half_m)
        return np.asarray(self.depth_m * depth)

    def loads(self, turning: Turning, wheel: Wheel, rng: np.random.Generator) -> Loads:
        shape = dip_height(turning.angle_rad, self.center_rad, self.share_of_turn)
        up = -wheel.tire_n_per_m * self.depth(turning.distance_m) * shape
        return forces(up, np.zeros_like(up), wheel)

    def lifts(self, spin_rad_s: float, wheel: Wheel) -> dict[float, complex]:
        angle = np.linspace(0, 2 * np.pi, 1024, endpoint=False)
        shape = -dip_height(angle, self.center_rad, self.share_of_turn)
        vectors = 2 * np.fft.rfft(shape)[1:7] / len(angle)
        force = wheel.tire_n_per_m * self.depth_m
        return {float(n): complex(np.conj(v)) * force for n, v in enumerate(vectors, start=1)}


@dataclass(frozen=True)
class LooseFit:
    """A part of mass_kg that shifts within clearance_m (diametral) on what carries it.

    Its offset jumps to a new side at random distances, creeps in between and rocks at half order.
    """

    clearance_m: float
    mass_kg: float

    def loads(self, turning: Turning, wheel: Wheel, rng: np.random.Generator) -> Loads:
        offset = _shifting(turning.distance_m, self.clearance_m / 2, rng)
        turn = np.exp(1j * turning.angle_rad)
        rock = HALF_TURN_SHARE * np.abs(offset) * np.cos(0.5 * turning.angle_rad)
        runout = (np.conj(offset) * turn).real + rock
        pull = self.mass_kg * np.conj(offset) * turn * turning.spin_rad_s**2
        return forces(wheel.tire_n_per_m * runout - pull.real, -pull.imag, wheel)

    def lifts(self, spin_rad_s: float, wheel: Wheel) -> dict[float, complex]:
        typical = self.clearance_m / 3  # mean distance from the middle of a disc of radius c / 2
        whole = (wheel.tire_n_per_m - self.mass_kg * spin_rad_s**2) * typical
        return {0.5: HALF_TURN_SHARE * wheel.tire_n_per_m * typical, 1.0: whole}


@dataclass(frozen=True)
class DrumRunout:
    """A brake drum or rotor out of round by runout_m (each lobe, amplitude): only while braking."""

    runout_m: tuple[complex, ...]

    def loads(self, turning: Turning, wheel: Wheel, rng: np.random.Generator) -> Loads:
        turns = (np.exp(1j * n * turning.angle_rad) for n in range(1, len(self.runout_m) + 1))
        wave = sum((np.conj(v) * t).real for v, t in zip(self.runout_m, turns, strict=True))
        force = BRAKE_N_PER_M * turning.braking * wave
        return forces(BRAKE_UP_SHARE * force, force, wheel)

    def lifts(self, spin_rad_s: float, wheel: Wheel) -> dict[float, complex]:
        return {}


def _shifting(distance_m: Array, most_m: float, rng: np.random.Generator) -> np.ndarray:
    """Complex offset along the way: anywhere in a disc, jumping and creeping."""
    length = float(distance_m[-1]) if len(distance_m) else 0.0
    jumps = rng.poisson(JUMPS_PER_KM * length / 1000)
    at = np.sort(rng.uniform(0, length, jumps))
    size = most_m * np.sqrt(rng.uniform(0, 1, jumps + 1))
    side = rng.uniform(0, 2 * np.pi, jumps + 1)
    piece = np.searchsorted(at, distance_m, side="right")
    step_m = np.diff(distance_m, prepend=distance_m[:1])
    creep = np.cumsum(
        rng.normal(size=len(distance_m)) * WANDER_RAD_PER_SQRT_M * np.sqrt(np.maximum(step_m, 0))
    )
    return size[piece] * np.exp(1j * (side[piece] + creep))
