"""How strongly a cause is felt at each road speed, from the mode bands it passes through.

A single mode is a mass on a spring with damping; where only a band of natural frequencies is
known the response is averaged over the band. Shapes only: the largest value over the speeds
considered is 1.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Band:
    """Natural frequencies between low_hz and high_hz with one damping ratio."""

    low_hz: float
    high_hz: float
    damping_ratio: float


def magnification(frequency_hz: Array, natural_hz: Array, damping_ratio: Array | float) -> Array:
    """|displacement| over static displacement of a one-mode system under a harmonic force.

    1 / sqrt((1 - r^2)^2 + (2 zeta r)^2) with r = f / f0 (ISO 2041 terms; any vibration text).
    Shapes broadcast.
    """
    r = frequency_hz / natural_hz
    return np.asarray(1 / np.sqrt((1 - r**2) ** 2 + (2 * damping_ratio * r) ** 2))


def felt_over_speed(
    speeds_mph: Array,
    hz_per_mph: float,
    force: str,
    bands: list[Band],
    corner_hz: float = 4.1,
    samples: int = 15,
) -> Array:
    """Frame acceleration over an axle at each speed, scaled so that its largest value is 1.

    speeds_mph: (n,) above zero; force: `speed_squared` or `torque` (grows with speed squared) or
    `constant`; corner_hz: spring rate over 2 pi damper rate, above which the damper carries most
    of what reaches the frame. Axle displacement = force x magnification; what the suspension
    passes on = displacement x sqrt(1 + (f / corner)^2). Each band is averaged (in energy) over
    `samples` natural frequencies and the bands are added in energy. Default corner: the loaded
    steer corner ks 230 kN/m, cs 9 kN s/m (from memory, assumed).
    """
    frequency_hz = speeds_mph * hz_per_mph
    felt = np.ones_like(speeds_mph)
    if bands:
        lows, highs, damping = np.array([[b.low_hz, b.high_hz, b.damping_ratio] for b in bands]).T
        natural_hz = np.geomspace(lows, highs, samples)[..., None]
        gain = magnification(frequency_hz, natural_hz, damping[:, None])
        felt = np.sqrt((gain**2).mean(axis=0).sum(axis=0))
    felt = felt * np.sqrt(1 + (frequency_hz / corner_hz) ** 2)
    if force in ("speed_squared", "torque"):
        felt = felt * frequency_hz**2
    peak = felt.max()
    return felt / peak if peak > 0 else felt


def band_agreement(
    speeds_mph: Array, felt: Array, low_mph: float, high_mph: float, blur_mph: float = 3.0
) -> float:
    """How well a felt-over-speed curve agrees with 'felt between low and high', from 0 to 1.

    The mean of the curve inside the reported band times one minus its mean outside, both after
    the edges are blurred by what a driver can read off a speedometer.
    """
    inside = _soft_step((speeds_mph - low_mph) / blur_mph) * _soft_step(
        (high_mph - speeds_mph) / blur_mph
    )
    outside = 1 - inside
    mean_in = float((felt * inside).sum() / max(inside.sum(), 1e-9))
    mean_out = float((felt * outside).sum() / max(outside.sum(), 1e-9))
    return mean_in * (1 - mean_out)


def _soft_step(x: Array) -> Array:
    return np.asarray(1 / (1 + np.exp(-np.clip(x, -40, 40))))
