"""How a recorded table is laid out: encoding, delimiter, decimal sign, header, first data line."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from advisor.errors import InputProblems, Problem
from advisor.intake.recording_units import unit_in

HEAD_BYTES = 1 << 16
DELIMITERS = (";", "\t", ",", "|")
_NUMBER = re.compile(r"^[+-]?(\d+([.,]\d*)?|[.,]\d+)([eE][+-]?\d+)?$|^[+-]?(nan|inf)$", re.I)


@dataclass(frozen=True)
class Layout:
    """How a table is written.

    delimiter: None is blank space; skip_lines: lines before the first data line; names: from the
    header, or "column 1" on when `headed` is False; rows: cells of the first data lines.
    """

    path: str
    encoding: str
    delimiter: str | None
    decimal_comma: bool
    skip_lines: int
    names: tuple[str, ...]
    headed: bool
    rows: tuple[tuple[str, ...], ...]
    notes: tuple[str, ...] = ()


def problem(path: str, what: str, *, line: int = 0, column: int = 0, **more: str) -> InputProblems:
    """An error that stops the reading, with its place; more: field, allowed, hint."""
    return InputProblems([Problem(path, line, column, more.pop("field", ""), what, **more)])


def read_layout(path: str) -> Layout:
    """Look at the beginning of a table.

    Raises InputProblems for a file that is missing, empty, no text, or holds no numbers.
    """
    text, encoding, note = _head(path)
    # only what ends a line when the file is read again; form feeds and the like do not
    lines = re.split(r"\r\n|\r|\n", text)
    delimiter, first, rows = _data_start(path, lines)
    header = _header(lines[:first], delimiter, len(rows[0]))
    notes = [note] if note else []
    if not header:
        notes.append("no header line: columns told apart by what they hold")
    comma = delimiter != "," and any(re.search(r"\d,\d", c) for row in rows for c in row)
    names = header or tuple(f"column {k + 1}" for k in range(len(rows[0])))
    return Layout(path, encoding, delimiter, comma, first, names, bool(header), rows, tuple(notes))


def _head(path: str) -> tuple[str, str, str]:
    """Beginning of the file as text without a torn last line, encoding, and a note."""
    try:
        with Path(path).open("rb") as file:
            raw = file.read(HEAD_BYTES)
    except OSError as error:
        raise problem(path, f"cannot be read: {error.strerror}") from None
    if not raw.strip():
        raise problem(path, "the file is empty", hint="record again; nothing can be said")
    if raw[:2] in (b"\xff\xfe", b"\xfe\xff"):
        text = raw[: len(raw) // 2 * 2].decode("utf-16", "ignore")
        return (text[: text.rfind("\n")] if len(raw) == HEAD_BYTES else text), "utf-16", ""
    if b"\0" in raw:
        raise problem(path, "this is not a text table", allowed="CSV text or WAV")
    if len(raw) == HEAD_BYTES and b"\n" in raw:
        raw = raw[: raw.rfind(b"\n")]
    try:
        return raw.decode("utf-8-sig"), "utf-8-sig", ""
    except UnicodeDecodeError:
        return raw.decode("latin-1"), "latin-1", "not UTF-8 text: read byte by byte (Latin-1)"


def split_line(line: str, delimiter: str | None) -> tuple[str, ...]:
    """Cells of one line, without blanks and quotes around them."""
    return tuple(cell.strip().strip('"') for cell in line.strip("\r\n").split(delimiter))


def is_number(cell: str) -> bool:
    """True for a number with decimal point or comma, nan and inf included."""
    return bool(_NUMBER.match(cell))


def cell_value(cell: str) -> float | None:
    """A number, or the seconds of a clock time; None for anything else."""
    return float(cell.replace(",", ".")) if is_number(cell) else clock_seconds(cell)


def clock_seconds(cell: str) -> float | None:
    """Seconds of an ISO 8601 date and time, or of a time of day; None when it is neither."""
    if ":" not in cell:
        return None
    text = cell.strip().strip('"').replace(",", ".")
    dated = "-" in text[1:5]
    try:
        moment = datetime.fromisoformat(text if dated else f"1970-01-01T{text}")
    except ValueError:
        return None
    return (moment if moment.tzinfo else moment.replace(tzinfo=UTC)).timestamp()


def _data_start(
    path: str, lines: Sequence[str]
) -> tuple[str | None, int, tuple[tuple[str, ...], ...]]:
    """Delimiter, index of the first data line, and up to 20 rows of cells."""
    for first, line in enumerate(lines):
        if not line.strip():
            continue
        for delimiter in (*(d for d in DELIMITERS if d in line), None):
            cells = split_line(line, delimiter)
            values = sum(cell_value(cell) is not None for cell in cells)
            needed = max(1, len(cells) - cells.count("") - 1)
            # The first cell must be a value: a header with a number in it is no data.
            if cell_value(cells[0]) is not None and values >= needed:
                rows = (split_line(text, delimiter) for text in lines[first : first + 20])
                return delimiter, first, tuple(r for r in rows if len(r) == len(cells))
    raise problem(
        path,
        "no line of numbers found",
        line=1,
        hint="export the recording as a table with one line per sample",
    )


def _header(above: Sequence[str], delimiter: str | None, count: int) -> tuple[str, ...]:
    """Names from the nearest line above the data with as many cells; a unit line is joined."""
    lines = (split_line(text.lstrip("#% "), delimiter) for text in above)
    found = [cells for cells in lines if len(cells) == count and any(cells)]
    if not found:
        return ()
    bare = [cell.strip("[]()") for cell in found[-1]]
    units = sum(unit_in(cell) != "" and len(cell) < 9 for cell in bare)
    if len(found) > 1 and units >= count - 1 and not any(unit_in(c) for c in found[-2]):
        return tuple(f"{name} [{unit}]" for name, unit in zip(found[-2], bare, strict=True))
    return found[-1]
