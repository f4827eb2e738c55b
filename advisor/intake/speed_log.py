"""Road speed beside a recording: a column, a second file, or one constant value."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from advisor.intake.recording_columns import Columns, choose_columns
from advisor.intake.recording_finding import Finding
from advisor.intake.recording_layout import clock_seconds, problem, read_layout
from advisor.intake.recording_table import read_table
from advisor.intake.recording_units import SPEED_UNITS, TIME_UNITS, epoch_unit, unit_in

ABSURD = 1e12
FASTEST_M_S = 50.0  # 112 mph: beyond it the unit is wrong; source: own choice
BIN_S = 0.1


@dataclass(frozen=True)
class SpeedLog:
    """time_s on the clock of its file, speed_m_s, both (k,); clock: stamps are dates or times."""

    time_s: np.ndarray
    speed_m_s: np.ndarray
    clock: bool
    notes: tuple[str, ...] = ()


def clean_speed(
    time_s: np.ndarray, speed: np.ndarray, unit: str, name: str
) -> tuple[np.ndarray, np.ndarray, list[Finding]]:
    """Finite, rising, thinned to the updates of the receiver, in m/s.

    Empty arrays when the speed can't be used; the findings say why.
    """
    nothing = (np.zeros(0), np.zeros(0))
    if unit not in SPEED_UNITS:
        return *nothing, [_unused(f'speed column "{name}" says no unit', "give the speed unit")]
    # one absurd cell must not spoil the rest
    good = (np.abs(time_s) < ABSURD) & (np.abs(speed) < ABSURD)
    time_s, speed_m_s = time_s[good], speed[good] * SPEED_UNITS[unit]
    if len(speed_m_s) < 2 or not speed_m_s.any():
        what = "is zero throughout" if len(speed_m_s) else "holds no number"
        return *nothing, [_unused(f'speed "{name}" {what}', "log the speed again, moving")]
    if speed_m_s.min() < -0.5 or np.quantile(speed_m_s, 0.99) > FASTEST_M_S:
        worst = float(max(speed_m_s, key=abs))
        return *nothing, [
            _unused(f'speed "{name}" reaches {worst:.0f} m/s: wrong unit or column', "check both")
        ]
    slow = speed_m_s <= FASTEST_M_S
    findings = [] if slow.all() else [_left_out(name, slow)]
    time_s, speed_m_s = time_s[slow], speed_m_s[slow]
    order = np.argsort(time_s, kind="stable")
    return *_updates(time_s[order], np.maximum(speed_m_s[order], 0.0)), findings


def _unused(what: str, again: str) -> Finding:
    still = "the speed is not used; frequencies stand, orders need another speed"
    return Finding(what, still, again)


def _left_out(name: str, kept: np.ndarray) -> Finding:
    return Finding(
        f'speed "{name}" beyond {FASTEST_M_S:.0f} m/s: {int((~kept).sum())} of {len(kept)} cells',
        "left out; the rest of the speed stands",
        "check the receiver if there are many",
    )


def _updates(time_s: np.ndarray, speed_m_s: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Only the moments a held value changes; else means over a tenth of a second."""
    changes = np.concatenate([[True], np.diff(speed_m_s) != 0])
    duration = float(time_s[-1] - time_s[0])
    if changes.sum() * 3 < len(speed_m_s) and changes.sum() >= 0.3 * duration:
        time_s, speed_m_s = time_s[changes], speed_m_s[changes]
    slot = np.floor((time_s - time_s[0]) / BIN_S).astype(np.intp)
    first = np.concatenate([[True], np.diff(slot) > 0])
    starts = np.flatnonzero(first)
    count = np.diff(np.append(starts, len(slot)))
    mean_s = np.add.reduceat(time_s - time_s[0], starts) / count + time_s[0]
    return mean_s, np.add.reduceat(speed_m_s, starts) / count


def read_speed_log(path: str, columns: Columns) -> tuple[SpeedLog, list[Finding]]:
    """Read a speed log (time and speed columns). Raises InputProblems when there is none."""
    layout = read_layout(path)
    chosen = choose_columns(layout, columns, speed_log=True)
    if chosen.speed < 0 or chosen.time < 0:
        missing = "speed" if chosen.speed < 0 else "time"
        raise problem(
            path,
            f"no {missing} column recognized among {', '.join(layout.names)}",
            line=layout.skip_lines or 1,
            field=missing,
            hint="name it",
        )
    table = read_table(layout, (chosen.time, chosen.speed), may_be_empty=(chosen.speed,))
    clock = clock_seconds(layout.rows[0][chosen.time]) is not None
    name = layout.names[chosen.speed]
    raw_s = table.values[:, 0]
    first = raw_s[np.isfinite(raw_s)][:1]
    said = columns.time_unit or unit_in(layout.names[chosen.time])
    epoch = epoch_unit(float(first[0])) if len(first) else ""
    if not clock:
        raw_s = raw_s * TIME_UNITS[said if said in TIME_UNITS else epoch or "s"]
    unit = columns.speed_unit or unit_in(name)
    time_s, speed_m_s, findings = clean_speed(raw_s, table.values[:, 1], unit, name)
    if len(time_s) > 1:
        rising = np.concatenate([[True], np.diff(time_s) > 0])
        time_s, speed_m_s = time_s[rising], speed_m_s[rising]
    notes = layout.notes + chosen.notes
    return SpeedLog(time_s, speed_m_s, clock or bool(epoch), notes), findings


def align_speed(
    log: SpeedLog, start_s: float, duration_s: float, recording_has_clock: bool
) -> tuple[np.ndarray, list[Finding]]:
    """Times of the log on the time base of the recording (0 at its first sample).

    By the clock when both have one and they overlap; otherwise both are taken to start together.
    """
    on_clock = log.time_s - start_s
    overlap = len(on_clock) and on_clock[-1] > 0 and on_clock[0] < duration_s
    if overlap and (log.clock == recording_has_clock or on_clock[0] > -duration_s):
        return on_clock, []
    return log.time_s - log.time_s[:1].sum(), [
        Finding(
            "recording and speed log share no clock",
            "both are taken to start at the same moment; orders are right only if they did",
            "start both together, or log the time of day in both",
        )
    ]
