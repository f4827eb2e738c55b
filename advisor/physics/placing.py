"""A mass vector onto places that can be reached: two clock positions, or windows between spokes."""

from __future__ import annotations

import cmath
import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from .problem import PhysicsError

# Masses at nearly opposite places only fight each other; no place gets more than this many times
# the mass wanted (judgement).
MOST_TIMES = 4.0
# With steps finer than this share of the mass wanted, rounding the exact split is as good.
FINEST = 1 / 500


@dataclass(frozen=True)
class Placement:
    """masses: place (rad) -> mass to ADD there, zero ones left out; residual: vector not reached
    (wanted less placed). Unit as given.
    """

    masses: tuple[tuple[float, float], ...]
    residual: complex

    @property
    def total(self) -> float:
        return sum(mass for _, mass in self.masses)


def split_between(add: complex, first_rad: float, second_rad: float) -> tuple[float, float]:
    """Masses at two angles that together make `add` (sine rule; statics).

    Raises PhysicsError where `add` does not lie in the angle (under half a turn) between the two.
    """
    first, second = cmath.exp(1j * first_rad), cmath.exp(1j * second_rad)
    cross = (first.conjugate() * second).imag
    parts = (-1.0, -1.0)
    if abs(cross) > 1e-9:
        parts = (
            (add.conjugate() * second).imag / cross,
            (first.conjugate() * add).imag / cross,
        )
    slack = 1e-9 * abs(add)
    if min(parts) < -slack:
        raise PhysicsError(
            "the mass wanted does not lie between the two positions",
            "the nearer position takes part of it",
            "nothing: choose two positions on either side of the mark, less than half a turn apart",
        )
    return max(parts[0], 0.0), max(parts[1], 0.0)


def place(add: complex, places_rad: Sequence[float], *, step: float | None = None) -> Placement:
    """Best masses of zero or more at one or two of the places, rest as small as can be.

    step: weights come in whole multiples of this. Ties: less mass in all, then fewer places. Two
    places reach all that any number can: `add` lies between two neighbors, or the nearest place
    alone is best (own derivation, checked by brute force).
    """
    if not places_rad:
        raise ValueError("at least one place is needed")
    if step is not None and not step > 0:
        raise ValueError(f"step must be positive: {step}")
    options = [Placement((), complex(add))]
    options += [_alone(add, angle, step) for angle in places_rad]
    for pair in itertools.combinations(places_rad, 2):
        options += _on_two(add, pair, step)
    unit = max(abs(add), 1e-300)
    return min(
        options,
        key=lambda o: (round(abs(o.residual) / unit, 9), round(o.total / unit, 9), len(o.masses)),
    )


def _placement(add: complex, masses: Sequence[tuple[float, float]]) -> Placement:
    placed = sum((mass * cmath.exp(1j * angle) for angle, mass in masses), 0j)
    return Placement(tuple((a, float(m)) for a, m in masses if m > 0), complex(add - placed))


def _alone(add: complex, angle: float, step: float | None) -> Placement:
    mass = max((add * cmath.exp(-1j * angle)).real, 0.0)
    if step is not None:
        mass = round(mass / step) * step
    return _placement(add, [(angle, mass)])


def _on_two(add: complex, pair: tuple[float, float], step: float | None) -> list[Placement]:
    if step is None or step < FINEST * abs(add):
        try:
            masses = split_between(add, *pair)
        except PhysicsError:
            return []
        whole = [round(mass / step) * step for mass in masses] if step else masses
        return [_placement(add, list(zip(pair, whole, strict=True)))]
    # For each multiple at the first place the best multiple at the second is the nearest one.
    count = math.ceil(MOST_TIMES * abs(add) / step)
    first = step * np.arange(count + 1)
    rest = add - first * cmath.exp(1j * pair[0])
    second = step * np.clip(np.round((rest * cmath.exp(-1j * pair[1])).real / step), 0, count)
    left = np.abs(rest - second * cmath.exp(1j * pair[1]))
    near = np.flatnonzero(left <= left.min() + 1e-9 * abs(add))
    return [_placement(add, [(pair[0], first[k]), (pair[1], second[k])]) for k in near]
