"""A CSV of one reading -> the same mapping a YAML file holds, each value with its line.

The header row names the fields as in YAML. What holds for the whole reading (kind, of, unit, ...)
stands in every row or in the first only; the rest is one row per position or weight.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from typing import Any

from advisor.errors import InputProblems, Problem, did_you_mean, one_of
from advisor.intake import balance_reading, runout_reading
from advisor.yaml_marks import Document, Key

RUNOUT_ROW = ("set_up", *runout_reading.TURNS, "position", "reading")
BALANCE_ROW = sorted({name for names in balance_reading.ROWS.values() for name in names})
COLUMNS = sorted({*runout_reading.KEYS, *balance_reading.KEYS, *RUNOUT_ROW, *BALANCE_ROW}
                 - {"set_ups", "positions", "readings", "reachable"})  # fmt: skip


def looks_like_csv(text: str, name: str) -> bool:
    """By the ending of the name, else by a first line of several known columns."""
    if name.lower().endswith((".csv", ".tsv")):
        return True
    if name.lower().endswith((".yaml", ".yml")):
        return False
    first = next((line for line in text.splitlines() if _is_data(line)), "")
    return first.count(_separator(first)) >= 1 and ":" not in first


def _separator(header: str) -> str:
    return max(",;\t", key=header.count)


class _Table:
    """The cells of a CSV with their places."""

    def __init__(self, text: str, name: str):
        self.name = name
        self.lines = text.splitlines()
        self.problems: list[Problem] = []
        number, header = next(
            ((n, line) for n, line in enumerate(self.lines) if _is_data(line)), (0, "")
        )
        if not header:
            raise InputProblems([Problem(name, 0, 0, "", "the file is empty")])
        self.separator = _separator(header)
        self.header = [cell.lower().replace(" ", "_") for cell in self.cells(header)]
        self.rows = [
            (n + 1, self.cells(line))
            for n, line in enumerate(self.lines[number + 1 :], number + 1)
            if _is_data(line)
        ]
        self._check(number + 1)

    def cells(self, line: str) -> list[str]:
        """One line cut into trimmed cells."""
        try:
            found = next(csv.reader(io.StringIO(line), delimiter=self.separator))
        except csv.Error as error:
            number = self.lines.index(line) + 1
            what = f"this line is not CSV: {error}"
            raise InputProblems([Problem(self.name, number, 1, "", what)]) from None
        return [cell.strip() for cell in found]

    def _check(self, header_line: int) -> None:
        seen: set[str] = set()
        for index, name in enumerate(self.header):
            if name not in COLUMNS:
                hint = did_you_mean(name, COLUMNS)
                self.add(header_line, index, f'unknown column "{name}"', one_of(COLUMNS, 60), hint)
            elif name in seen:
                self.add(header_line, index, f'the column "{name}" is given twice')
            seen.add(name)
        for line, cells in self.rows:
            if len(cells) > len(self.header):
                what = f"{len(cells)} cells under {len(self.header)} columns"
                hint = "use a decimal point" if self.separator == "," else ""
                self.add(line, len(self.header), what, "one cell for each column", hint)
        if not self.rows:
            self.add(header_line, 0, "there is no row below the header")
        if not seen & {"reading", "amount", "weight"}:
            what = "no column holds the numbers"
            self.add(header_line, 0, what, "reading (runout), amount or weight (balance)")

    def add(self, line: int, column: int, what: str, allowed: str = "", hint: str = "") -> None:
        """A problem at a cell."""
        field = self.header[column] if column < len(self.header) else ""
        self.problems.append(
            Problem(self.name, line, self.column_of(line, column), field, what, allowed, hint)
        )

    def column_of(self, line: int, column: int) -> int:
        """Character column of a cell, from 1; good where no cell before it is quoted."""
        parts = self.lines[line - 1].split(self.separator)
        return sum(len(part) + 1 for part in parts[:column]) + 1

    def constants(self, names: Sequence[str], skip: Sequence[str]) -> dict[str, tuple[str, int]]:
        """Columns that hold for the whole reading: name -> (value, line)."""
        found: dict[str, tuple[str, int]] = {}
        for index, name in enumerate(self.header):
            if name not in names or name in skip:
                continue
            for line, cells in self.rows:
                value = cells[index] if index < len(cells) else ""
                if not value:
                    continue
                if name in found and found[name][0] != value:
                    what = f'"{value}" here and "{found[name][0]}" on line {found[name][1]}'
                    hint = "one reading holds one; give each its own file"
                    self.add(line, index, what, "the same in every row, or blank", hint)
                found.setdefault(name, (value, line))
        return found


def _is_data(line: str) -> bool:
    return bool(line.strip(" \t,;")) and not line.lstrip().startswith("#")


def csv_document(text: str, name: str) -> Document:
    """Parsed CSV; raises InputProblems for unknown columns and values that should agree."""
    table = _Table(text, name)
    kind = table.constants(["kind"], ()).get("kind", ("", 0))[0]
    is_balance = kind == "balance" or (not kind and "amount" in table.header)
    row_keys = BALANCE_ROW if is_balance else RUNOUT_ROW
    keys = balance_reading.KEYS if is_balance else runout_reading.KEYS
    constants = table.constants(keys, row_keys)
    if table.problems:
        raise InputProblems(table.problems)
    data: dict[str, Any] = {}
    marks: dict[Key, tuple[int, int]] = {(): (1, 1)}
    for key, (value, line) in constants.items():
        data[key] = value
        marks[(key,)] = (line, table.column_of(line, table.header.index(key)))
    _put_rows(table, row_keys, is_balance, data, marks)
    return Document(name, data, marks)


def _put_rows(
    table: _Table,
    row_keys: Sequence[str],
    is_balance: bool,
    data: dict[str, Any],
    marks: dict[Key, tuple[int, int]],
) -> None:
    set_ups: dict[str, dict[str, Any]] = {}
    for line, cells in table.rows:
        row = {
            name: (cells[i], (line, table.column_of(line, i)))
            for i, name in enumerate(table.header)
            if name in row_keys and i < len(cells)
        }
        if is_balance:
            at: Key = ("readings", len(data.setdefault("readings", [])))
            marks[at] = (line, 1)
            data["readings"].append({name: said for name, (said, _) in row.items() if said})
            marks.update({(*at, name): where for name, (_, where) in row.items()})
        else:
            _put_position(table, line, row, set_ups, marks)
    if not is_balance:
        data["set_ups"] = list(set_ups.values())
        if "positions" in data:
            data.pop("positions")


def _put_position(
    table: _Table,
    line: int,
    row: dict[str, tuple[str, tuple[int, int]]],
    set_ups: dict[str, dict[str, Any]],
    marks: dict[Key, tuple[int, int]],
) -> None:
    name = row.get("set_up", ("", (0, 0)))[0]
    if not name and set_ups:
        name = next(reversed(set_ups))
    new = name not in set_ups
    one = set_ups.setdefault(name, {"readings": []})
    at: Key = ("set_ups", list(set_ups).index(name))
    if new:
        marks[at] = (line, 1)
    for turn in runout_reading.TURNS:
        said, where = row.get(turn, ("", (0, 0)))
        if said and one.get(turn, said) != said:
            what = f'"{said}" here and "{one[turn]}" above in the same set-up'
            table.problems.append(Problem(table.name, *where, turn, what, "one turn in a set-up"))
        elif said:
            one[turn] = said
            marks.setdefault((*at, turn), where)
    count = len(one["readings"])
    for column, key in (("position", "positions"), ("reading", "readings")):
        if column in row:
            one.setdefault(key, []).append(row[column][0])
            marks[(*at, key, count)] = row[column][1]
    if table.problems:
        raise InputProblems(table.problems)
