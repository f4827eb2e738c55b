"""An order that grows where it passes a resonance: at which frequency, and how many times."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from advisor.physics.ridge import Ridge

LEAST_GAIN = 1.5  # weaker humps are called none; source: own choice


@dataclass(frozen=True)
class Amplification:
    """A resonance that lifts an order as it passes; gain: over the trend without it."""

    frequency_hz: float
    frequency_sd_hz: float
    gain: float


def find_amplification(ridge: Ridge) -> Amplification | None:
    """A single resonance in the amplitude along an order, or None.

    Compares log A = c + p log f with the same plus the gain of one damped mode, 0 <= p <= 3
    (p = 2 for imbalance, 0 for runout), by the Bayesian information criterion (Schwarz 1978).
    """
    from scipy.optimize import least_squares

    hz = ridge.frequency_hz[ridge.clear]
    if len(hz) < 12 or np.ptp(hz) < 0.15 * hz.mean():
        return None
    level = np.log(ridge.amplitude[ridge.clear])
    log_hz = np.log(hz / hz.mean())

    def plain(p: np.ndarray) -> np.ndarray:
        return p[0] + p[1] * log_hz - level

    def mode(p: np.ndarray) -> np.ndarray:
        q = hz / p[2]
        return plain(p) - 0.5 * np.log((1 - q**2) ** 2 + (2 * p[3] * q) ** 2)

    without = least_squares(plain, [level.mean(), 1.0], bounds=([-50, 0], [50, 3]))
    low, high = hz.min(), hz.max()
    best = min(
        (
            least_squares(
                mode,
                [level.mean() - 1, 0.5, start, 0.15],
                bounds=([-50, 0, low, 0.02], [50, 3, high, 0.6]),
            )
            for start in np.quantile(hz, [0.25, 0.5, 0.75])
        ),
        key=lambda fit: fit.cost,
    )
    n = len(hz)
    gain_in_bits = n * math.log(without.cost / max(best.cost, 1e-12)) - 2 * math.log(n)
    center, damping = float(best.x[2]), float(best.x[3])
    gain = 1 / (2 * damping)
    inside = low + 0.05 * (high - low) < center < high - 0.05 * (high - low)
    if gain_in_bits < 10 or gain < LEAST_GAIN or not inside:
        return None
    return Amplification(center, _sd(best, 2, n), gain)


def _sd(fit: Any, index: int, points: int) -> float:
    """Standard deviation of one parameter from the Jacobian of a least-squares fit."""
    cover = np.linalg.pinv(fit.jac.T @ fit.jac) * (2 * fit.cost / max(1, points - len(fit.x)))
    return float(math.sqrt(cover[index, index]))
