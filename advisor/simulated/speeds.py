"""At which speeds a simulated driver feels it: the forward model against a threshold."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from advisor.physics.forward.felt import seat_rms
from advisor.physics.units import M_S_PER_MPH
from advisor.simulated.build import Built

# A driver notices this much over the road's own shaking, m/s2 rms; assumed. ISO 2631-1 annex C has
# half of alert people notice 0.015 m/s2 peak with nothing else going on (from memory).
NOTICED_M_S2 = 0.1
STRONG_SHARE = 0.6  # of the peak: what is far weaker is not named, assumed
SLOWEST_MPH, STEP_MPH, SAYS_TO_MPH = 15, 1, 5
GROWS_SHARE = 0.9  # at top speed, of the peak: it grows rather than fades


@dataclass(frozen=True)
class FeltSpeeds:
    """What the driver would say, mph; pattern: a value of the symptom key `speed`."""

    low_mph: float
    high_mph: float
    peak_mph: float
    pattern: str


def felt_speeds(built: Built, top_speed_mph: float) -> FeltSpeeds | None:
    """None where no wheel end makes a vibration that changes with speed."""
    speeds = np.arange(SLOWEST_MPH, top_speed_mph + STEP_MPH, STEP_MPH)
    felt = seat_rms(built.rig, M_S_PER_MPH * speeds)
    if not felt.max() > 0:
        return None
    strong = STRONG_SHARE * felt.max()
    level = max(strong, min(NOTICED_M_S2, 0.95 * felt.max()))
    noticed = speeds[felt >= level]
    low, high = _said(noticed[0]), _said(noticed[-1])
    peak = float(speeds[felt.argmax()])
    fades = felt[-1] < GROWS_SHARE * felt.max()
    if high <= 35:
        pattern = "low_speed_only"
    elif low <= SLOWEST_MPH + 5 and not fades and felt[0] > 0.5 * felt.max():
        pattern = "any_speed"
    else:
        pattern = "only_in_band" if fades else "grows_with_speed"
    return FeltSpeeds(low, max(high, low + SAYS_TO_MPH), peak, pattern)


def _said(speed_mph: float) -> float:
    """Rounded as drivers do."""
    return float(SAYS_TO_MPH * round(float(speed_mph) / SAYS_TO_MPH))
