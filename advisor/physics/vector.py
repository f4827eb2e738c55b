"""A vector in the plane of the wheel with its error: amplitude and angle of a first harmonic."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

# Standard deviation of an angle nothing is known about (uniform over one turn).
UNKNOWN_ANGLE_SD_RAD = math.pi / math.sqrt(3.0)


@dataclass(frozen=True, eq=False)
class UncertainVector:
    """value: real part along angle 0, imaginary part along a quarter turn further.

    covariance: shape (2, 2) of (real, imaginary), in the square of the value's unit.
    """

    value: complex
    covariance: NDArray[np.float64] = field(default_factory=lambda: np.zeros((2, 2)))

    @classmethod
    def with_sd(cls, value: complex, sd: float) -> UncertainVector:
        """The same error `sd` in every direction."""
        return cls(complex(value), np.eye(2) * sd**2)

    @property
    def magnitude(self) -> float:
        return abs(self.value)

    @property
    def angle_rad(self) -> float:
        """In [0, 2 pi)."""
        return angle_of(self.value) % (2.0 * math.pi)

    @property
    def sd(self) -> float:
        """Root mean square of the errors along two perpendicular directions."""
        return math.sqrt(float(np.trace(self.covariance)) / 2.0)

    @property
    def magnitude_sd(self) -> float:
        """First-order error along the vector; `sd` where the vector has no direction."""
        if self.value == 0:
            return self.sd
        along = np.array([self.value.real, self.value.imag]) / self.magnitude
        return math.sqrt(max(0.0, float(along @ self.covariance @ along)))

    @property
    def angle_sd_rad(self) -> float:
        """First-order error across the vector over its length, never above that of no knowledge."""
        if self.value == 0:
            return UNKNOWN_ANGLE_SD_RAD
        across = np.array([-self.value.imag, self.value.real]) / self.magnitude
        sd = math.sqrt(max(0.0, float(across @ self.covariance @ across)))
        return min(sd / self.magnitude, UNKNOWN_ANGLE_SD_RAD)


def angle_of(value: complex) -> float:
    """In [-pi, pi]; unlike `cmath.phase` it takes numbers too small to square."""
    return math.atan2(value.imag, value.real)


def rotation(factor: complex) -> NDArray[np.float64]:
    """The (2, 2) matrix that does to (real, imaginary) what multiplying by `factor` does."""
    return np.array([[factor.real, -factor.imag], [factor.imag, factor.real]])


def wrap_angle(angle_rad: float) -> float:
    """The same angle in (-pi, pi]: the shorter way round."""
    wrapped = math.pi - (math.pi - angle_rad) % (2.0 * math.pi)
    # The remainder can round up to a full turn.
    return math.pi if wrapped <= -math.pi else wrapped
