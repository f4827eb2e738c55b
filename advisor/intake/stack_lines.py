"""JSON Lines or a folder of case files -> rows of a stack."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from pathlib import Path

from advisor.errors import AdvisorError, InputProblems
from advisor.intake.case_file import read_case
from advisor.intake.stack_columns import match_columns
from advisor.intake.stack_table import checked, row_of
from advisor.intake.stack_text import encoding_of, lines_of
from advisor.model.pack import Pack
from advisor.model.stack import Reject, Stack, StackColumn, StackRow


def read_lines(
    raw: bytes,
    name: str,
    known: Sequence[StackColumn],
    asked: Mapping[str, str],
    encoding: str | None = None,
) -> Stack:
    """One JSON object a line; columns are taken from the keys of the first one."""
    encoding = encoding or encoding_of(raw)
    rows: list[StackRow] = []
    rejects: list[Reject] = []
    keys: list[str] = []
    columns: dict[str, int] = {}
    for line, text in enumerate(lines_of(raw, encoding), start=1):
        if not text.strip():
            continue
        item = _object(text)
        if isinstance(item, str):
            rejects.append(Reject(line, item, text))
            continue
        if not keys:
            keys = list(item)
            columns = match_columns(keys, asked, known, name, line)
        values = {field: _plain(item.get(keys[at])) for field, at in columns.items()}
        row = checked(row_of(line, values), text)
        rejects.append(row) if isinstance(row, Reject) else rows.append(row)
    if not rows and not rejects:
        raise AdvisorError(f"{name}: the file is empty")
    read_as = (
        f"{encoding}, one JSON object a line",
        *(f'{f} from "{keys[at]}"' for f, at in columns.items()),
    )
    named = {field: keys[at] for field, at in columns.items()}
    return Stack(name, tuple(rows), tuple(rejects), read_as, named)


def _object(text: str) -> dict[str, object] | str:
    try:
        item = json.loads(text)
    except (json.JSONDecodeError, RecursionError) as error:
        return f"not JSON: {getattr(error, 'msg', 'nested too deep')}"
    return item if isinstance(item, dict) else "not a JSON object"


def _plain(value: object) -> str:
    return "" if value is None else str(value).strip()


def read_folder(folder: Path, pack: Pack) -> Stack:
    """Every case file below a folder, one row each."""
    files = sorted(folder.rglob("*.yaml"))
    if not files:
        raise AdvisorError(f"{folder}: there is no case file (*.yaml) in this folder")
    rows: list[StackRow] = []
    rejects: list[Reject] = []
    for number, file in enumerate(files, start=1):
        try:
            case = read_case(file, pack)
        except InputProblems as error:
            rejects.append(Reject(number, str(error.problems[0]), str(file)))
            continue
        rows.append(
            StackRow(
                number,
                case.write_up,
                unit=case.unit,
                date=case.reported or "",
                vehicle=case.vehicle.type,
                tire=case.vehicle.tire or "",
                path=str(file),
                case=case,
            )
        )
    return Stack(str(folder), tuple(rows), tuple(rejects), (f"{len(files)} case files",), {})
