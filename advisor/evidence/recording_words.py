"""What a recording says, in shop words."""

from __future__ import annotations

import math
from collections.abc import Sequence

from advisor.evidence.recording_checks import strength_words
from advisor.model.recording import Drive, DriveFindings, Line, SteadyLine
from advisor.physics.orders import wheel_hz_per_mph
from advisor.physics.ridge_verdict import RidgeVerdict
from advisor.physics.units import M_S_PER_MPH, m_s_to_mph

SPEED_FROM = {
    "column": "a column of the recording",
    "file": "the speed log",
    "constant": "the speed given",
    "ridge": "the ridge of the vibration itself, taken as wheel order 1",
    "none": "nowhere",
}


def read_words(drive: Drive) -> str:
    """One sentence on what was read."""
    axes = f"{len(drive.axes)} axes" if len(drive.axes) > 1 else "1 axis"
    vertical = drive.samples.vertical
    which = f", {drive.axes[vertical]} is vertical" if vertical >= 0 else ""
    unit = {"m/s2": "in m/s2", "full scale": "in parts of full scale"}.get(
        drive.unit, "in an unknown unit"
    )
    return (
        f"{duration(drive.duration_s)}, {axes} ({', '.join(drive.axes)}{which}), "
        f"{drive.samples.sample_rate_hz:.0f} samples a second, {unit}."
    )


def speed_words(found: DriveFindings) -> str:
    """One sentence on the road speed."""
    analysis = found.analysis
    if found.speeds_mph is None:
        return "No road speed: frequencies only, no orders."
    origin = "ridge" if analysis.speed_from == "ridge" else found.drive.speed_from
    low, high = found.speeds_mph
    if origin == "constant":
        low = high = m_s_to_mph(float(found.drive.samples.speed_m_s[0]))
    span = f"{low:.0f} to {high:.0f} mph" if high - low >= 1 else f"{(low + high) / 2:.0f} mph"
    refined = analysis.refined
    more = ""
    if refined is not None and refined.found and origin != "ridge":
        more = f"; the ridge puts the wheel turns at {100 * refined.scale:.1f} % of that"
    return f"Road speed {span}, from {SPEED_FROM[origin]}{more}. Tire: {found.roll.says}."


def duration(seconds: float) -> str:
    """'45 s', '12 min', '1 h 5 min'."""
    if seconds < 120:
        return f"{seconds:.0f} s"
    minutes = round(seconds / 60)
    return f"{minutes} min" if minutes < 60 else f"{minutes // 60} h {minutes % 60} min"


def verdict_words(found: DriveFindings) -> list[str]:
    """Order or resonance, with slope and intercept; why not, where it cannot be said."""
    verdict = found.analysis.verdict
    if verdict is None:
        return []
    line, wheel = verdict.line, wheel_hz_per_mph(found.roll.circumference_m)
    low, high = (m_s_to_mph(v) for v in (line.low_m_s, line.high_m_s))
    slope = with_error(line.slope_hz_s_m * M_S_PER_MPH, line.slope_sd * M_S_PER_MPH)
    ridge = (
        f"Ridge from {low:.0f} to {high:.0f} mph: slope {slope} Hz per mph (one turn of this tire "
        f"is {wheel:.4f}), "
        f"intercept {with_error(line.intercept_hz, line.intercept_sd_hz)} Hz."
    )
    return [_kind_words(verdict, wheel), ridge]


def _kind_words(verdict: RidgeVerdict, turn_hz: float) -> str:
    name = verdict.name or f"order {verdict.order:.2f} of the wheel, none of those looked for"
    if verdict.other_names:
        name += f" (or {', '.join(verdict.other_names)}, too close to tell)"
    resonance = with_error(verdict.resonance_hz, verdict.resonance_sd_hz)
    if verdict.kind == "order":
        return f"An order: the ridge climbs with road speed and goes through zero. It is {name}."
    if verdict.kind == "amplified_order":
        return (
            f"An order amplified by a resonance: the ridge goes through zero, so it is {name}; it "
            f"swells {verdict.gain:.1f} times near {resonance} Hz. Something turning drives it, "
            "something else answers: look for both."
        )
    if verdict.kind == "resonance":
        return (
            f"A resonance: the ridge stays at {resonance} Hz whatever the speed. Wheel order 1 "
            f"passes it at {verdict.resonance_hz / turn_hz:.0f} mph and may drive it there. Make "
            "sure it is no fan, pump or engine at a fixed speed."
        )
    if "too close together" in verdict.because:
        return (
            "Undecided: the speeds lie too close together to tell an order from a resonance. "
            "Repeat over at least 20 mph, slowly."
        )
    return (
        "Undecided: the ridge neither goes through zero nor stays level. An engine in changing "
        "gears, two lines that cross, two wheels that beat, or a wrong speed."
    )


def amplitude(value: float, sd: float, unit: str) -> str:
    """'0.300 +/- 0.001 m/s2', with as many digits as the error has a use for."""
    shown = "" if unit in ("", "unknown") else f" {unit}"
    return f"{with_error(value, sd)}{shown}"


def with_error(value: float, sd: float) -> str:
    """'8.20 +/- 0.01': one digit of the error, at most five behind the point."""
    if math.isnan(value):
        return "unknown"
    digits = min(5, max(0, -math.floor(math.log10(max(sd, 1e-9)))))
    return f"{round(value, digits) + 0.0:.{digits}f} +/- {max(sd, 10**-5):.{digits}f}"


def line_words(line: Line, unit: str) -> str:
    """One line looked for, in a sentence."""
    hz = f"{hz_range(line.hz_low, line.hz_high)} Hz"
    size = amplitude(line.amplitude, line.amplitude_sd, unit)
    strength = f"{verdict_on(line)} ({strength_words(line)})"
    return f"{line.sought.name}, {hz}: {size} on {line.axis}, {strength}."


def verdict_on(line: Line) -> str:
    """Whether a line is there and whether it counts, in few words."""
    if line.there < 0.5:
        return "noise only"
    if line.passes_hz is not None:
        return f"passes {line.passes_hz:.1f} Hz, not told apart there"
    if line.with_:
        return f"not told from {listing(line.with_)}"
    if line.stands_out >= 0.5:
        return "stands out"
    if line.stands_out >= 0.2:
        return "there"
    usual = line.times_usual is not None and line.times_usual < 1.2
    return "as usual" if usual else "there, but weak"


def steady_words(line: SteadyLine, unit: str) -> str:
    """One peak of the steady-speed spectrum."""
    name = " or ".join(line.may_be) or "none of the lines looked for"
    size = amplitude(line.amplitude, line.amplitude_sd, unit)
    return f"{with_error(line.hz, line.hz_sd)} Hz, {size} on {line.axis}: {name}."


def hz_range(low: float, high: float) -> str:
    """'5.8 to 10.1', or one figure when both ends look the same."""
    a, b = f"{low:.1f}", f"{high:.1f}"
    return a if a == b else f"{a} to {b}"


def listing(items: Sequence[str], last: str = "and") -> str:
    """'a', 'a and b', 'a, b and c'."""
    if len(items) < 2:
        return "".join(items)
    return f"{', '.join(items[:-1])} {last} {items[-1]}"
