"""How strong every line looked for is on a recording, and whether it is what a person feels."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from advisor.evidence.recording_turning import Felt, Judged, ends, turning_hz
from advisor.model.recording import Drive, Line, Sought, SteadyLine
from advisor.physics.order_likelihood import order_log10_ratio
from advisor.physics.ordertrack import OrderAmplitude
from advisor.physics.recording_analysis import RecordingAnalysis
from advisor.physics.spectrum import PADDING

LEAST_NOISE = 1e-6  # of a typical amplitude, so that a noiseless recording has a likelihood


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
    scale = _Scale(drive, found, felt, steady, _loud_otherwise(analysis, steady, judged), judged)
    turning = turning_hz(analysis)
    made = []
    for one in found:
        others = _cannot_be_told_from(one.sought, sought, analysis, turning, judged)
        line = scale.line(one, drive.axes[one.axis], turning, others)
        made.append(_less_at_resonance(line, analysis, judged))
    made = _beside_their_strongest(made, judged)
    # A line that may as well be another's proves neither.
    return tuple(in_doubt(line) if line.with_ else line for line in made)


@dataclass(frozen=True)
class _Found:
    """A line measured on the axis where it is felt most, hz: in the middle of its range."""

    sought: Sought
    axis: int
    size: OrderAmplitude
    hz: float


class _Scale:
    """What the lines of one recording are held against: each other, and what is usual."""

    def __init__(
        self,
        drive: Drive,
        found: Sequence[_Found],
        felt: Felt,
        steady: Sequence[SteadyLine],
        loud_otherwise: Sequence[float],
        judged: Judged,
    ):
        self.judged, self.felt, self.calibrated = judged, felt, drive.unit == "m/s2"
        weighted = [felt(f.axis, f.size.amplitude, f.hz) for f in found]
        self.most_felt = max([*weighted, *(line.felt for line in steady), 1e-12])
        self.loudest = max([*(self.times_usual(f) for f in found), *loud_otherwise, 1e-12])
        largest = max([*(f.size.amplitude for f in found), 1e-12])
        self.typical = judged["typical-amplitude"].value if self.calibrated else largest

    def times_usual(self, found: _Found) -> float:
        """Amplitude against what a sound vehicle shows."""
        return found.size.amplitude / self.judged[f"usual-{found.sought.of}-order"].value

    def line(self, found: _Found, axis: str, turning: np.ndarray, with_: tuple[str, ...]) -> Line:
        """One line with its chances."""
        s, size, times = found.sought, found.size, self.times_usual(found)
        floor = LEAST_NOISE * self.typical
        ratio = order_log10_ratio(size, typical_amplitude=self.typical, floor=floor)
        there = 1 / (1 + 10 ** -min(ratio, 300.0))
        stands = there * _between(times / self.loudest, self.judged, "too-weak", "as-strong")
        if self.calibrated:
            above = _between(times, self.judged, "as-on-sound-vehicle", "clearly-above-usual")
            stands *= above
        low, high = (s.hz, s.hz) if s.hz is not None else ends(turning * s.per_turn)
        return Line(
            sought=s,
            axis=axis,
            hz_low=low,
            hz_high=high,
            amplitude=size.amplitude,
            amplitude_sd=size.amplitude_sd,
            noise=size.noise_amplitude,
            felt=self.felt(found.axis, size.amplitude, found.hz) / self.most_felt,
            times_usual=times if self.calibrated else None,
            there=there,
            stands_out=stands,
            shows=stands,
            with_=with_,
        )


def _less_at_resonance(line: Line, analysis: RecordingAnalysis, judged: Judged) -> Line:
    """An order that only passes a ridge which stays put is not what is felt."""
    verdict = analysis.verdict
    if verdict is None or verdict.kind != "resonance":
        return line
    if not line.hz_low <= verdict.resonance_hz <= line.hz_high:
        return line
    most = min(line.stands_out, judged["passes-a-resonance"].value)
    return replace(line, stands_out=most, shows=most, passes_hz=verdict.resonance_hz)


def in_doubt(line: Line) -> Line:
    """A line that speaks no longer for what it was looked for."""
    return replace(line, stands_out=min(line.stands_out, 0.5), shows=min(line.shows, 0.5))


def _beside_their_strongest(lines: list[Line], judged: Judged) -> list[Line]:
    """Weaker orders of a part show as far as the part's strongest stands out."""
    made = []
    for line in lines:
        same = [other for other in lines if other.sought.of == line.sought.of]
        best = max(same, key=lambda other: other.stands_out)
        share = line.amplitude / best.amplitude if best.amplitude else 0.0
        beside = _between(share, judged, "harmonic-too-weak", "harmonic-in-full")
        shows = line.there * beside * best.stands_out
        made.append(replace(line, shows=max(line.stands_out, shows)))
    return made


def _between(ratio: float, judged: Judged, nothing: str, full: str) -> float:
    """0 up to the first judged value, 1 from the second on, between them by decibels."""
    low, high = judged[nothing].value, judged[full].value
    if ratio <= low:
        return 0.0
    return min(1.0, math.log(ratio / low) / math.log(high / low))


def _loud_otherwise(
    analysis: RecordingAnalysis, steady: Sequence[SteadyLine], judged: Judged
) -> list[float]:
    """Strength, against what is usual, of lines that are none of those looked for: steady peaks
    without a name, and the ridge of a resonance."""
    usual = judged["usual-wheel-order"].value
    made = [line.amplitude / usual for line in steady if not line.may_be]
    verdict, ridge = analysis.verdict, analysis.ridge
    if verdict and ridge and verdict.kind == "resonance" and ridge.clear.any():
        made.append(math.sqrt(float(np.mean(ridge.amplitude[ridge.clear] ** 2))) / usual)
    return made


def _measured(
    sought: Sought, analysis: RecordingAnalysis, felt: Felt, judged: Judged
) -> _Found | None:
    """The line on the axis where it is felt most, or None if it could not be measured."""
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
    return _Found(sought, axis, per_axis[axis], hz)


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
