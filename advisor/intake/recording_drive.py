"""A recording file with what was said about it -> Drive, the reading the rest works on."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

import numpy as np

from advisor.errors import AdvisorError
from advisor.intake.recording_columns import Columns
from advisor.intake.recording_file import Recording, SpeedSource, read_recording
from advisor.intake.recording_units import ACCELERATION_UNITS, SPEED_UNITS, TIME_UNITS
from advisor.model.place import Place
from advisor.model.recording import Drive, SpeedFrom
from advisor.physics.samples import Samples
from advisor.physics.units import STANDARD_GRAVITY_M_S2

FROM_RIDGE = ("from-ridge", "from ridge", "ridge")
FASTEST_M_S = 54.0  # 120 mph
FASTEST_SAMPLES_HZ = 100_000.0
_SPEED = re.compile(r"^\s*(-?\d+(?:\.\d+)?)\s*(mph|km/h|kmh|kph|m/s|kn)?\s*$", re.I)
_SCALE = re.compile(r"^\s*(\d+(?:\.\d+)?)\s*(g|m/s2)?\s*$", re.I)
_SPELLED = {"kmh": "km/h", "kph": "km/h"}


class UnclearOption(AdvisorError):
    """Something said about a recording that cannot be meant: field, found, allowed."""

    def __init__(self, field: str, what: str, allowed: str):
        self.field, self.what, self.allowed = field, what, allowed
        super().__init__(f"--{field.replace('_', '-')}: {what}; allowed: {allowed}")


@dataclass(frozen=True)
class Said:
    """What a person says about a recording; anything empty is guessed and echoed.

    speed: "62 mph", "100 km/h" or "from ridge"; speed_file: a log with time and speed columns;
    full_scale: acceleration at full scale of a WAV file, such as "4 g"; engine_rpm: at the speed.
    """

    columns: Columns = field(default_factory=Columns)
    speed: str = ""
    speed_file: str = ""
    speed_columns: Columns = field(default_factory=Columns)
    full_scale: str = ""
    engine_rpm: float | None = None


def read_drive(path: str, said: Said, *, place: Place | None = None, name: str = "") -> Drive:
    """Read a recording. Raises InputProblems when nothing can be said about it, UnclearOption for
    what cannot be meant."""
    if said.speed and said.speed_file:
        raise UnclearOption("speed", "given twice, as a value and as a file", "one of the two")
    ridge = said.speed.strip().lower() in FROM_RIDGE
    constant = speed_m_s(said.speed) if said.speed and not ridge else None
    recording = read_recording(
        path,
        columns=said.columns,
        speed=SpeedSource(constant, said.speed_file, said.speed_columns),
        full_scale_m_s2=scale_m_s2(said.full_scale) if said.full_scale else None,
    )
    origin: SpeedFrom = "file" if said.speed_file else "column"
    origin = "constant" if constant is not None else origin
    log = (recording.speed_time_s, recording.speed_m_s)
    if constant == 0:  # said to stand: nothing to find in the vibration either
        log = (np.zeros(1), np.zeros(1))
    elif ridge or not len(recording.speed_m_s):
        origin, log = ("ridge" if ridge else "none"), (np.zeros(0), np.zeros(0))
    return Drive(
        place=place,
        name=name,
        path=path,
        samples=_samples(recording, *log),
        axes=recording.axes,
        unit=recording.unit,
        speed_from=origin,
        jitter_s=recording.jitter_s,
        guesses=recording.guesses,
        flaws=tuple(str(finding) for finding in recording.findings),
        engine_rpm=said.engine_rpm,
    )


def _samples(recording: Recording, time_s: np.ndarray, speed_m_s: np.ndarray) -> Samples:
    return Samples(
        recording.acceleration,
        recording.sample_rate_hz,
        time_s,
        speed_m_s,
        recording.valid,
        recording.vertical,
        recording.unit == "m/s2",
    )


def speed_m_s(text: str) -> float:
    """ "62 mph", "62", "100 km/h" in m/s; without a unit it is mph. Raises UnclearOption."""
    match = _SPEED.match(text)
    allowed = "62, 62 mph, 100 km/h, 28 m/s, or from-ridge"
    if match is None:
        raise UnclearOption("speed", f'"{text}" is not a speed', allowed)
    unit = (match[2] or "mph").lower()
    value = float(match[1]) * SPEED_UNITS[_SPELLED.get(unit, unit)]
    if not 0 <= value <= FASTEST_M_S:
        raise UnclearOption("speed", f"{text} is outside what is possible", "0 to 120 mph")
    return value


def scale_m_s2(text: str) -> float:
    """ "4 g" or "39.2 m/s2" in m/s2; without a unit it is g. Raises UnclearOption."""
    match = _SCALE.match(text)
    if match is None or float(match[1]) == 0:
        raise UnclearOption("full_scale", f'"{text}" is not an acceleration', "4 g, 39.2 m/s2")
    return float(match[1]) * (1.0 if (match[2] or "g").lower() == "m/s2" else STANDARD_GRAVITY_M_S2)


def said_units(*, time_unit: str, unit: str, speed_unit: str, rate: float | None) -> None:
    """Check units and sample rate given by option. Raises UnclearOption."""
    for field_, said, known in (
        ("time_unit", time_unit, TIME_UNITS),
        ("unit", unit, ACCELERATION_UNITS),
        ("speed_unit", speed_unit, SPEED_UNITS),
    ):
        if said and said not in known:
            raise UnclearOption(field_, f'"{said}" is not a unit', ", ".join(known))
    if rate is not None and not 1 <= rate <= FASTEST_SAMPLES_HZ:
        raise UnclearOption("rate", f"{rate:g} is outside what is possible", "1 to 100000")
