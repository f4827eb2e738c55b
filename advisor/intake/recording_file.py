"""Read a vibration recording: accelerometer table or WAV, with road speed if there is one."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

from advisor.intake.recording_check import (
    calibrate,
    clipping_findings,
    live_axes,
    sampling_findings,
    vertical_axis,
)
from advisor.intake.recording_columns import Chosen, Columns, choose_columns
from advisor.intake.recording_finding import Finding
from advisor.intake.recording_layout import Layout, clock_seconds, problem, read_layout
from advisor.intake.recording_table import Table, read_table
from advisor.intake.recording_time import EvenSamples, even_samples
from advisor.intake.recording_units import EPOCH_S, TIME_UNITS, epoch_unit, unit_in
from advisor.intake.recording_wave import read_wave
from advisor.intake.speed_log import align_speed, clean_speed, read_speed_log

_NO_SPEED = np.zeros(0)


@dataclass(frozen=True)
class Recording:
    """A recording on one even time grid that starts at 0.

    acceleration (axes, n): mean kept, the mean in gaps, in `unit`: "m/s2", or "unknown" or "full
    scale" when uncalibrated (frequencies stand, amplitudes only compare within the file).
    valid (n,): False in gaps, None without gaps. vertical: index of the vertical axis, -1 unknown.
    speed_time_s, speed_m_s (k,): road speed as given, empty when there is none.
    guesses: what was assumed about the file, to be echoed; findings: flaws.
    """

    path: str
    sample_rate_hz: float
    acceleration: np.ndarray
    axes: tuple[str, ...]
    unit: str
    vertical: int
    valid: np.ndarray | None
    jitter_s: float
    speed_time_s: np.ndarray = field(default_factory=lambda: _NO_SPEED)
    speed_m_s: np.ndarray = field(default_factory=lambda: _NO_SPEED)
    guesses: tuple[str, ...] = ()
    findings: tuple[Finding, ...] = ()

    @property
    def duration_s(self) -> float:
        """From first to last sample, gaps included."""
        return (self.acceleration.shape[1] - 1) / self.sample_rate_hz


@dataclass(frozen=True)
class SpeedSource:
    """Where the road speed comes from when it isn't a column: a constant, or a second file."""

    constant_m_s: float | None = None
    path: str = ""
    columns: Columns = field(default_factory=Columns)


def read_recording(
    path: str,
    *,
    columns: Columns | None = None,
    speed: SpeedSource | None = None,
    full_scale_m_s2: float | None = None,
) -> Recording:
    """Read `path` (CSV text, or WAV by its ending).

    columns: names and units where the guess would be wrong; full_scale_m_s2: acceleration at full
    scale of a WAV file. Raises InputProblems only when nothing can be said about the recording.
    """
    columns, speed = columns or Columns(), speed or SpeedSource()
    if Path(path).suffix.lower() in (".wav", ".wave"):
        return _from_wave(path, full_scale_m_s2, speed)
    layout = read_layout(path)
    chosen = choose_columns(layout, columns)
    wanted = [k for k in (chosen.time, chosen.speed, *chosen.axes) if k >= 0]
    table = read_table(layout, wanted, may_be_empty=(chosen.speed,))
    at = {k: i for i, k in enumerate(wanted)}
    guesses, findings = [*layout.notes, *chosen.notes], _bad_cells(table)
    time_s = _times(layout, table, chosen, columns, at, guesses)
    speed_log = (_NO_SPEED, _NO_SPEED)
    if chosen.speed >= 0:
        name = layout.names[chosen.speed]
        unit = columns.speed_unit or unit_in(name)
        log_s, log_m_s, flaws = clean_speed(time_s, table.values[:, at[chosen.speed]], unit, name)
        speed_log = (log_s, log_m_s)
        findings += flaws
    values = np.array(table.values[:, [at[k] for k in chosen.axes]].T, order="C")
    del table
    names = tuple(layout.names[k] for k in chosen.axes)
    even = even_samples(path, time_s, values, layout.skip_lines + 1)
    del values
    findings += [*even.findings, *clipping_findings(names, even.values)]
    names, even = live_axes(path, names, even, findings)
    unit, mean = calibrate(even, names, columns.acceleration_unit, guesses, findings)
    vertical, tilt = vertical_axis(mean, names)
    findings += [*tilt, *sampling_findings(even.sample_rate_hz, even.jitter_s)]
    clock = chosen.time >= 0 and (_is_clock(layout, chosen.time) or even.start_s > EPOCH_S)
    log = _speed_of(speed, speed_log, even, clock, guesses, findings)
    return Recording(
        path, even.sample_rate_hz, even.values, names, unit, vertical, even.valid, even.jitter_s,
        *log, tuple(guesses), tuple(findings),
    )  # fmt: skip


def _from_wave(path: str, full_scale_m_s2: float | None, speed: SpeedSource) -> Recording:
    rate_hz, values, findings = read_wave(path)
    names = tuple(f"channel {k + 1}" for k in range(len(values)))
    findings += clipping_findings(names, values)
    if full_scale_m_s2:
        values *= full_scale_m_s2
    else:
        findings.append(
            Finding(
                "a WAV file says no acceleration scale: uncalibrated",
                "frequencies, orders and ratios stand; no amplitude in m/s2",
                "give the acceleration at full scale",
            )
        )
    findings += sampling_findings(rate_hz, 0.0)
    even = EvenSamples(values, None, 0.0, rate_hz, 0.0, ())
    guesses: list[str] = []
    log = _speed_of(speed, (_NO_SPEED, _NO_SPEED), even, False, guesses, findings)
    unit = "m/s2" if full_scale_m_s2 else "full scale"
    return Recording(
        path, rate_hz, values, names, unit, -1, None, 0.0, *log, tuple(guesses), tuple(findings)
    )


def _bad_cells(table: Table) -> list[Finding]:
    if not table.bad_count:
        return []
    first = table.bad[0]
    return [
        Finding(
            f"{table.bad_count} cells are no number or an absurd one, "
            f'the first holds "{first.text}"',
            "those lines are treated as gaps; the rest stands",
            "check the export for torn or joined lines",
            first.line,
            first.column,
        )
    ]


def _is_clock(layout: Layout, column: int) -> bool:
    return clock_seconds(layout.rows[0][column]) is not None


def _times(
    layout: Layout,
    table: Table,
    chosen: Chosen,
    columns: Columns,
    at: dict[int, int],
    guesses: list[str],
) -> np.ndarray:
    """Stamps in seconds, from the time column or the sample rate given."""
    if chosen.time < 0:
        if not columns.sample_rate_hz:
            raise problem(
                layout.path,
                "no time column and no sample rate",
                line=layout.skip_lines or 1,
                field="time",
                hint="name the time column or give the sample rate",
            )
        return np.arange(len(table.values)) / columns.sample_rate_hz
    raw = table.values[:, at[chosen.time]]
    if _is_clock(layout, chosen.time):
        return raw.copy()
    unit = columns.time_unit or unit_in(layout.names[chosen.time])
    if unit not in TIME_UNITS:
        first = raw[np.isfinite(raw)][:1]
        unit = (epoch_unit(float(first[0])) if len(first) else "") or _time_unit_of(raw)
        guesses.append(f"time taken to be in {unit}, from its size")
    return raw * TIME_UNITS[unit]


def _time_unit_of(raw: np.ndarray) -> str:
    """Unit in which the step between samples is that of an accelerometer (10 Hz to 10 kHz)."""
    steps = np.abs(np.diff(raw[np.isfinite(raw)][:5000]))
    step = float(np.median(steps[steps > 0])) if (steps > 0).any() else 0.01
    return next(
        u for u, most in (("s", 0.11), ("ms", 1e2), ("us", 1e5), ("ns", 1e300)) if step < most
    )


def _speed_of(
    source: SpeedSource,
    column: tuple[np.ndarray, np.ndarray],
    even: EvenSamples,
    clock: bool,
    guesses: list[str],
    findings: list[Finding],
) -> tuple[np.ndarray, np.ndarray]:
    """Road speed on the time base of the recording; a second file before a column."""
    if source.path:
        log, flaws = read_speed_log(source.path, source.columns)
        guesses += [f"speed log: {note}" for note in log.notes]
        findings += flaws
        if not len(log.time_s):
            return _NO_SPEED, _NO_SPEED
        duration_s = even.values.shape[1] / even.sample_rate_hz
        time_s, flaws = align_speed(log, even.start_s, duration_s, clock)
        findings += flaws
        return time_s, log.speed_m_s
    if source.constant_m_s is not None:
        if source.constant_m_s <= 0:
            findings.append(
                Finding("the speed given is zero", "frequencies stand, no orders", "give the speed")
            )
            return _NO_SPEED, _NO_SPEED
        return np.zeros(1), np.array([source.constant_m_s])
    return column[0] - even.start_s, column[1]
