"""A shape around a turning part, and where it stands: the geometry all wheel faults share.

Material points are counted round the part so that point `angle` touches the road when the wheel
has turned by `angle`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Pattern:
    """height(x) = sum over n of |V_n| cos(n x - arg V_n), meters; V_n complex, n = 1, 2, ..."""

    vectors: tuple[complex, ...] = ()

    def height(self, angle_rad: Array) -> Array:
        """Height in meters at material angles, any shape."""
        return self._sum(angle_rad, 0)

    def slope(self, angle_rad: Array) -> Array:
        """d height / d angle, meters per radian."""
        return self._sum(angle_rad, 1)

    def _sum(self, angle_rad: Array, derivative: int) -> Array:
        total = np.zeros(np.shape(angle_rad))
        for n, vector in enumerate(self.vectors, start=1):
            term = np.conj(vector) * (1j * n) ** derivative * np.exp(1j * n * np.asarray(angle_rad))
            total += term.real
        return total

    def turned(self, turn_rad: float) -> Pattern:
        """The same part after it was turned forward by turn_rad on what carries it."""
        return Pattern(
            tuple(v * np.exp(1j * n * turn_rad) for n, v in enumerate(self.vectors, start=1))
        )


def dip_height(angle_rad: Array, center_rad: float, share_of_turn: float) -> Array:
    """A raised cosine of depth 1 over a share of the turn, 0 elsewhere; shape of angle_rad.

    Assumed shape of a flat spot or a separated patch.
    """
    if not 0 < share_of_turn < 1:
        raise ValueError(f"share_of_turn must be between 0 and 1: {share_of_turn}")
    half = np.pi * share_of_turn
    away = np.abs((np.asarray(angle_rad) - center_rad + np.pi) % (2 * np.pi) - np.pi)
    return np.where(away < half, 0.5 * (1 + np.cos(np.pi * np.minimum(away / half, 1.0))), 0.0)
