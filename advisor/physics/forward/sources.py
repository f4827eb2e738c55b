"""Faults of a wheel end that repeat once a turn in the same way: mass, shape, seat, swing.

Signs: up and forward are positive. A high spot at the road lifts the axle; a heavy spot at the road
pulls it down. Slow changes of speed are neglected (no terms with the change of spin).
Sources: force m r w^2 of any dynamics text; F = I w^2 e / R^2 fore-aft and the off-center wheel
that carries its own mass are own derivations.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from advisor.physics.forward.pattern import Array, Pattern
from advisor.physics.forward.wheel_end import Loads, Turning, Wheel, forces

# The rotor resists being swung by (polar - diametral) inertia; about half of polar, assumed.
SWING_INERTIA_SHARE = 0.45


@dataclass(frozen=True)
class Imbalance:
    """moment_kg_m: mass times radius at its material angle, complex.

    wanders: drawn at a new angle after every stop (a medium that clumps anew).
    """

    moment_kg_m: complex
    wanders: bool = False

    def loads(self, turning: Turning, wheel: Wheel, rng: np.random.Generator) -> Loads:
        moment = np.full(len(turning.run), self.moment_kg_m, dtype=complex)
        if self.wanders:
            angles = rng.uniform(0, 2 * np.pi, int(turning.run.max()) + 1)
            moment *= np.exp(1j * angles)[turning.run]
        pull = np.conj(moment) * np.exp(1j * turning.angle_rad) * turning.spin_rad_s**2
        return forces(-pull.real, -pull.imag, wheel)

    def lifts(self, spin_rad_s: float, wheel: Wheel) -> dict[float, complex]:
        return {1.0: -self.moment_kg_m * spin_rad_s**2}


@dataclass(frozen=True)
class OutOfRound:
    """Radial runout type 1: the shape of the tread, turning with the part."""

    pattern: Pattern

    def loads(self, turning: Turning, wheel: Wheel, rng: np.random.Generator) -> Loads:
        up = wheel.tire_n_per_m * self.pattern.height(turning.angle_rad)
        slope = self.pattern.slope(turning.angle_rad)
        return forces(up, _rolling_force(slope, turning.spin_rad_s, wheel), wheel)

    def lifts(self, spin_rad_s: float, wheel: Wheel) -> dict[float, complex]:
        vectors = enumerate(self.pattern.vectors, start=1)
        return {float(n): wheel.tire_n_per_m * v for n, v in vectors}


@dataclass(frozen=True)
class OffCenter:
    """Radial runout type 2: a round part of mass_kg whose middle sits offset_m (complex, amplitude
    of the runout) away from the axis; its mass is off as far as its tread."""

    offset_m: complex
    mass_kg: float

    def loads(self, turning: Turning, wheel: Wheel, rng: np.random.Generator) -> Loads:
        shape = OutOfRound(Pattern((self.offset_m,))).loads(turning, wheel, rng)
        return shape + Imbalance(self.mass_kg * self.offset_m).loads(turning, wheel, rng)

    def lifts(self, spin_rad_s: float, wheel: Wheel) -> dict[float, complex]:
        return {1.0: (wheel.tire_n_per_m - self.mass_kg * spin_rad_s**2) * self.offset_m}


@dataclass(frozen=True)
class Swing:
    """Lateral runout: side motion of the rim (pattern, meters at rim radius).

    Side force of the tire at road level rolls the axle and, behind the kingpin, steers; order 1 is
    a tilt, whose couple spin^2 x inertia x tilt rolls and steers as well.
    """

    pattern: Pattern

    def loads(self, turning: Turning, wheel: Wheel, rng: np.random.Generator) -> Loads:
        side = wheel.lateral_n_per_m * self.pattern.height(turning.angle_rad)
        tilt = Pattern(self.pattern.vectors[:1])
        inertia = SWING_INERTIA_SHARE * wheel.spin_inertia_kg_m2
        couple = inertia * turning.spin_rad_s**2 / wheel.rim_radius_m
        roll = side * wheel.radius_m + couple * tilt.height(turning.angle_rad)
        steer = side * wheel.trail_m + couple * tilt.slope(turning.angle_rad)
        nothing = np.zeros_like(side)
        return Loads(nothing, nothing, roll, steer)

    def lifts(self, spin_rad_s: float, wheel: Wheel) -> dict[float, complex]:
        return {}


def _rolling_force(slope_m: Array, spin_rad_s: Array, wheel: Wheel) -> Array:
    """Forward force of a wheel that must turn slower on its high spot, in N.

    spin = v / (R + r), so it changes at -spin^2 slope / R; the moment acts at radius R.
    """
    return wheel.spin_inertia_kg_m2 * spin_rad_s**2 * slope_m / wheel.radius_m**2
