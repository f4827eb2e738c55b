"""The numbers of a recorded table: fast when the file is sound, cell by cell when it is not."""

from __future__ import annotations

from array import array
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from advisor.intake.recording_layout import Layout, clock_seconds, is_number, problem, split_line

# Nanoseconds since 1970 are below 1e19; what is beyond is torn, and its square could overflow.
ABSURD = 1e20


@dataclass(frozen=True)
class BadCell:
    """A cell that is no number, an absurd one, or a line too short: line and column from 1."""

    line: int
    column: int
    text: str


@dataclass(frozen=True)
class Table:
    """values (rows, columns): NaN where a cell is empty or no number; line_of: first data line;
    bad: the first bad cells; bad_count: how many there are.
    """

    values: np.ndarray
    first_line: int
    bad: tuple[BadCell, ...] = ()
    bad_count: int = 0


def read_table(layout: Layout, wanted: Sequence[int], *, may_be_empty: Sequence[int] = ()) -> Table:
    """Columns `wanted` (from 0) as floats; clock times become seconds.

    may_be_empty: columns with empty cells by design, e.g. a slow speed beside fast samples.
    Raises InputProblems when nothing is left.
    """
    clocks = [k for k in wanted if not is_number(layout.rows[0][k]) and ":" in layout.rows[0][k]]
    try:
        table = Table(_fast(layout, wanted, clocks), layout.skip_lines + 1)
    except (ValueError, UnicodeDecodeError):
        table = _patient(layout, wanted, clocks, set(may_be_empty))
    if not len(table.values):
        raise problem(layout.path, "no line of numbers can be read", line=layout.skip_lines + 1)
    return _without_absurd(table, wanted)


def _without_absurd(table: Table, wanted: Sequence[int]) -> Table:
    """Numbers no logger writes are bad cells: one of them would drown all the others."""
    values = table.values
    absurd = np.isfinite(values) & (np.abs(values) > ABSURD)
    if not absurd.any():
        return table
    row, k = np.argwhere(absurd)[0]
    first = BadCell(table.first_line + int(row), wanted[k] + 1, f"{values[row, k]:g}")
    kept = np.where(absurd, np.nan, values)
    bad = tuple(sorted((*table.bad, first), key=lambda cell: cell.line))
    return Table(kept, table.first_line, bad, table.bad_count + int(absurd.sum()))


def _fast(layout: Layout, wanted: Sequence[int], clocks: Sequence[int]) -> np.ndarray:
    source: str | Iterator[str] = layout.path
    if layout.decimal_comma:
        source = _with_points(layout)
    quoted = any('"' in cell for cell in _raw_first_line(layout))
    return np.loadtxt(
        source,
        delimiter=layout.delimiter,
        skiprows=0 if layout.decimal_comma else layout.skip_lines,
        usecols=wanted,
        converters=dict.fromkeys(clocks, _clock) or None,
        encoding=layout.encoding,
        quotechar='"' if quoted else None,
        ndmin=2,
    )


def _raw_first_line(layout: Layout) -> str:
    with Path(layout.path).open(encoding=layout.encoding, errors="replace") as file:
        for _ in range(layout.skip_lines):
            next(file)
        return next(file, "")


def _with_points(layout: Layout) -> Iterator[str]:
    with Path(layout.path).open(encoding=layout.encoding) as file:
        for number, line in enumerate(file):
            if number >= layout.skip_lines:
                yield line.replace(",", ".")


def _clock(cell: str) -> float:
    seconds = clock_seconds(cell)
    if seconds is None:
        raise ValueError(cell)
    return seconds


def _patient(
    layout: Layout, wanted: Sequence[int], clocks: Sequence[int], may_be_empty: set[int]
) -> Table:
    out, count, rows = array("d"), 0, 0
    bad: list[BadCell] = []
    with Path(layout.path).open(encoding=layout.encoding, errors="replace") as file:
        for number, line in enumerate(file, start=1):
            if number <= layout.skip_lines or not line.strip() or line.startswith("#"):
                continue
            cells = split_line(line, layout.delimiter)
            rows += 1
            for k in wanted:
                value = _cell(cells, k, layout.decimal_comma, k in clocks)
                if value is None:
                    value = float("nan")
                    text = cells[k] if k < len(cells) else "(line ends)"
                    if not (text == "" and k in may_be_empty):
                        count += 1
                        if len(bad) < 5:
                            bad.append(BadCell(number, k + 1, text))
                out.append(value)
    values = np.frombuffer(out).reshape(rows, len(wanted))
    return Table(values, layout.skip_lines + 1, tuple(bad), count)


def _cell(cells: Sequence[str], k: int, comma: bool, clock: bool) -> float | None:
    if k >= len(cells):
        return None
    if clock:
        return clock_seconds(cells[k])
    try:
        return float(cells[k].replace(",", ".") if comma else cells[k])
    except ValueError:
        return None
