"""Balancing with phase: trial masses give influence coefficients, these give the mass to ADD."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from .problem import PhysicsError
from .vector import UncertainVector, angle_of

# A trial mass should change the reading by 30 % or turn it 30 degrees (from memory).
WEAK_EFFECT_SHARE = 0.30
WEAK_EFFECT_RAD = math.radians(30.0)
# Effects below this share of the reading, or below 3 sd where the error is known, are none.
NO_EFFECT_SHARE = 0.02
# Above this the planes cannot be told apart (judgement); errors grow in this proportion.
WORST_CONDITION = 100.0


@dataclass(frozen=True, eq=False)
class SinglePlane:
    """add: mass to ADD, unit of the trial mass, trial mass taken off again. influence: reading per
    unit mass. weak_trial: True where the trial mass moved the reading less than it should.
    """

    add: UncertainVector
    influence: complex
    weak_trial: bool


def single_plane(
    original: complex, with_trial: complex, trial: complex, *, reading_sd: float = 0.0
) -> SinglePlane:
    """add = -O Wt / (OT - O).

    original, with_trial: vibration vectors at one speed; trial: mass with its angle; reading_sd:
    error per direction of one vibration vector. Raises PhysicsError where the trial mass had no
    effect. Source: vector method, Rao, Mechanical Vibrations, balancing (from memory).
    """
    if trial == 0:
        raise ValueError("the trial mass must not be zero")
    effect = with_trial - original
    _refuse_no_effect(abs(effect), abs(original), reading_sd)
    add = -original * trial / effect
    # Derivatives by the two readings, equal independent errors.
    sd = reading_sd * abs(trial) / abs(effect) ** 2 * math.hypot(abs(original), abs(with_trial))
    return SinglePlane(
        add=UncertainVector.with_sd(add, sd),
        influence=effect / trial,
        weak_trial=_is_weak(original, with_trial),
    )


@dataclass(frozen=True, eq=False)
class PlaneCorrection:
    """add: mass to ADD per plane (P,), trial masses taken off. influence: (M, P).

    condition: of the influence matrix with columns scaled to one length; residual: predicted
    vibration with `add` in place (M,). add_sd: error per direction of each mass (P,). weak_trials:
    planes, counted from 0, whose trial mass moved every reading too little.
    """

    add: NDArray[np.complex128]
    influence: NDArray[np.complex128]
    condition: float
    residual: NDArray[np.complex128]
    add_sd: NDArray[np.float64]
    weak_trials: tuple[int, ...]


def influence_matrix(
    original: ArrayLike, with_trials: ArrayLike, trials: ArrayLike
) -> NDArray[np.complex128]:
    """A[i, j] = (V_ij - V_i0) / trial_j.

    original: (M,) readings; with_trials: (P, M), one row per trial run; trials: (P,) masses with
    angle. Source: Rao, Mechanical Vibrations, two-plane balancing (from memory).
    """
    before = np.asarray(original, dtype=complex)
    after = np.asarray(with_trials, dtype=complex)
    masses = np.asarray(trials, dtype=complex)
    if after.shape != (len(masses), len(before)):
        raise ValueError(f"one run per trial mass, one reading per point: {after.shape}")
    if (masses == 0).any():
        raise ValueError("a trial mass must not be zero")
    return ((after - before) / masses[:, None]).T


def balance_planes(
    original: ArrayLike, with_trials: ArrayLike, trials: ArrayLike, *, reading_sd: float = 0.0
) -> PlaneCorrection:
    """Masses to ADD in P planes from M >= P readings; least squares where M > P.

    Arguments as `influence_matrix`; reading_sd: error per direction of one reading (add_sd is first
    order, and neglects the misfit where M > P). Raises PhysicsError for a trial mass with no effect
    and for planes the readings cannot tell apart.
    """
    before = np.asarray(original, dtype=complex)
    after = np.asarray(with_trials, dtype=complex)
    matrix = influence_matrix(before, after, trials)
    for run in after:
        _refuse_no_effect(
            float(np.linalg.norm(run - before)), float(np.linalg.norm(before)), reading_sd
        )
    condition = float(np.linalg.cond(matrix / np.linalg.norm(matrix, axis=0)))
    if matrix.shape[0] < matrix.shape[1] or not condition < WORST_CONDITION:
        raise PhysicsError(
            "the readings cannot tell the planes apart: trial masses act alike at every point",
            "the static part: balance as one plane",
            "with reading points farther apart, or the second trial mass at another angle",
        )
    solver = np.asarray(np.linalg.pinv(matrix), dtype=np.complex128)
    add = -solver @ before
    return PlaneCorrection(
        add=add,
        influence=matrix,
        condition=condition,
        residual=predicted_residual(matrix, before, add),
        add_sd=_add_sd(solver, add, np.asarray(trials, dtype=complex), reading_sd),
        weak_trials=tuple(j for j, run in enumerate(after) if _all_weak(before, run)),
    )


def predicted_residual(
    influence: ArrayLike, original: ArrayLike, added: ArrayLike
) -> NDArray[np.complex128]:
    """Vibration left at each point with the masses really put on (rounded, moved): V0 + A m."""
    matrix = np.asarray(influence, dtype=complex)
    return np.asarray(original, dtype=complex) + matrix @ np.asarray(added, dtype=complex)


def _add_sd(
    solver: NDArray[np.complex128],
    add: NDArray[np.complex128],
    trials: NDArray[np.complex128],
    reading_sd: float,
) -> NDArray[np.float64]:
    # First order: d add = -solver (dV0 + dA add), dA column j = (dV_j - dV0) / trial_j.
    share = add / trials
    per_point = abs(1.0 - share.sum()) ** 2 + float(np.sum(np.abs(share) ** 2))
    return reading_sd * np.sqrt(per_point * np.sum(np.abs(solver) ** 2, axis=1))


def _refuse_no_effect(effect: float, original: float, reading_sd: float) -> None:
    floor = 3.0 * math.sqrt(2.0) * reading_sd if reading_sd > 0 else NO_EFFECT_SHARE * original
    if effect <= floor:
        raise PhysicsError(
            "the trial mass changed nothing that can be told from reading error",
            "how large the vibration is, not where to add mass",
            "with a larger trial mass, or the same one at another angle; check that it stayed on",
        )


def _is_weak(before: complex, after: complex) -> bool:
    if before == 0 or after == 0:
        return False
    turned = abs(angle_of(after / before))
    return abs(abs(after) / abs(before) - 1.0) < WEAK_EFFECT_SHARE and turned < WEAK_EFFECT_RAD


def _all_weak(before: Sequence[complex] | NDArray[np.complex128], run: NDArray) -> bool:
    return all(_is_weak(complex(b), complex(a)) for b, a in zip(before, run, strict=True))
