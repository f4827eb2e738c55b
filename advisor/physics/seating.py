"""Is it the part or the way it sits, and is the figure really over the limit?"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from .vector import UncertainVector

# Chance of calling it seating when only reading error is at work (3 sd in the plane: exp(-9/2)).
SEATING_CHANCE = math.exp(-4.5)


@dataclass(frozen=True)
class RepeatScatter:
    """Two set-ups at the same index compared.

    tir_m: runout of the difference of the two first harmonics; share_of_limit: that over 3 sd of
    the difference; chance: of a difference this large from reading error alone; seating: True
    where reading error cannot explain it, so the seating changes and the part is not to blame yet.
    """

    tir_m: float
    share_of_limit: float
    chance: float
    seating: bool


def compare_repeats(first: UncertainVector, second: UncertainVector) -> RepeatScatter:
    """First harmonics (m) of two set-ups that should be equal.

    Chi-square with 2 degrees of freedom on the vector difference (own derivation, checked by Monte
    Carlo). Raises ValueError where neither has an error bar.
    """
    apart = first.value - second.value
    covariance = first.covariance + second.covariance
    if np.linalg.det(covariance) <= 0:
        raise ValueError("two repeats can only be compared with their reading errors")
    step = np.array([apart.real, apart.imag])
    chi_square = float(step @ np.linalg.solve(covariance, step))
    chance = math.exp(-chi_square / 2.0)
    return RepeatScatter(
        tir_m=2.0 * abs(apart),
        share_of_limit=math.sqrt(chi_square) / 3.0,
        chance=chance,
        seating=chance < SEATING_CHANCE,
    )


def seating_sd_m(clearance_m: float) -> float:
    """Error per direction that a pilot clearance (diametral) adds to each mounting.

    The wheel drops half the clearance toward whatever is down, so amplitude clearance / 2 at a
    random angle: sd = clearance / (2 sqrt 2) (own derivation).
    """
    if clearance_m < 0:
        raise ValueError(f"clearance_m must not be negative: {clearance_m}")
    return clearance_m / (2.0 * math.sqrt(2.0))


def probability_over(value: float, sd: float, limit: float, dof: int | None = None) -> float:
    """Probability that the true value is over the limit, with a normal error of the measurement.

    dof: degrees of freedom where sd was itself estimated from few readings (Student's t instead).
    All in one unit.
    """
    if sd < 0:
        raise ValueError(f"sd must not be negative: {sd}")
    if sd == 0:
        return 0.5 if value == limit else float(value > limit)
    excess = (value - limit) / sd
    if dof is None:
        return 0.5 * math.erfc(-excess / math.sqrt(2.0))
    from scipy.special import stdtr

    return float(stdtr(dof, excess))
