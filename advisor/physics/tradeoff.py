"""One turn of the tire for two aims, runout and imbalance, where they want different angles."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

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

    own_turn_rad, own_left: best turn of each aim alone and what it would leave. cost: sum of
    share * (amplitude / size)^2.
    """

    turn_rad: float
    cost: float
    left: dict[str, float]
    own_turn_rad: dict[str, float]
    own_left: dict[str, float]


def best_compromise(aims: Sequence[Aim]) -> TradeOff:
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
    left = {a.name: float(residual(a.wheel, a.tire, turn)) for a in aims}
    own = {a.name: best_turn(a.wheel, a.tire) for a in aims}
    return TradeOff(
        turn_rad=turn,
        cost=sum(a.share * (left[a.name] / a.size) ** 2 for a in aims),
        left=left,
        own_turn_rad=own,
        own_left={a.name: float(residual(a.wheel, a.tire, own[a.name])) for a in aims},
    )
