"""How strong every line looked for is on a recording, and whether it is what a person feels."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np

from advisor.model.choose import Rolling
from advisor.model.pack import JudgedValue
from advisor.model.recording import Drive, Line, Sought, SteadyLine
from advisor.physics.order_likelihood import order_log10_ratio
from advisor.physics.order_reading import SLOWEST_SHARE
from advisor.physics.ordertrack import OrderAmplitude
from advisor.physics.recording_analysis import RecordingAnalysis
from advisor.physics.spectrum import PADDING, Peak
from advisor.physics.weighting import weighting_response

Judged = Mapping[str, JudgedValue]
SLOWEST_LINE_HZ = 3.0  # below it the body floats on its springs; as in the speed-band comparison
MOST_BLURRED = 0.02  # a peak whose frequency is less certain is a hump, not a line; own choice
LEAST_NOISE = 1e-6  # of a typical amplitude, so that a noiseless recording has a likelihood


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


def measured_lines(
    drive: Drive,
    analysis: RecordingAnalysis,
    sought: Sequence[Sought],
    steady: Sequence[SteadyLine],
    judged: Judged,
) -> tuple[Line, ...]:
    """Every line looked for that the recording could show, in the order looked for."""
    felt = Felt(drive)
    found = [m for s in sought if (m := _measured(s, analysis, felt, judged)) is not None]
    loudness = [felt(axis, a.amplitude, hz) for _, axis, a, hz in found]
    strongest = max([*loudness, *(s.felt for s in steady), _ridge_felt(analysis, felt)], default=0)
    biggest = max([*(a.amplitude for _, _, a, _ in found), 1e-12])
    typical = judged["typical-amplitude"].value if drive.unit == "m/s2" else biggest
    turning = turning_hz(analysis)
    made = []
    for (s, axis, a, _), loud in zip(found, loudness, strict=True):
        ratio = order_log10_ratio(a, typical_amplitude=typical, floor=LEAST_NOISE * typical)
        there = 1 / (1 + 10 ** -min(ratio, 300.0))
        share = loud / strongest if strongest else 0.0
        ends = (s.hz, s.hz) if s.hz is not None else _ends(turning * s.per_turn)
        others = _cannot_be_told_from(s, sought, analysis, turning, judged)
        stands = there * counts(share, judged)
        # A line that may as well be another's proves neither.
        stands = min(stands, 0.5) if others else stands
        made.append(
            Line(s, drive.axes[axis], *ends, a.amplitude, a.amplitude_sd, a.noise_amplitude, share,
                 there, stands, others)
        )  # fmt: skip
    return tuple(made)


def counts(share: float, judged: Judged) -> float:
    """How far a line with this share of the strongest counts as what is felt: 0 to 1."""
    low, high = judged["too-weak"].value, judged["as-strong"].value
    if share <= low:
        return 0.0
    return min(1.0, math.log(share / low) / math.log(high / low))


def _ends(hz: np.ndarray) -> tuple[float, float]:
    return float(hz.min()), float(hz.max())


def _ridge_felt(analysis: RecordingAnalysis, felt: Felt) -> float:
    """The ridge of a resonance is no order, yet it may be what is felt."""
    verdict, ridge = analysis.verdict, analysis.ridge
    if verdict is None or ridge is None or verdict.kind != "resonance" or not ridge.clear.any():
        return 0.0
    amplitude = math.sqrt(float(np.mean(ridge.amplitude[ridge.clear] ** 2)))
    return felt(analysis.main_axis, amplitude, verdict.resonance_hz)


def _measured(
    sought: Sought, analysis: RecordingAnalysis, felt: Felt, judged: Judged
) -> tuple[Sought, int, OrderAmplitude, float] | None:
    """(line, axis where it is felt most, amplitude, Hz in the middle), or None if not measured."""
    if sought.hz is not None:
        hz = sought.hz
        by_axis = [_near(s, hz, judged["engine-speed-error"].value) for s in analysis.spectra]
        per_axis = [a for a in by_axis if a is not None]
    else:
        keys = list(analysis.orders)
        at = next((k for k in keys if sought.name in analysis.orders[k]), None)
        if at is None or not analysis.tracks:
            return None
        hz = sought.per_turn * float(turning_hz(analysis).mean())
        per_axis = [track.averages[keys.index(at)] for track in analysis.tracks]
    if not per_axis:
        return None
    axis = max(range(len(per_axis)), key=lambda k: felt(k, per_axis[k].amplitude, hz))
    return sought, axis, per_axis[axis], hz


def _near(spectrum, hz: float, error: float) -> OrderAmplitude | None:  # type: ignore[no-untyped-def]
    """Strongest line of a spectrum within `error` of hz."""
    near = np.abs(spectrum.frequency_hz - hz) <= max(error * hz, 2 / spectrum.block_s)
    if not near.any() or hz > 0.45 * spectrum.sample_rate_hz:
        return None
    cells = max(1.0, near.sum() / PADDING)
    noise = float(np.median(spectrum.noise_amplitude[near]))
    # The largest of several noisy cells is larger than one of them (mean of Rayleigh maxima).
    noise *= math.sqrt(math.log(cells) + 1) / max(1.0, spectrum.blocks) ** 0.25
    amplitude = math.sqrt(max(0.0, float(spectrum.amplitude[near].max()) ** 2 - noise**2))
    return OrderAmplitude(hz, amplitude, noise / 2, noise)


def _cannot_be_told_from(
    sought: Sought,
    others: Sequence[Sought],
    analysis: RecordingAnalysis,
    turning: np.ndarray,
    judged: Judged,
) -> tuple[str, ...]:
    if sought.hz is None:
        shared = next((names for names in analysis.orders.values() if sought.name in names), ())
        return tuple(name for name in shared if name != sought.name)
    if not len(turning):
        return ()
    reach = judged["engine-speed-error"].value * sought.hz
    middle = float(turning.mean())
    return tuple(
        o.name for o in others if o.hz is None and abs(o.per_turn * middle - sought.hz) <= reach
    )
