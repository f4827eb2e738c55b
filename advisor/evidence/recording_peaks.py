"""Lines of the steady-speed spectrum, and which of the lines looked for they may be."""

from __future__ import annotations

import math
from collections.abc import Sequence

from advisor.evidence.recording_turning import Felt
from advisor.model.choose import Rolling
from advisor.model.recording import Drive, Sought, SteadyLine
from advisor.physics.recording_analysis import RecordingAnalysis
from advisor.physics.spectrum import Peak

SLOWEST_LINE_HZ = 3.0  # below it the body floats on its springs; as in the speed-band comparison
MOST_BLURRED = 0.02  # a peak whose frequency is less certain is a hump, not a line; own choice


def steady_lines(
    drive: Drive, analysis: RecordingAnalysis, sought: Sequence[Sought], roll: Rolling
) -> tuple[SteadyLine, ...]:
    """Peaks of the steady-speed spectrum, most felt first, each with the lines it may be."""
    felt = Felt(drive)
    wheel_hz, error = _steady_wheel_hz(drive, analysis, roll)
    made = [
        SteadyLine(
            drive.axes[axis],
            peak.frequency_hz,
            peak.frequency_sd_hz,
            peak.amplitude,
            peak.amplitude_sd,
            felt(axis, peak.amplitude, peak.frequency_hz),
            tuple(s.name for s in sought if _may_be(s, peak, wheel_hz, error)),
        )
        for axis, peaks in enumerate(analysis.peaks)
        for peak in peaks
        if peak.frequency_hz >= SLOWEST_LINE_HZ
        and peak.frequency_sd_hz <= MOST_BLURRED * peak.frequency_hz
    ]
    return tuple(sorted(made, key=lambda line: -line.felt))


def _steady_wheel_hz(
    drive: Drive, analysis: RecordingAnalysis, roll: Rolling
) -> tuple[float, float]:
    """Wheel order 1 over the steady stretch, and its relative error (one standard deviation)."""
    if analysis.refined is None or analysis.stretch is None:
        return math.nan, math.nan
    rotation, rate = analysis.refined.rotation, drive.samples.sample_rate_hz
    first, stop = analysis.stretch.first / rate, analysis.stretch.stop / rate
    inside = (rotation.time_s >= first) & (rotation.time_s <= stop)
    error = 0.003 if analysis.refined.found else math.hypot(roll.tolerance_percent / 200, 0.01)
    return float(rotation.rate_hz[inside].mean()), error


def _may_be(sought: Sought, peak: Peak, wheel_hz: float, error: float) -> bool:
    hz = sought.hz if sought.hz is not None else sought.per_turn * wheel_hz
    relative = 0.0125 if sought.hz is not None else error
    return abs(peak.frequency_hz - hz) <= 2 * math.hypot(peak.frequency_sd_hz, relative * hz) + 0.05
