"""Helpers of everything that reads a recording: how a line feels, how fast the wheels turned."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from advisor.model.pack import JudgedValue
from advisor.model.recording import Drive
from advisor.physics.order_reading import SLOWEST_SHARE
from advisor.physics.recording_analysis import RecordingAnalysis
from advisor.physics.weighting import weighting_response

Judged = Mapping[str, JudgedValue]
STEADY_SPREAD = 1.08  # highest over lowest speed of a recording that counts as steady; own choice


class Felt:
    """Amplitude times the ISO 2631-1 weighting: Wk on the vertical axis, or on all when it is not
    known which is vertical, Wd on the others."""

    def __init__(self, drive: Drive):
        self.vertical = drive.samples.vertical

    def __call__(self, axis: int, amplitude: float, hz: float) -> float:
        name = "Wk" if self.vertical in (-1, axis) else "Wd"
        return amplitude * float(np.abs(weighting_response(name, np.array([hz])))[0])


def turning_hz(analysis: RecordingAnalysis) -> np.ndarray:
    """Wheel turns a second over the stretches whose orders were measured; empty without speed."""
    if analysis.refined is None:
        return np.zeros(0)
    rate_hz = analysis.refined.rotation.rate_hz
    return rate_hz[rate_hz > SLOWEST_SHARE * rate_hz.max()]


def is_steady(analysis: RecordingAnalysis) -> bool:
    """Whether the road speed hardly changes, or is not known."""
    turning = turning_hz(analysis)
    if not len(turning):
        return True
    low, high = ends(turning)
    return high <= STEADY_SPREAD * low


def shows_anyway(judged: Judged, analysis: RecordingAnalysis) -> float:
    """Chance that an order stands out for no fault of its own."""
    name = "shows-anyway-steady" if is_steady(analysis) else "shows-anyway"
    return judged[name].value


def ends(values: np.ndarray) -> tuple[float, float]:
    """Where nearly all of (k,) values lie; the noise of a speed log makes no range."""
    low, high = np.quantile(values, [0.02, 0.98])
    return float(low), float(high)
