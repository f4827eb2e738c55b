"""Which part carries most of the runout, as probabilities with the error bars counted in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from .problem import PhysicsError
from .reindex import Separation

# Finest split first: the parts of one row are weighed against each other.
SPLITS = (
    ("hub", "wheel", "tire"),
    ("hub", "wheel_and_tire"),
    ("tire", "hub_and_wheel"),
    ("wheel", "hub_and_tire"),
)


@dataclass(frozen=True, eq=False)
class Share:
    """probability: that this part's runout is the largest of those compared."""

    part: str
    probability: float


def largest_part(
    separation: Separation,
    parts: Sequence[str] | None = None,
    *,
    draws: int = 20_000,
    seed: int = 20_310_412,
) -> tuple[Share, ...]:
    """Probability of each part to be the largest, most probable first; they sum to one.

    parts: default the finest split the set-ups allow. Monte Carlo over the joint normal error with
    a fixed seed, flat prior on the vectors; half a draw is added to each count, so nothing comes
    out certain. Raises PhysicsError where no two parts are separable.
    """
    names = tuple(parts) if parts is not None else _finest_split(separation)
    mean, covariance = separation.joint(names)
    values, axes = np.linalg.eigh(covariance)
    spread = axes * np.sqrt(np.clip(values, 0.0, None))
    noise = np.random.default_rng(seed).standard_normal((draws, len(mean)))
    sample = mean + noise @ spread.T
    sizes = np.hypot(sample[:, 0::2], sample[:, 1::2])
    wins = np.bincount(sizes.argmax(axis=1), minlength=len(names)) + 0.5
    shares = [Share(name, float(win / wins.sum())) for name, win in zip(names, wins, strict=True)]
    return tuple(sorted(shares, key=lambda s: (-s.probability, s.part)))


def _finest_split(separation: Separation) -> tuple[str, ...]:
    for split in SPLITS:
        if all(name in separation.parts for name in split):
            return split
    raise PhysicsError(
        "these set-ups do not tell any two parts apart",
        "the runout of the whole assembly as mounted",
        "one more set-up with the wheel turned about half a turn on the hub",
    )
