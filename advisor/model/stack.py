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
    number of the file); case: set when the row is a whole case file."""

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


@dataclass(frozen=True)
class Reject:
    """A row that could not be read: where it stands, why, and as it was."""

    line: int
    reason: str
    raw: str


@dataclass(frozen=True)
class Stack:
    """All rows of one input. read_as: how it was understood, for the reader to check
    (encoding, delimiter, which column is taken for what)."""

    name: str
    rows: tuple[StackRow, ...]
    rejects: tuple[Reject, ...]
    read_as: tuple[str, ...]
    columns: Mapping[str, str]
