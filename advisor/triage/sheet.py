"""The bench sheet of one unit of a stack: its joined complaints through the whole pipeline."""

from __future__ import annotations

import re

from advisor.errors import AdvisorError, did_you_mean, one_of
from advisor.intake.merge_write_up import reader_of
from advisor.model.diagnosis import Diagnosis
from advisor.model.pack import Pack
from advisor.pipeline import rank
from advisor.triage.board import Board, Line


def line_of(board: Board, unit: str) -> Line:
    """The line of a unit, by its name; raises AdvisorError."""

    def bare(name: str) -> str:
        return re.sub(r"\s+", "", name).casefold()

    for line in board.lines:
        if bare(line.unit.name) == bare(unit):
            return line
    names = [line.unit.name for line in board.lines]
    near = did_you_mean(unit, names)
    raise AdvisorError(
        f'--sheet "{unit}": no unit of that name has a vibration complaint; found: '
        f"{one_of(names) or 'none'}{'; ' if near else ''}{near}"
    )


def unit_sheet(line: Line, pack: Pack) -> Diagnosis:
    """The document of a unit: ranked on all that was joined, the newest write-up marked."""
    unit, latest = line.unit, line.unit.latest
    case = unit.told.as_case()
    if unit.told.case is None:
        read = reader_of(pack).read(latest.text)
        case = case.with_changes(
            id=file_name(unit.name),
            title=f"From {len(unit.rows)} write-ups" if len(unit.rows) > 1 else "From a write-up",
            unit=unit.name,
            reported=latest.date or None,
            write_up=latest.text,
            marks=read.marks,
            read_notes=read.notes,
        )
    return rank(case, pack)


def file_name(unit: str) -> str:
    """A unit's name as part of a file name."""
    return re.sub(r"[^A-Za-z0-9._-]+", "-", unit).strip("-.") or "unit"
