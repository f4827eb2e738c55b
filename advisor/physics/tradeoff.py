"""One turn of the tire for two aims, runout and imbalance, where they want different angles."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .matchmount import best_turn, residual
from .vector import angle_of, wrap_angle


@dataclass(frozen=True)
class Aim:
    """Something to be made small by turning the tire on the wheel.

    wheel, tire: vectors in one unit; size: what counts as one (a limit), same unit; share: how
    much this aim matters against the others.
    """

    name: str
    wheel: complex
    tire: complex
    size: float
    share: float = 1.0


@dataclass(frozen=True, eq=False)
class TradeOff:
    """turn_rad: best compromise, in (-pi, pi]. left: amplitude of each aim there, in its own unit.

    own_turn_rad, own_left: best turn of each aim alone and what it would leave. curve_turn_rad
    (K,) and curve_left name -> (K,): amplitude against turn, once round. cost: sum of
    share * (amplitude / size)^2.
    """

    turn_rad: float
    cost: float
    left: dict[str, float]
    own_turn_rad: dict[str, float]
    own_left: dict[str, float]
    curve_turn_rad: NDArray[np.float64]
    curve_left: dict[str, NDArray[np.float64]]
    curve_cost: NDArray[np.float64]


def best_compromise(aims: Sequence[Aim], n_curve: int = 120) -> TradeOff:
    """The turn with the smallest weighted sum of squares.

    Each square is |W|^2 + |T|^2 + 2 Re(conj(W) T e^(i turn)), so the sum is one cosine of the turn
    and its minimum is exact (own derivation, checked by grid search).
    """
    if not aims:
        raise ValueError("at least one aim is needed")
    if any(not aim.size > 0 or aim.share < 0 for aim in aims):
        raise ValueError("every aim needs a size above zero and a share of zero or more")
    pull = sum(a.share / a.size**2 * a.wheel.conjugate() * a.tire for a in aims)
    turn = 0.0 if pull == 0 else wrap_angle(math.pi - angle_of(pull))
    curve = np.linspace(-math.pi, math.pi, n_curve + 1)
    own = {a.name: best_turn(a.wheel, a.tire) for a in aims}
    return TradeOff(
        turn_rad=turn,
        cost=float(_cost(aims, np.array([turn]))[0]),
        left={a.name: float(residual(a.wheel, a.tire, turn)) for a in aims},
        own_turn_rad=own,
        own_left={a.name: float(residual(a.wheel, a.tire, own[a.name])) for a in aims},
        curve_turn_rad=curve,
        curve_left={a.name: residual(a.wheel, a.tire, curve) for a in aims},
        curve_cost=_cost(aims, curve),
    )


def _cost(aims: Sequence[Aim], turn_rad: NDArray[np.float64]) -> NDArray[np.float64]:
    terms = [a.share * (residual(a.wheel, a.tire, turn_rad) / a.size) ** 2 for a in aims]
    return np.sum(terms, axis=0)
