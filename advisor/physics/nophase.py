"""Balancing by amplitude alone: trial runs at known angles in place of a phase reading."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from .problem import Flaw, PhysicsError
from .vector import UncertainVector

# Two ways to the same number should agree this well (judgement).
GOOD_CLOSURE = 0.10
# A trial effect below this share of the original run is lost in it (judgement).
SMALL_EFFECT = 0.10
# Runs that change with angle less than this share of their mean change give no angle (judgement).
ALIKE = 0.05


@dataclass(frozen=True, eq=False)
class NoPhase:
    """add: mass to ADD, trial mass taken off; the mean of the two ways, error from reading_sd.

    heavy_rad: angle of the heavy side. add_by_mean, add_by_turn: size of the mass by the mean of
    the squares and by their change with angle; equal where the readings agree. closure: their
    difference over the smaller. flaws: what is doubtful.
    """

    add: UncertainVector
    heavy_rad: float
    add_by_mean: float
    add_by_turn: float
    closure: float
    flaws: tuple[Flaw, ...]


def trial_runs(
    original: float,
    angle_rad: ArrayLike,
    reading: ArrayLike,
    trial: float,
    *,
    reading_sd: float = 0.0,
) -> NoPhase:
    """Original run and the same trial mass at three or more angles (four runs: 0, 120, 240 deg).

    T^2 = O^2 + a^2 + 2 O a cos(angle - g) is linear in (O^2 + a^2, 2 O a cos g, 2 O a sin g), so
    a comes out twice. angle_rad, reading: (K,); trial: mass. Raises PhysicsError where the readings
    allow no effect. Source: law of cosines (own derivation); four runs are common practice.
    """
    angle = np.asarray(angle_rad, dtype=float)
    runs = np.asarray(reading, dtype=float)
    _check(original, angle, runs, trial)
    matrix = np.column_stack([np.ones_like(angle), np.cos(angle), np.sin(angle)])
    if len(angle) < 3 or np.linalg.cond(matrix) > 20.0:
        raise PhysicsError(
            "the trial mass was not tried at three well-spread angles",
            "two possible angles at best",
            "with the trial mass at 0, 120 and 240 degrees",
        )
    by_mean, vector = _effects(original, matrix, runs)
    by_turn = abs(vector)
    closure = abs(by_turn - by_mean) / min(by_turn, by_mean)
    return NoPhase(
        add=UncertainVector(
            _add(original, by_mean, vector, trial),
            _covariance(original, matrix, runs, trial, reading_sd),
        ),
        heavy_rad=math.atan2(vector.imag, vector.real) % (2.0 * math.pi),
        add_by_mean=trial * original / by_mean,
        add_by_turn=trial * original / by_turn,
        closure=closure,
        flaws=_flaws(closure, min(by_mean, by_turn) / original),
    )


@dataclass(frozen=True)
class Candidate:
    """One of the answers two trial runs allow: add (mass to ADD) and effect of the trial mass."""

    add: complex
    effect: float


def two_trial_runs(
    original: float, angle_rad: tuple[float, float], reading: tuple[float, float], trial: float
) -> tuple[Candidate, ...]:
    """Original run and the trial mass at two angles: one or two answers, the smaller mass first.

    Half a turn apart the two answers mirror each other; a further run with one of them in place
    decides. Raises PhysicsError where the readings contradict each other. Own derivation: with
    u = a^2, T^2 - O^2 - u is linear in the vector 2 O a e^(i g), whose length is 2 O sqrt(u).
    """
    angle = np.asarray(angle_rad, dtype=float)
    runs = np.asarray(reading, dtype=float)
    _check(original, angle, runs, trial)
    matrix = np.column_stack([np.cos(angle), np.sin(angle)])
    excess = runs**2 - original**2
    determinant = float(np.linalg.det(matrix))
    if abs(determinant) > 1e-6:
        vectors = _unlike_angles(original, matrix, excess)
    elif float(matrix[0] @ matrix[1]) < 0:
        vectors = _half_turn(original, matrix[0], excess)
    else:
        vectors = []
    if not vectors:
        raise PhysicsError(
            "no effect of the trial mass fits both trial runs",
            "how large the vibration is, not where to add mass",
            "all runs at one speed, the trial mass at 0, 120 and 240 degrees",
        )
    found = [Candidate(-trial * original * v / abs(v) ** 2, abs(v)) for v in vectors]
    return tuple(sorted(found, key=lambda c: (round(abs(c.add), 12), np.angle(c.add))))


def _check(original: float, angle: NDArray, runs: NDArray, trial: float) -> None:
    if angle.ndim != 1 or angle.shape != runs.shape:
        raise ValueError(f"one reading per angle, one row each: {angle.shape} {runs.shape}")
    if not (trial > 0 and original > 0 and np.isfinite(runs).all() and (runs >= 0).all()):
        raise ValueError("trial mass and original run above zero, trial runs zero or more")


def _effects(original: float, matrix: NDArray, runs: NDArray) -> tuple[float, complex]:
    level, cosine, sine = np.linalg.lstsq(matrix, runs**2, rcond=None)[0]
    square = float(level) - original**2
    vector = complex(cosine, sine) / (2.0 * original)
    if square <= 0 or abs(vector) < ALIKE * math.sqrt(square):
        raise PhysicsError(
            "the runs contradict each other: no trial mass lowers every run, or leaves all alike",
            "how large the vibration is; the lowest run shows roughly where mass helps",
            "all four runs at the same speed and load, with a larger trial mass",
        )
    return math.sqrt(square), vector


def _add(original: float, by_mean: float, vector: complex, trial: float) -> complex:
    size = trial * original * (1.0 / by_mean + 1.0 / abs(vector)) / 2.0
    return -size * vector / abs(vector)


def _covariance(
    original: float, matrix: NDArray, runs: NDArray, trial: float, reading_sd: float
) -> NDArray[np.float64]:
    """First-order error by central differences in each reading, the original run included."""
    inputs = np.concatenate([[original], runs])
    if reading_sd == 0:
        return np.zeros((2, 2))
    columns = []
    for k in range(len(inputs)):
        step = 1e-5 * max(inputs[k], original)
        ends = []
        for sign in (1.0, -1.0):
            moved = inputs.copy()
            moved[k] += sign * step
            mean, vector = _effects(moved[0], matrix, moved[1:])
            ends.append(_add(moved[0], mean, vector, trial))
        slope = (ends[0] - ends[1]) / (2.0 * step)
        columns.append([slope.real, slope.imag])
    jacobian = np.array(columns).T
    return reading_sd**2 * jacobian @ jacobian.T


def _flaws(closure: float, effect_share: float) -> tuple[Flaw, ...]:
    flaws = []
    if closure > GOOD_CLOSURE:
        flaws.append(
            Flaw(
                "closure",
                f"the two ways to the mass differ by {closure:.0%}: the circles do not meet",
                "the angle, roughly; the mass lies between the two sizes",
                "the run that was taken last or at another speed",
            )
        )
    if effect_share < SMALL_EFFECT:
        flaws.append(
            Flaw(
                "weak_trial",
                "the trial mass hardly changed the vibration",
                "which half of the wheel is heavy",
                "with a trial mass several times larger",
            )
        )
    return tuple(flaws)


def _half_turn(original: float, axis: NDArray, excess: NDArray) -> list[complex]:
    square = float(excess.mean())
    if square <= 0:
        return []
    effect = math.sqrt(square)
    along = float(excess[0] - excess[1]) / (4.0 * original)
    across = square - along**2
    # A few percent past the edge is reading error: the heavy side is on the line itself.
    if across < -0.1 * square:
        return []
    direction = complex(axis[0], axis[1])
    if across <= 0:
        return [math.copysign(effect, along) * direction]
    return [direction * complex(along, sign * math.sqrt(across)) for sign in (1.0, -1.0)]


def _unlike_angles(original: float, matrix: NDArray, excess: NDArray) -> list[complex]:
    # vector = (p - u q) / (2 O) with |vector|^2 = u
    p = np.linalg.solve(matrix, excess) / (2.0 * original)
    q = np.linalg.solve(matrix, np.ones(2)) / (2.0 * original)
    roots = np.roots([q @ q, -2.0 * (p @ q) - 1.0, p @ p])
    real = [float(r.real) for r in roots if abs(r.imag) < 1e-7 * abs(r) and r.real > 0]
    return [complex(*(p - u * q)) for u in real]
