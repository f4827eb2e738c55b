"""The mass that nulls wheel order 1 at two or more speeds: imbalance stays, runout falls as 1/w^2.

Own derivation: mass m at radius r pulls m r w^2, runout of amplitude e pushes k e at any speed, and
both enter the axle alike, so the nulling mass is m0 + k e / (r w^2). Mass added at the high spot
cancels runout. A part mounted off center carries its own imbalance, which counts under m0.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from .problem import PhysicsError
from .vector import UncertainVector

# Speeds closer than this (largest over smallest) do not separate the two terms (judgement).
SMALLEST_SPEED_RATIO = 1.05


@dataclass(frozen=True, eq=False)
class TwoSpeed:
    """Fit of imbalance and runout to nulling masses.

    imbalance_add: mass in kg that would null the imbalance alone, where to ADD.
    runout_force: first-harmonic force k e in newtons, toward the high spot. Without angles both lie
    on the real axis, with sign, and have no error across. ln_likelihood: best natural log
    likelihood of `imbalance`, `runout` and `both`, up to one common constant; parameters: numbers
    each fits. ln_ratio: imbalance over runout, above zero for imbalance.
    """

    imbalance_add: UncertainVector
    runout_force: UncertainVector
    ln_likelihood: dict[str, float]
    parameters: dict[str, int]
    ln_ratio: float
    radius_m: float

    def runout_share(self, omega_rad_s: float) -> float:
        """Runout's part of the sum of both amplitudes at a wheel speed, 0 to 1; NaN if both nil."""
        runout = self.runout_force.magnitude
        imbalance = self.imbalance_add.magnitude * self.radius_m * omega_rad_s**2
        return runout / (runout + imbalance) if runout + imbalance > 0 else math.nan


def fit_two_speed(
    omega_rad_s: ArrayLike, added_kg: ArrayLike, sd_kg: ArrayLike, radius_m: float
) -> TwoSpeed:
    """Weighted least squares of m(w) = m0 + F / (r w^2).

    omega_rad_s: (K,) wheel speeds, at least two different; added_kg: (K,) nulling mass, complex
    with its angle on the wheel, or real where only the size is known (then imbalance and runout are
    taken to lie on one line, and all sizes on one side of it); sd_kg: error, per direction where
    complex, one number or (K,); radius_m: where the mass was put.
    Raises PhysicsError for zero speed or speeds too close together.
    """
    omega = np.asarray(omega_rad_s, dtype=float)
    mass = np.asarray(added_kg)
    if omega.ndim != 1 or omega.shape != mass.shape:
        raise ValueError(f"one mass per speed: {omega.shape} {mass.shape}")
    sd = np.broadcast_to(np.asarray(sd_kg, dtype=float), omega.shape)
    if not ((sd > 0).all() and radius_m > 0):
        raise ValueError("errors and radius must be above zero")
    _check_speeds(omega)
    columns = np.column_stack([np.ones_like(omega), 1.0 / (radius_m * omega**2)])
    estimate, covariance, ln_both = _weighted(columns, mass, sd)
    ln_imbalance = _weighted(columns[:, :1], mass, sd)[2]
    ln_runout = _weighted(columns[:, 1:], mass, sd)[2]
    each = 2 if np.iscomplexobj(mass) else 1
    return TwoSpeed(
        imbalance_add=_vector(estimate[0], covariance[0, 0], each),
        runout_force=_vector(estimate[1], covariance[1, 1], each),
        ln_likelihood={"imbalance": ln_imbalance, "runout": ln_runout, "both": ln_both},
        parameters={"imbalance": each, "runout": each, "both": 2 * each},
        ln_ratio=ln_imbalance - ln_runout,
        radius_m=radius_m,
    )


def _check_speeds(omega: NDArray[np.float64]) -> None:
    if not (np.isfinite(omega).all() and (omega > 0).all()):
        raise PhysicsError(
            "a speed is zero or not a number",
            "what the runs at the other speeds give",
            "the run without a speed",
        )
    if len(omega) < 2 or omega.max() / omega.min() < SMALLEST_SPEED_RATIO:
        raise PhysicsError(
            "the speeds are too close together to tell imbalance from runout",
            "the mass that nulls the vibration at that speed",
            "at a second speed at least 10 mph away",
        )


def _weighted(
    columns: NDArray[np.float64], mass: NDArray, sd: NDArray[np.float64]
) -> tuple[NDArray, NDArray[np.float64], float]:
    # Columns scaled to one length first: kilograms and newtons differ by orders of magnitude.
    # Orthogonal columns instead of their products: errors of very different size stay usable.
    white = columns / sd[:, None]
    scale = np.linalg.norm(white, axis=0)
    basis, mixing = np.linalg.qr(white / scale)
    apart = np.linalg.inv(mixing)
    estimate = apart @ (basis.T @ (mass / sd))
    misfit = mass / sd - white / scale @ estimate
    covariance = apart @ apart.T / np.outer(scale, scale)
    return estimate / scale, covariance, -0.5 * float(np.sum(np.abs(misfit) ** 2))


def _vector(value: complex, variance: float, directions: int) -> UncertainVector:
    return UncertainVector(complex(value), np.diag([variance, variance * (directions - 1)]))
