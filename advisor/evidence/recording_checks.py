"""Which checks a recording answers, how surely, and why it may not be counted at all."""

from __future__ import annotations

from collections.abc import Sequence

from advisor.evidence.recording_turning import Judged, is_steady, shows_anyway
from advisor.evidence.speed_band import Reported
from advisor.model.case import Frequency, SoftFinding
from advisor.model.recording import Drive, DriveFindings, Line, Sought, SteadyLine
from advisor.physics.recording_analysis import RecordingAnalysis

CHECKS = {
    "wheel": "road-recording-wheel-order",
    "shaft": "road-recording-shaft-order",
    "engine": "road-recording-engine-order",
}
FIXED = "road-recording-fixed-frequency"
SAYS_NOTHING = 0.01


def not_counted(
    drive: Drive,
    analysis: RecordingAnalysis,
    lines: Sequence[Line],
    assumed: bool,
    speeds: tuple[float, float] | None,
    band: Reported | None,
) -> tuple[str, ...]:
    """Reasons why nothing of this recording enters the ranking; empty when it may."""
    if speeds is None:
        return ("without a road speed no line can be laid to wheel, shaft or engine",)
    if analysis.speed_from == "ridge":
        return (
            "the speed was read from the vibration itself, taken as wheel order 1, so it cannot "
            "prove that it is one: log the speed beside the recording",
        )
    if drive.speed_from == "constant" and not is_steady(analysis):
        return (
            f"one speed was given, but the strongest line wanders as if from {speeds[0]:.0f} to "
            f"{speeds[1]:.0f} mph: the speed was not steady, log it beside the recording",
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
    verdict = analysis.verdict
    if verdict is not None and "order" in verdict.kind and not verdict.name:
        return (
            f"the ridge is order {verdict.order:.2f} of the wheel, which was not looked for: give "
            "cylinders and gear ratio, or think of a fan, pump or compressor in step with it",
        )
    fixed = verdict is not None and verdict.kind == "resonance"
    if not fixed and all(line.stands_out < 0.5 for line in lines):
        return (
            "nothing that was looked for stands out, so the complaint may not be on this "
            "recording: check speed, road, load, and how and where the recorder was fixed",
        )
    return ()


def soft_findings(
    found: DriveFindings, sought: tuple[Sought, ...], judged: Judged
) -> list[SoftFinding]:
    """One likelihood for each check the recording answers.

    Beside a line that stands out the other kinds follow in part from it, so they speak with less
    than their full strength.
    """
    chances = _stand_out(found, sought)
    fixed = _fixed(found)
    if fixed is not None:
        chances.append((FIXED, *fixed))
    beside = any(chance >= 0.5 for _, chance, _ in chances)
    weak = judged["other-kinds-strength"].value if beside else 1.0
    chance, anyway = judged["shows-when-there"].value, shows_anyway(judged, found.analysis)
    made = []
    for check, stands_out, words in chances:
        there = chance * stands_out + (1 - chance) * (1 - stands_out)
        not_there = anyway * stands_out + (1 - anyway) * (1 - stands_out)
        power = 1.0 if stands_out >= 0.5 else weak
        ratio = (there / not_there) ** power
        if abs(ratio - 1) < SAYS_NOTHING:
            continue
        # Only the ratio counts; given so that both add up to one.
        lambda1 = round(ratio / (1 + ratio), 6)
        made.append(SoftFinding(f"found.{check}", lambda1, round(1 - lambda1, 6), None, words))
    return made


def _stand_out(found: DriveFindings, sought: tuple[Sought, ...]) -> list[tuple[str, float, str]]:
    """(check, chance that such an order stands out, in words) for wheel, shaft and engine."""
    made = []
    for of, check in CHECKS.items():
        lines = [line for line in found.lines if line.sought.of == of]
        if not lines:
            continue
        best = max(lines, key=lambda line: (line.stands_out, line.amplitude))
        missed = {s.name for s in sought if s.of == of} - {line.sought.name for line in lines}
        if missed and best.stands_out < 0.5:
            continue  # what was too fast for the recorder may be the very line
        if best.passes_hz is not None:
            continue  # the ridge that stays says it already
        made.append((check, best.stands_out, _words(best)))
    return made


def _words(best: Line) -> str:
    """The strongest line of a kind in a few words, for or against."""
    size = f"{best.sought.name}, {strength_words(best)}"
    if best.with_:
        return f"Recording: {size}, not to be told from {' and '.join(best.with_)}"
    if best.stands_out >= 0.5:
        return f"Recording: {size}"
    return f"Recording: no {best.sought.of} order stands out ({size})"


def strength_words(line: Line) -> str:
    """How strong a line is, in words that need no unit."""
    if line.times_usual is None:
        return f"{100 * line.felt:.0f} % of the strongest line felt"
    return f"{line.times_usual:.1f} times what a sound vehicle shows"


def _fixed(found: DriveFindings) -> tuple[float, str] | None:
    """Chance that the ridge stays at one frequency; None where the recording does not say."""
    verdict = found.analysis.verdict
    if verdict is None or verdict.kind not in ("order", "resonance"):
        return None
    if verdict.kind == "resonance":
        words = f"Recording: the ridge stays at {verdict.resonance_hz:.1f} Hz while the speed rises"
        return 1.0, words
    return 0.0, "Recording: the ridge moves with the road speed, none stays at one frequency"


def strongest_frequency(steady: tuple[SteadyLine, ...]) -> Frequency | None:
    """The line felt most, to be held against the orders at the driver's speed."""
    if not steady:
        return None
    return Frequency(steady[0].hz, max(steady[0].hz_sd, 0.01 * steady[0].hz))
