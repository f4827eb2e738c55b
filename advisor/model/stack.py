"""A stack of write-ups: its rows as they come in, and what was set aside."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from advisor.model.base import Record
from advisor.model.case import Case

FIELDS = (
    "text", "unit", "date", "vehicle", "tire", "batch", "shop", "axle_ratio", "item", "driver",
)  # fmt: skip


class StackColumn(Record):
    """How exports name one column of a stack."""

    field: str
    names: list[str]


@dataclass(frozen=True)
class StackRow:
    """One write-up as it stands in the stack. line: counted from 1 in its file (for a folder: the
    number of the file); file: which of several exports it is from, else empty; case: set when the
    row is a whole case file."""

    line: int
    text: str
    unit: str = ""
    date: str = ""
    vehicle: str = ""
    tire: str = ""
    batch: str = ""
    shop: str = ""
    axle_ratio: str = ""
    item: str = ""
    driver: str = ""
    path: str = ""
    case: Case | None = None
    file: str = ""


@dataclass(frozen=True)
class Reject:
    """A row that could not be read: where it stands, why, and as it was. file: a case file, or
    which of several exports, else empty."""

    line: int
    reason: str
    raw: str
    file: str = ""


def where(line: int, file: str = "") -> str:
    """The place of a row in words: 'line 3', or 'may.csv line 3' among several files; line 0 is a
    whole file."""
    return f"{file} line {line}".lstrip() if line or not file else file


@dataclass(frozen=True)
class Stack:
    """All rows of one input. read_as: how it was understood, for the reader to check
    (encoding, delimiter, which column is taken for what)."""

    name: str
    rows: tuple[StackRow, ...]
    rejects: tuple[Reject, ...]
    read_as: tuple[str, ...]
    columns: Mapping[str, str]
