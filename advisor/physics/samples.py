"""The samples of one road recording, as the analysis takes them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class Samples:
    """A recording on one even time grid that starts at 0.

    acceleration (axes, n): the mean in gaps; valid (n,): False in gaps, None without gaps;
    vertical: index of the vertical axis, -1 unknown; calibrated: values are m/s2. speed_time_s,
    speed_m_s (k,): road speed, empty when there is none.
    """

    acceleration: np.ndarray
    sample_rate_hz: float
    speed_time_s: np.ndarray
    speed_m_s: np.ndarray
    valid: np.ndarray | None = None
    vertical: int = -1
    calibrated: bool = True
