"""Best angle of the tire on the wheel: the high spot of one against the low spot of the other."""

from __future__ import annotations

import cmath
import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from .vector import UncertainVector, angle_of, rotation, wrap_angle


@dataclass(frozen=True)
class MatchMount:
    """turn_rad: turn the tire on the wheel by this much, in (-pi, pi], positive as counted.

    now_m, residual_m: amplitude of the first harmonic before and after. expected_m, likely_m: mean
    and 5 to 95 % range of what will be left, the errors counted in. half_turn_m: best of the two
    positions half a turn apart; quarter_turns_m: best of four, a quarter turn apart.
    All amplitudes: double them for total indicated runout.
    """

    turn_rad: float
    now_m: float
    residual_m: float
    expected_m: float
    likely_m: tuple[float, float]
    half_turn_m: float
    quarter_turns_m: float


@dataclass(frozen=True)
class StudSteps:
    """A turn rounded to whole stud spaces; residual_m: amplitude left there."""

    steps: int
    turn_rad: float
    residual_m: float


def residual(wheel: complex, tire: complex, turn_rad: ArrayLike) -> NDArray[np.float64]:
    """|W + T e^(i turn)| for each turn of the tire on the wheel; shape of `turn_rad`."""
    return np.abs(wheel + tire * np.exp(1j * np.asarray(turn_rad, dtype=float)))


def best_turn(wheel: complex, tire: complex) -> float:
    """Turn that puts the tire's vector opposite the wheel's, in (-pi, pi]; 0 where either is nil.

    What stays is the difference of the two lengths (own derivation: law of cosines).
    """
    if wheel == 0 or tire == 0:
        return 0.0
    return wrap_angle(angle_of(wheel) + math.pi - angle_of(tire))


def match_mount(
    wheel: UncertainVector,
    tire: UncertainVector,
    *,
    joint_covariance: NDArray[np.float64] | None = None,
    draws: int = 4_000,
    seed: int = 20_310_412,
) -> MatchMount:
    """Best turn with what it leaves, against the half-turn rule of thumb.

    wheel, tire: first harmonics (m) as mounted now. joint_covariance: (4, 4) of wheel then tire,
    real and imaginary, where both come from one separation (`Separation.joint`); default
    independent.
    """
    turn = best_turn(wheel.value, tire.value)
    covariance = joint_covariance
    if covariance is None:
        covariance = np.block(
            [[wheel.covariance, np.zeros((2, 2))], [np.zeros((2, 2)), tire.covariance]]
        )
    sizes = _sampled_residual(wheel.value, tire.value, turn, covariance, draws, seed)
    low, high = np.quantile(sizes, [0.05, 0.95])

    def best_of(n_positions: int) -> float:
        turns = 2.0 * math.pi * np.arange(n_positions) / n_positions
        return float(residual(wheel.value, tire.value, turns).min())

    return MatchMount(
        turn_rad=turn,
        now_m=abs(wheel.value + tire.value),
        residual_m=float(residual(wheel.value, tire.value, turn)),
        expected_m=float(sizes.mean()),
        likely_m=(float(low), float(high)),
        half_turn_m=best_of(2),
        quarter_turns_m=best_of(4),
    )


def nearest_stud_steps(wheel: complex, tire: complex, turn_rad: float, n_studs: int) -> StudSteps:
    """The turn in whole stud spaces nearest to `turn_rad`, the shorter way round."""
    space = 2.0 * math.pi / n_studs
    steps = round(wrap_angle(turn_rad) / space)
    return StudSteps(steps, steps * space, float(residual(wheel, tire, steps * space)))


def _sampled_residual(
    wheel: complex,
    tire: complex,
    turn_rad: float,
    covariance: NDArray[np.float64],
    draws: int,
    seed: int,
) -> NDArray[np.float64]:
    left = wheel + tire * cmath.exp(1j * turn_rad)
    change = np.hstack([np.eye(2), rotation(cmath.exp(1j * turn_rad))])
    values, axes = np.linalg.eigh(change @ covariance @ change.T)
    noise = np.random.default_rng(seed).standard_normal((draws, 2))
    sample = noise @ (axes * np.sqrt(np.clip(values, 0.0, None))).T
    return np.hypot(left.real + sample[:, 0], left.imag + sample[:, 1])
