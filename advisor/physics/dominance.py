"""Which part carries most of the runout, as probabilities with the error bars counted in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from .problem import PhysicsError
from .reindex import Separation
from .vector import UncertainVector

# Finest split first: the parts of one row are weighed against each other.
SPLITS = (
    ("hub", "wheel", "tire"),
    ("hub", "wheel_and_tire"),
    ("tire", "hub_and_wheel"),
    ("wheel", "hub_and_tire"),
)

# Causes by part and direction of measuring. A part that turns with itself is a fault of the part,
# one that stays with the hub a fault of the mounting; lateral runout of the tire alone is mostly
# its seat on the rim (common practice, no source).
CAUSES = {
    ("hub", "radial"): ("off_center_mounting",),
    ("wheel", "radial"): ("out_of_round_wheel",),
    ("tire", "radial"): ("out_of_round_tire",),
    ("hub", "lateral"): ("tilted_mounting",),
    ("wheel", "lateral"): ("bent_wheel",),
    ("tire", "lateral"): ("bead_not_seated",),
}


@dataclass(frozen=True, eq=False)
class Share:
    """probability: that this part's runout is the largest of those compared; vector: its own."""

    part: str
    probability: float
    vector: UncertainVector


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
    shares = [
        Share(name, float(win / wins.sum()), separation.parts[name])
        for name, win in zip(names, wins, strict=True)
    ]
    return tuple(sorted(shares, key=lambda s: (-s.probability, s.part)))


def causes_of(part: str, direction: str) -> tuple[str, ...]:
    """Cause ids that a large `part` speaks for; direction: radial or lateral.

    A sum of parts speaks for the causes of each.
    """
    return tuple(cause for single in part.split("_and_") for cause in CAUSES[(single, direction)])


def _finest_split(separation: Separation) -> tuple[str, ...]:
    for split in SPLITS:
        if all(name in separation.parts for name in split):
            return split
    raise PhysicsError(
        "these set-ups do not tell any two parts apart",
        "the runout of the whole assembly as mounted",
        "one more set-up with the wheel turned about half a turn on the hub",
    )
