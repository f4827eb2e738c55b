"""A CSV export -> rows and what could not be read: every line is in one or the other."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from advisor.errors import AdvisorError
from advisor.intake.stack_columns import match_columns, recognized
from advisor.intake.stack_text import encoding_of, lines_of
from advisor.model.stack import Reject, Stack, StackColumn, StackRow

DELIMITERS = {",": "comma", ";": "semicolon", "\t": "tab", "|": "bar"}
LONGEST_RECORD = 60  # lines; a quote that is not closed would swallow the rest of the file
LONGEST_TEXT = 20_000


def read_table(
    raw: bytes,
    name: str,
    known: Sequence[StackColumn],
    asked: Mapping[str, str],
    encoding: str | None = None,
    delimiter: str | None = None,
) -> Stack:
    """Rows of a delimited export with one heading line; raises AdvisorError when its headings
    cannot be used."""
    encoding = encoding or encoding_of(raw)
    lines = enumerate(lines_of(raw, encoding), start=1)
    head = next(((n, line) for n, line in lines if line.strip()), None)
    if head is None:
        raise AdvisorError(f"{name}: the file is empty")
    delimiter = delimiter or delimiter_of(head[1], known)
    headings = [h.strip() for h in _cells(head[1], delimiter)]
    columns = match_columns(headings, asked, known, name, head[0])
    rows: list[StackRow] = []
    rejects: list[Reject] = []
    for line, record in _records(lines, delimiter, rejects):
        row = _row(line, record, delimiter, columns, len(headings))
        if isinstance(row, Reject):
            rejects.append(row)
        else:
            rows.append(row)
    read_as = (
        f"{encoding}, {DELIMITERS.get(delimiter, delimiter)} between columns",
        *(f'{field} from "{headings[at]}"' for field, at in columns.items()),
    )
    named = {field: headings[at] for field, at in columns.items()}
    rejects.sort(key=lambda r: r.line)
    return Stack(name, tuple(rows), tuple(rejects), read_as, named)


def delimiter_of(heading: str, known: Sequence[StackColumn]) -> str:
    """The delimiter under which most headings have a known name, then that gives most columns."""

    def score(delimiter: str) -> tuple[int, int]:
        try:
            cells = _cells(heading, delimiter)
        except csv.Error:
            return 0, 0
        return recognized(cells, known), len(cells)

    return max(DELIMITERS, key=score)


def _cells(record: str, delimiter: str) -> list[str]:
    return next(csv.reader(io.StringIO(record, newline=""), delimiter=delimiter), [])


def _is_open(record: str, delimiter: str) -> bool:
    """Whether a quoted cell runs on beyond the record; a stray quote inside a cell does not."""
    try:
        for _ in csv.reader(io.StringIO(record, newline=""), delimiter=delimiter, strict=True):
            pass
    except csv.Error as error:
        return "unexpected end of data" in str(error)
    return False


def _records(
    lines: Iterator[tuple[int, str]], delimiter: str, rejects: list[Reject]
) -> Iterator[tuple[int, str]]:
    """Lines joined where a quoted cell runs on; (first line, text)."""
    ahead: list[tuple[int, str]] = []
    while True:
        held = ahead or [one for one in [next(lines, None)] if one is not None]
        ahead = []
        if not held:
            return
        number = 1
        while '"' in held[0][1] and _is_open(_joined(held[:number]), delimiter):
            if number == len(held):
                following = next(lines, None) if number < LONGEST_RECORD else None
                if following is None:
                    break
                held.append(following)
            number += 1
        else:
            ahead = held[number:]
            if any(text.strip() for _, text in held[:number]):
                yield held[0][0], _joined(held[:number])
            continue
        rejects.append(Reject(held[0][0], "a quote is opened and not closed", held[0][1]))
        ahead = held[1:]


def _joined(held: Sequence[tuple[int, str]]) -> str:
    return "\n".join(text for _, text in held)


def _row(
    line: int, record: str, delimiter: str, columns: Mapping[str, int], width: int
) -> StackRow | Reject:
    try:
        cells = _cells(record, delimiter)
    except csv.Error as error:
        return Reject(line, f"not a line of a table: {error}", record)
    if not any(cell.strip() for cell in cells):
        return Reject(line, "no cell holds anything", record)
    if len(cells) > width and any(cell.strip() for cell in cells[width:]):
        return Reject(line, f"{len(cells)} cells under {width} headings", record)
    values = {field: cells[at].strip() if at < len(cells) else "" for field, at in columns.items()}
    return checked(row_of(line, values), record)


def row_of(line: int, values: Mapping[str, str]) -> StackRow:
    """A row from its fields; those that were not given are empty."""
    rest: dict[str, Any] = {field: said for field, said in values.items() if field != "text"}
    return StackRow(line, values.get("text", ""), **rest)


def checked(row: StackRow, raw: str) -> StackRow | Reject:
    """The row, or why it cannot be read."""
    if not row.text and not row.item:
        return Reject(row.line, "there is no write-up in it", raw)
    if len(row.text) > LONGEST_TEXT:
        return Reject(row.line, f"the write-up is longer than {LONGEST_TEXT} characters", raw)
    if "\x00" in row.text:
        return Reject(row.line, "the write-up holds zero bytes", raw)
    return row
