"""A road recording as evidence: which checks it answers, how surely, and what cannot be counted."""

from __future__ import annotations

import hashlib
import itertools
import math
from dataclasses import replace

import numpy as np

from advisor.evidence.recording_checks import not_counted, soft_findings, strongest_frequency
from advisor.evidence.recording_lines import in_doubt, measured_lines
from advisor.evidence.recording_orders import (
    engine_lines_at,
    folded_onto_wheel_orders,
    sought_lines,
)
from advisor.evidence.recording_peaks import steady_lines
from advisor.evidence.recording_speaks import cause_ratios
from advisor.evidence.recording_turning import ends, is_steady, shows_anyway, turning_hz
from advisor.evidence.speed_band import reported_band
from advisor.model.case import SpeedRange, Vehicle
from advisor.model.choose import rolling
from advisor.model.pack import Pack
from advisor.model.recording import Drive, DriveFindings, Line, Sought
from advisor.physics.orders import wheel_hz_per_mph
from advisor.physics.recording_analysis import RecordingAnalysis, analyze_recording
from advisor.physics.sampling import MIN_SAMPLE_RATE_HZ, length_to_separate_s
from advisor.physics.units import m_s_to_mph

CLOSE_LINES = 0.06  # relative; closer lines get a recording length of their own; own choice


MOST_KEPT, LARGEST_KEPT = 4, 300_000  # analyses, and samples of one, that are kept
_KEPT: dict[tuple[object, ...], RecordingAnalysis] = {}


def _analyzed(drive: Drive, circumference_m: float, orders: dict[str, float]) -> RecordingAnalysis:
    """The analysis of a recording; a walk through a case asks for the same one at every step."""
    samples = drive.samples
    if samples.acceleration.size > LARGEST_KEPT:
        return analyze_recording(samples, circumference_m=circumference_m, orders=orders)
    held = (samples.acceleration, samples.speed_time_s, samples.speed_m_s, samples.valid)
    digest = hashlib.sha256()
    for array in held:
        digest.update(b"" if array is None else np.ascontiguousarray(array).tobytes())
    rest = (samples.sample_rate_hz, samples.vertical, samples.calibrated, circumference_m)
    key = (digest.digest(), *rest, *orders.items())
    if key not in _KEPT:
        while len(_KEPT) >= MOST_KEPT:
            _KEPT.pop(next(iter(_KEPT)))
        _KEPT[key] = analyze_recording(samples, circumference_m=circumference_m, orders=orders)
    return _KEPT[key]


def drive_findings(
    drive: Drive, vehicle: Vehicle, pack: Pack, speed: SpeedRange | None = None
) -> DriveFindings:
    """Analyze a recording for a vehicle. speed: where the complaint is felt, if it was said."""
    roll, judged = rolling(vehicle, pack), pack.recordings
    sought = sought_lines(vehicle, roll)
    analysis = _analyzed(drive, roll.circumference_m, {s.name: s.per_turn for s in sought})
    at_rpm = engine_lines_at(vehicle, drive.engine_rpm or vehicle.engine_rpm)
    at_rpm = at_rpm if is_steady(analysis) else ()
    steady = steady_lines(drive, analysis, (*sought, *at_rpm), roll)
    lines = measured_lines(drive, analysis, (*sought, *at_rpm), steady, judged)
    turning = turning_hz(analysis)
    speeds = _speeds_mph(turning, roll.circumference_m)
    covered, folds = _folding(drive, (*sought, *at_rpm), speeds, roll.circumference_m)
    if not _through_zero(analysis):  # a line that folds down does not go through zero
        lines = tuple(_less_sure(line, covered) for line in lines)
    top = pack.vehicles[vehicle.type].top_speed_mph
    reasons = not_counted(drive, analysis, lines, roll.assumed, speeds, reported_band(speed, top))
    found = DriveFindings(
        drive, vehicle, roll, analysis, speeds, lines, steady,
        cause_ratios(pack, vehicle, lines, shows_anyway(judged, analysis)), (), None, reasons,
        (*folds, *_looks(drive, vehicle, analysis)),
        _lengths((*sought, *at_rpm), turning),
    )  # fmt: skip
    if reasons:
        return replace(found, frequency=strongest_frequency(steady) if speeds is None else None)
    return replace(found, softs=tuple(soft_findings(found, sought, judged)))


def _folding(
    drive: Drive,
    sought: tuple[Sought, ...],
    speeds: tuple[float, float] | None,
    circumference_m: float,
) -> tuple[frozenset[int], list[str]]:
    """Wheel orders that cannot be trusted, and why. Where engine and shaft are unknown a slow
    recorder leaves every wheel order of a steady recording in doubt."""
    rate = drive.samples.sample_rate_hz
    if speeds is None or rate >= 0.99 * MIN_SAMPLE_RATE_HZ:
        return frozenset(), []
    covered, said = folded_onto_wheel_orders(
        sought, speeds, wheel_hz_per_mph(circumference_m), rate
    )
    if {s.of for s in sought} == {"wheel", "shaft", "engine"}:
        return covered, said
    return frozenset((1, 2, 3, 4)), [
        *said,
        f"at {rate:.0f} samples a second an engine or shaft line may pose as a wheel order, and "
        "not all of their speeds are known: give axle ratio, gear or engine speed, and cylinders",
    ]


def _through_zero(analysis: RecordingAnalysis) -> bool:
    return analysis.verdict is not None and "order" in analysis.verdict.kind


def _less_sure(line: Line, covered: frozenset[int]) -> Line:
    if line.sought.of == "wheel" and line.sought.order in covered:
        return in_doubt(line)
    return line


def _looks(drive: Drive, vehicle: Vehicle, analysis: RecordingAnalysis) -> list[str]:
    """What would make the recording say more."""
    said = []
    if vehicle.axle_ratio is None and vehicle.type != "trailer":
        said.append("no axle ratio given: shaft orders were not looked for")
    rpm = drive.engine_rpm or vehicle.engine_rpm
    if not vehicle.cylinders or not (rpm or (vehicle.axle_ratio and vehicle.gear_ratio)):
        said.append(
            "engine orders were not looked for: give cylinders, and gear ratio or engine speed"
        )
    elif not (vehicle.axle_ratio and vehicle.gear_ratio) and not is_steady(analysis):
        said.append(
            "one engine speed holds for one road speed: give the gear ratio to follow the engine "
            "through changing speeds"
        )
    return said


def _lengths(sought: tuple[Sought, ...], turning: np.ndarray) -> dict[str, float]:
    """Steady seconds that part lines which lie close together, at the mean speed."""
    if not len(turning):
        return {}
    wheel_hz = float(turning.mean())
    lines = sorted((s.per_turn * wheel_hz if s.hz is None else s.hz, s.name) for s in sought)
    made = {
        f"{a} from {b}": length_to_separate_s(first, second)
        for (first, a), (second, b) in itertools.pairwise(lines)
        if 0 < second - first <= CLOSE_LINES * second
    }
    made["two tires 1 % apart in size"] = length_to_separate_s(wheel_hz, 1.01 * wheel_hz)
    return {name: math.ceil(seconds) for name, seconds in made.items()}


def _speeds_mph(turning: np.ndarray, circumference_m: float) -> tuple[float, float] | None:
    if not len(turning):
        return None
    low, high = (hz * circumference_m for hz in ends(turning))
    return m_s_to_mph(low), m_s_to_mph(high)
