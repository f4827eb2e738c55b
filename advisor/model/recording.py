"""A road recording: as it was read, the lines looked for in it, and what was found."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from advisor.model.case import Frequency, SoftFinding, Vehicle
from advisor.model.choose import Rolling
from advisor.model.reading import Reading
from advisor.physics.recording_analysis import RecordingAnalysis
from advisor.physics.samples import Samples

Turns = Literal["wheel", "shaft", "engine"]
SpeedFrom = Literal["column", "file", "constant", "ridge", "none"]


@dataclass(frozen=True, kw_only=True, eq=False)
class Drive(Reading):
    """What was read of a recording. axes: names in the order of samples.acceleration; unit: of the
    acceleration; speed_from: what the speed was asked or taken from ("none": no speed, find it in
    the vibration); guesses, flaws: in words; engine_rpm: at the steady speed of the recording."""

    path: str
    samples: Samples
    axes: tuple[str, ...]
    unit: str
    speed_from: SpeedFrom
    jitter_s: float = 0.0
    guesses: tuple[str, ...] = ()
    flaws: tuple[str, ...] = ()
    engine_rpm: float | None = None

    @property
    def duration_s(self) -> float:
        """From first to last sample, gaps included."""
        return (self.samples.acceleration.shape[1] - 1) / self.samples.sample_rate_hz


@dataclass(frozen=True)
class Sought:
    """A line looked for. of, order: which part turns and how often it shakes in one turn;
    per_turn: the same per wheel turn; NaN for an engine at one engine speed (then hz is set)."""

    name: str
    of: Turns
    order: float
    per_turn: float
    hz: float | None = None


@dataclass(frozen=True)
class Line:
    """A line looked for, on the axis where it is felt most.

    hz_low, hz_high: over the speeds of the recording; amplitude (peak) and its standard deviation
    in the unit of the recording, noise: what noise alone would show; felt: weighted
    strength as a share of the strongest line; times_usual: amplitude against what a sound vehicle
    shows, None when uncalibrated; there: chance that it is no noise; stands_out: chance that it is
    there, above what is usual, and among the loudest in that measure; shows: the same beside the
    strongest order of the same part; with_: names it cannot be told from; passes_hz: the ridge
    that stays at one frequency, where this line only passes it.
    """

    sought: Sought
    axis: str
    hz_low: float
    hz_high: float
    amplitude: float
    amplitude_sd: float
    noise: float
    felt: float
    times_usual: float | None
    there: float
    stands_out: float
    shows: float
    with_: tuple[str, ...] = ()
    passes_hz: float | None = None


@dataclass(frozen=True)
class SteadyLine:
    """A peak of the steady-speed spectrum with its errors (standard deviations) and the names of
    the lines it may be."""

    axis: str
    hz: float
    hz_sd: float
    amplitude: float
    amplitude_sd: float
    felt: float
    may_be: tuple[str, ...]


@dataclass(frozen=True)
class Speaks:
    """How many times likelier these lines are with one of these causes than without, as log10."""

    causes: tuple[str, ...]
    orders: tuple[str, ...]
    log10_ratio: float


@dataclass(frozen=True)
class DriveFindings:
    """All that one recording says. vehicle: orders were worked out for it; speeds: lowest and
    highest road speed in mph, or None; speaks: strongest first; softs, frequencies: what may enter
    a case as evidence; not_counted: why something does not; looks: what to beware of, in words.
    """

    drive: Drive
    vehicle: Vehicle
    roll: Rolling
    analysis: RecordingAnalysis
    speeds_mph: tuple[float, float] | None
    lines: tuple[Line, ...]
    steady: tuple[SteadyLine, ...]
    speaks: tuple[Speaks, ...]
    softs: tuple[SoftFinding, ...]
    frequency: Frequency | None
    not_counted: tuple[str, ...] = ()
    looks: tuple[str, ...] = ()
    lengths: Mapping[str, float] = field(default_factory=dict)
