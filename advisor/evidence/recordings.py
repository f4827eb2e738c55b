"""A road recording as evidence: which checks it answers, how surely, and what cannot be counted."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from advisor.evidence.recording_lines import Judged, measured_lines, steady_lines, turning_hz
from advisor.evidence.recording_orders import (
    engine_lines_at,
    folded_onto_wheel_orders,
    sought_lines,
)
from advisor.evidence.recording_speaks import cause_ratios
from advisor.evidence.speed_band import reported_band
from advisor.model.case import Frequency, SoftFinding, SpeedRange, Vehicle
from advisor.model.choose import rolling
from advisor.model.pack import Pack
from advisor.model.recording import Drive, DriveFindings, Line, Sought, SteadyLine
from advisor.physics.orders import wheel_hz_per_mph
from advisor.physics.recording_analysis import RecordingAnalysis, analyze_recording
from advisor.physics.sampling import MIN_SAMPLE_RATE_HZ, length_to_separate_s
from advisor.physics.units import m_s_to_mph

CHECKS = {
    "wheel": "road-recording-wheel-order",
    "shaft": "road-recording-shaft-order",
    "engine": "road-recording-engine-order",
}
FIXED = "road-recording-fixed-frequency"
CLOSE_LINES = 0.06  # relative; closer lines get a recording length of their own; own choice
STEADY_SPREAD = 1.08  # highest over lowest speed of a recording that counts as steady; own choice


def drive_findings(
    drive: Drive, vehicle: Vehicle, pack: Pack, speed: SpeedRange | None = None
) -> DriveFindings:
    """Analyze a recording for a vehicle. speed: where the complaint is felt, if it was said."""
    roll, judged = rolling(vehicle, pack), pack.recordings
    sought = sought_lines(vehicle, roll)
    analysis = analyze_recording(
        drive.samples,
        circumference_m=roll.circumference_m,
        orders={s.name: s.per_turn for s in sought},
    )
    at_rpm = engine_lines_at(vehicle, drive.engine_rpm or vehicle.engine_rpm)
    at_rpm = at_rpm if _is_steady(analysis) else ()
    steady = steady_lines(drive, analysis, (*sought, *at_rpm), roll)
    lines = measured_lines(drive, analysis, (*sought, *at_rpm), steady, judged)
    turning = turning_hz(analysis)
    speeds = None
    if len(turning):
        speeds = tuple(m_s_to_mph(f(turning) * roll.circumference_m) for f in (np.min, np.max))
    covered, folds = _folding(drive, (*sought, *at_rpm), speeds, roll.circumference_m)
    lines = tuple(_less_sure(line, covered) for line in lines)
    top = pack.vehicles[vehicle.type].top_speed_mph
    reasons = _not_counted(drive, analysis, roll.assumed, speeds, reported_band(speed, top))
    found = DriveFindings(
        drive, vehicle, roll, analysis, speeds, lines, steady,
        cause_ratios(pack, vehicle, lines, shows_anyway(judged, analysis)), (), None, reasons,
        (*folds, *_looks(drive, vehicle, analysis)),
        _lengths((*sought, *at_rpm), turning),
    )  # fmt: skip
    if reasons:
        return replace(found, frequency=_frequency(steady) if speeds is None else None)
    return replace(found, softs=tuple(_softs(found, sought, judged)))


def shows_anyway(judged: Judged, analysis: RecordingAnalysis) -> float:
    """Chance that an order stands out for no fault of its own."""
    name = "shows-anyway-steady" if _is_steady(analysis) else "shows-anyway"
    return judged[name].value


def _is_steady(analysis: RecordingAnalysis) -> bool:
    turning = turning_hz(analysis)
    return not len(turning) or float(turning.max()) <= STEADY_SPREAD * float(turning.min())


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


def _less_sure(line: Line, covered: frozenset[int]) -> Line:
    if line.sought.of == "wheel" and line.sought.order in covered:
        return replace(line, stands_out=min(line.stands_out, 0.5))
    return line


def _not_counted(
    drive: Drive,
    analysis: RecordingAnalysis,
    assumed: bool,
    speeds: tuple[float, float] | None,
    band,  # type: ignore[no-untyped-def]
) -> tuple[str, ...]:
    """Reasons why nothing of this recording enters the ranking; empty when it may."""
    if speeds is None:
        return ("without a road speed no line can be laid to wheel, shaft or engine",)
    if analysis.speed_from == "ridge":
        return (
            "the speed was read from the vibration itself, taken as wheel order 1, so it cannot "
            "prove that it is one: log the speed beside the recording",
        )
    if assumed:
        return ("the tire size is not known, so the orders may be off by several percent",)
    if band and (speeds[1] < band.low_mph - 1 or speeds[0] > band.high_mph + 1):
        return (
            f"the complaint is felt from {band.low_mph:.0f} to {band.high_mph:.0f} mph, the "
            f"recording covers {speeds[0]:.0f} to {speeds[1]:.0f} mph: record where it is felt",
        )
    if not analysis.tracks:
        return ("the recording is too short or too broken to measure orders",)
    return ()


def _softs(found: DriveFindings, sought: tuple[Sought, ...], judged: Judged) -> list[SoftFinding]:
    """One likelihood for each check the recording answers."""
    chance, anyway = judged["shows-when-there"].value, shows_anyway(judged, found.analysis)

    def soft(check: str, stands_out: float, words: str) -> SoftFinding:
        return SoftFinding(
            f"found.{check}",
            round(chance * stands_out + (1 - chance) * (1 - stands_out), 6),
            round(anyway * stands_out + (1 - anyway) * (1 - stands_out), 6),
            None,
            words,
        )

    made = []
    for of, check in CHECKS.items():
        lines = [line for line in found.lines if line.sought.of == of]
        if not lines:
            continue
        best = max(lines, key=lambda line: (line.stands_out, line.felt))
        missed = {s.name for s in sought if s.of == of} - {line.sought.name for line in lines}
        if missed and best.stands_out < 0.5:
            continue  # what was too fast for the recorder may be the very line
        made.append(soft(check, best.stands_out, _words(best)))
    fixed = _fixed(found)
    if fixed is not None:
        made.append(soft(FIXED, *fixed))
    return made


def _words(best: Line) -> str:
    """The strongest line of a kind in a few words, for or against."""
    size = f"{best.sought.name} at {100 * best.felt:.0f} % of the strongest line felt"
    if best.with_:
        return f"Recording: {size}, not to be told from {' and '.join(best.with_)}"
    if best.stands_out >= 0.5:
        return f"Recording: {size}"
    return f"Recording: no {best.sought.of} order stands out ({size})"


def _fixed(found: DriveFindings) -> tuple[float, str] | None:
    """Chance that the ridge stays at one frequency; None where the recording does not say."""
    verdict = found.analysis.verdict
    if verdict is None or verdict.kind not in ("order", "resonance"):
        return None
    if verdict.kind == "resonance":
        words = f"Recording: the ridge stays at {verdict.resonance_hz:.1f} Hz while the speed rises"
        return 1.0, words
    return 0.0, "Recording: the ridge moves with the road speed, none stays at one frequency"


def _frequency(steady: tuple[SteadyLine, ...]) -> Frequency | None:
    """The line felt most, to be held against the orders at the driver's speed."""
    if not steady:
        return None
    return Frequency(steady[0].hz, max(steady[0].hz_sd, 0.01 * steady[0].hz))


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
    elif not (vehicle.axle_ratio and vehicle.gear_ratio) and not _is_steady(analysis):
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
        for (first, a), (second, b) in zip(lines, lines[1:], strict=False)
        if 0 < second - first <= CLOSE_LINES * second
    }
    made["two tires 1 % apart in size"] = length_to_separate_s(wheel_hz, 1.01 * wheel_hz)
    return {name: math.ceil(seconds) for name, seconds in made.items()}
