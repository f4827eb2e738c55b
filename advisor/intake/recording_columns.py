"""Which column of a recorded table is time, speed and acceleration: said, or guessed and echoed."""

from __future__ import annotations

import itertools
import re
from collections.abc import Collection
from dataclasses import dataclass

from advisor.errors import did_you_mean, one_of
from advisor.intake.recording_layout import Layout, cell_value, is_number, problem

_TIME = re.compile(r"^(t|date|elapsed|clock|seconds|utc)(?![a-z])|time", re.I)
_SPEED = re.compile(r"speed|velocity|^v(?![a-z])|(?<![a-z])(mph|km/?h|kph)(?![a-z])", re.I)
_AXIS = re.compile(
    r"^(a|acc|accel|acceleration)?[\s_.-]*[xyz](?![a-z])|acc|vertical|lateral|longitudinal"
    r"|fore[\s_-]*aft|seat|floor|axle|frame|^vib",
    re.I,
)
_NEITHER = re.compile(
    r"gyr|rotation|deg|rad/|mag|press|temp|latitude|longitude|lat$|lon$|alt|accuracy|quat", re.I
)


@dataclass(frozen=True)
class Columns:
    """What the user says about the columns; anything left empty is guessed and echoed.

    time, speed, axes: header names or numbers from 1; units: time s, ms, us, ns; acceleration g,
    mg, m/s2; speed m/s, km/h, mph, kn; sample_rate_hz: for a table without a time column.
    """

    time: str = ""
    axes: tuple[str, ...] = ()
    speed: str = ""
    time_unit: str = ""
    acceleration_unit: str = ""
    speed_unit: str = ""
    sample_rate_hz: float | None = None


@dataclass(frozen=True)
class Chosen:
    """Columns counted from 0, -1 for none; notes: every guess in words, to be echoed."""

    time: int
    axes: tuple[int, ...]
    speed: int
    notes: tuple[str, ...]


def choose_columns(layout: Layout, columns: Columns, *, speed_log: bool = False) -> Chosen:
    """Find the columns of a recording, or of a speed log (no acceleration needed).

    Raises InputProblems when a named column isn't there or no acceleration is found.
    """
    notes: list[str] = []
    said = {find_column(layout, c) for c in (columns.time, *columns.axes, columns.speed) if c}
    if columns.time:
        time = find_column(layout, columns.time)
    else:
        time = _guess_time(layout, said, columns.sample_rate_hz is not None, notes)
    speed = (
        find_column(layout, columns.speed)
        if columns.speed
        else _guess_speed(layout, said | {time}, speed_log, notes)
    )
    if speed_log:
        return Chosen(time, (), speed, tuple(notes))
    axes = tuple(find_column(layout, c) for c in columns.axes)
    axes = axes or _guess_axes(layout, {time, speed}, notes)
    if not 1 <= len(axes) <= 3:
        raise problem(
            layout.path,
            f"{len(axes) or 'no'} acceleration columns named or recognized",
            line=layout.skip_lines or 1,
            field="axes",
            allowed=f"1 to 3 of {one_of(layout.names)}",
        )
    return Chosen(time, axes, speed, tuple(notes))


def find_column(layout: Layout, wanted: str) -> int:
    """Index of a column given by name or by number from 1. Raises InputProblems."""
    lower = [name.lower() for name in layout.names]
    if wanted.lower() in lower:
        return lower.index(wanted.lower())
    numbers = [str(k + 1) for k in range(len(layout.names))]
    if wanted in numbers:
        return numbers.index(wanted)
    raise problem(
        layout.path,
        f'there is no column "{wanted}"',
        line=layout.skip_lines or 1,
        allowed=one_of(layout.names),
        hint=did_you_mean(wanted, layout.names),
    )


def _guess_time(layout: Layout, said: Collection[int], rate_given: bool, notes: list[str]) -> int:
    free = [k for k in range(len(layout.names)) if k not in said]
    named = [k for k in free if layout.headed and _TIME.search(layout.names[k])]
    rising = [k for k in named if _rises(layout, k)]
    if not named and not rate_given:
        rising = [k for k in free if _rises(layout, k)][:1]
    # Of two time columns the one that moves from row to row is the clock.
    for k in rising or named:
        notes.append(f'time taken from column {k + 1}, "{layout.names[k]}"')
        return k
    return -1


def _rises(layout: Layout, k: int) -> bool:
    known = [v for row in layout.rows if (v := cell_value(row[k])) is not None]
    pairs = list(itertools.pairwise(known))
    return len(pairs) >= 2 and all(b > a for a, b in pairs)


def _guess_speed(layout: Layout, taken: Collection[int], speed_log: bool, notes: list[str]) -> int:
    free = [k for k in range(len(layout.names)) if k not in taken]
    named = [
        k
        for k in free
        if layout.headed and _SPEED.search(layout.names[k]) and not _NEITHER.search(layout.names[k])
    ]
    if speed_log and not layout.headed and len(free) == 1:
        named = free
    for k in named[:1]:
        notes.append(f'speed taken from column {k + 1}, "{layout.names[k]}"')
        return k
    return -1


def _guess_axes(layout: Layout, taken: Collection[int], notes: list[str]) -> tuple[int, ...]:
    free = [
        k
        for k in range(len(layout.names))
        if k not in taken and any(is_number(row[k]) for row in layout.rows)
    ]
    if layout.headed:
        names = layout.names
        free = [k for k in free if not _NEITHER.search(names[k])]
        free = [k for k in free if _AXIS.search(names[k])] or (free if len(free) <= 3 else [])
    axes = tuple(free[:3])
    if axes:
        said = ", ".join(f'"{layout.names[k]}"' for k in axes)
        notes.append(f"acceleration taken from {said}")
    return axes
