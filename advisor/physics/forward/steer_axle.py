"""A steered beam axle: hop, tramp and steer, coupled by the spin of its wheels.

    M q'' + (C + spin G) q' + K q = Q,     q = (up, roll, steer)

up: both ends together; roll: tramp, one end up and the other down, about the fore-aft axis; steer:
about the kingpins, both wheels alike. Spinning wheels resist: steering them rolls the axle and
rolling it steers them, with moment (2 x spin inertia x spin) and opposite sign. The body is held
still. Steering stiffness and inertia of the rule pack are assumed: calibrate before you trust them.
Source: rotor dynamics of any text (from memory); coupling is our own derivation.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

import numpy as np
from numpy.typing import ArrayLike, NDArray

from advisor.physics.forward.quarter_car import Complex, Mode, oscillating

Array = NDArray[np.float64]
SPEED_STEPS = 24  # spin values for which the step of a time response is worked out


@dataclass(frozen=True)
class SteerAxle:
    """SI units; unsprung mass, tire, spring and damper are of one side."""

    unsprung_kg: float
    tire_n_per_m: float
    spring_n_per_m: float
    damper_n_s_per_m: float
    half_track_m: float
    spring_half_base_m: float
    roll_inertia_kg_m2: float
    spin_inertia_kg_m2: float
    steering_n_m_per_rad: float
    steer_inertia_kg_m2: float
    steering_damping_ratio: float = 0.06  # assumed

    def mass(self) -> Array:
        """(3, 3), kg and kg m2."""
        return np.diag([2 * self.unsprung_kg, self.roll_inertia_kg_m2, self.steer_inertia_kg_m2])

    def stiffness(self) -> Array:
        """(3, 3), N/m and N m/rad."""
        up = 2 * (self.tire_n_per_m + self.spring_n_per_m)
        roll = 2 * self.tire_n_per_m * self.half_track_m**2
        roll += 2 * self.spring_n_per_m * self.spring_half_base_m**2
        return np.diag([up, roll, self.steering_n_m_per_rad])

    def damping(self, spin_rad_s: float) -> Array:
        """(3, 3): dampers on the diagonal, gyroscopic coupling of roll and steer beside it."""
        steer = 2 * self.steering_damping_ratio
        steer *= sqrt(self.steering_n_m_per_rad * self.steer_inertia_kg_m2)
        roll = 2 * self.damper_n_s_per_m * self.spring_half_base_m**2
        matrix = np.diag([2 * self.damper_n_s_per_m, roll, steer])
        gyro = 2 * self.spin_inertia_kg_m2 * spin_rad_s
        matrix[1, 2], matrix[2, 1] = gyro, -gyro
        return matrix

    def state_matrix(self, spin_rad_s: float) -> Array:
        """(6, 6) of the state (q, q')."""
        inverse = np.linalg.inv(self.mass())
        lower = np.hstack([-inverse @ self.stiffness(), -inverse @ self.damping(spin_rad_s)])
        return np.vstack([np.hstack([np.zeros((3, 3)), np.eye(3)]), lower])


def axle_modes(axle: SteerAxle, spin_rad_s: float = 0.0) -> tuple[Mode, ...]:
    """The three modes at a wheel speed, by rising frequency."""
    return oscillating(np.linalg.eigvals(axle.state_matrix(spin_rad_s)))


def axle_response(
    axle: SteerAxle, frequency_hz: float, spin_rad_s: float, load: Complex
) -> Complex:
    """Complex displacement (3,) for a harmonic load (force up, roll moment, steer moment)."""
    w = 2 * np.pi * frequency_hz
    dynamic = axle.stiffness() - w**2 * axle.mass() + 1j * w * axle.damping(spin_rad_s)
    return np.asarray(np.linalg.solve(dynamic, load))


def shake_axle(
    axle: SteerAxle, loads: Array, spin_rad_s: ArrayLike, sample_rate_hz: float
) -> Array:
    """(n, 3) accelerations from rest. loads: (n, 3); spin_rad_s: (n,), it may change slowly.

    Each step is exact (scipy.linalg.expm) for a constant load, the mean of its ends, at the nearest
    of SPEED_STEPS wheel speeds.
    """
    spin = np.broadcast_to(np.asarray(spin_rad_s, dtype=float), (len(loads),))
    grid = np.linspace(spin.min(), spin.max(), SPEED_STEPS if np.ptp(spin) else 1)
    nearest = np.abs(spin[:, None] - grid[None, :]).argmin(axis=1) if len(grid) > 1 else 0 * spin
    inverse = np.asarray(np.linalg.inv(axle.mass()), dtype=np.float64)
    matrices = [axle.state_matrix(s) for s in grid]
    moves, pushes = _steps(np.array(matrices), inverse, 1 / sample_rate_hz)
    mean_load = 0.5 * (loads + np.vstack([np.zeros((1, 3)), loads[:-1]]))
    state, out = np.zeros(6), np.empty((len(loads), 3))
    for n, k in enumerate(nearest.astype(int)):
        state = moves[k] @ state + pushes[k] @ mean_load[n]
        out[n] = matrices[k][3:] @ state
    return out + loads @ inverse


def _steps(a: Array, inverse_mass: Array, dt_s: float) -> tuple[Array, Array]:
    """(k, 6, 6) and (k, 6, 3): state after dt from the state before and a constant load."""
    from scipy.linalg import expm

    whole = np.zeros((len(a), 9, 9))
    whole[:, :6, :6], whole[:, 3:6, 6:] = a, inverse_mass
    moved = expm(whole * dt_s)
    return moved[:, :6, :6], moved[:, :6, 6:]
