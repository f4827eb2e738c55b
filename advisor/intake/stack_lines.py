"""JSON rows or a folder of case files -> rows of a stack."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from advisor.errors import AdvisorError, InputProblems
from advisor.intake.case_file import read_case
from advisor.intake.stack_array import Item, checked_object, elements, why_not
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
    """One JSON object a line."""
    encoding = encoding or encoding_of(raw)

    def items() -> Iterator[Item]:
        for line, text in enumerate(lines_of(raw, encoding), start=1):
            if text.strip():
                yield line, _object(text), text

    return _stack_of(items, name, known, asked, f"{encoding}, one JSON object a line")


def read_array(
    raw: bytes,
    name: str,
    known: Sequence[StackColumn],
    asked: Mapping[str, str],
    encoding: str | None = None,
) -> Stack:
    """One JSON array of objects; it is held whole while it is read."""
    encoding = encoding or encoding_of(raw)
    text = "\n".join(lines_of(raw, encoding))
    return _stack_of(lambda: elements(text), name, known, asked, f"{encoding}, one JSON array")


def _stack_of(
    items: Callable[[], Iterable[Item]],
    name: str,
    known: Sequence[StackColumn],
    asked: Mapping[str, str],
    read_as: str,
) -> Stack:
    """Rows of JSON objects. items: called twice, as any object may bring a key of its own."""
    keys: dict[str, int] = {}
    for line, item, _ in items():
        if not isinstance(item, str):
            keys |= {key: line for key in item if key not in keys}
    named = list(keys)
    columns = match_columns(named, asked, known, name, min(keys.values())) if keys else {}
    rows: list[StackRow] = []
    rejects: list[Reject] = []
    for line, item, text in items():
        if isinstance(item, str):
            rejects.append(Reject(line, item, text))
            continue
        values = {field: _plain(item.get(named[at])) for field, at in columns.items()}
        row = checked(row_of(line, values), text)
        rejects.append(row) if isinstance(row, Reject) else rows.append(row)
    if not rows and not rejects:
        raise AdvisorError(f"{name}: the file is empty")
    told = (read_as, *(f'{f} from "{named[at]}"' for f, at in columns.items()))
    headings = {field: named[at] for field, at in columns.items()}
    return Stack(name, tuple(rows), tuple(rejects), told, headings)


def _object(text: str) -> dict[str, object] | str:
    try:
        return checked_object(json.loads(text))
    except (ValueError, RecursionError) as error:
        return why_not(error)


def _plain(value: object) -> str:
    return "" if value is None else str(value).strip()


def hidden(path: Path, folder: Path) -> bool:
    """Whether a name on the way from the folder to a file begins with a dot."""
    return any(part.startswith(".") for part in path.relative_to(folder).parts)


def read_folder(folder: Path, pack: Pack) -> Stack:
    """Every case file below a folder, one row each; hidden ones are left out."""
    files = sorted(p for p in folder.rglob("*.yaml") if not hidden(p, folder))
    if not files:
        raise AdvisorError(f"{folder}: there is no case file (*.yaml) in this folder")
    rows: list[StackRow] = []
    rejects: list[Reject] = []
    for number, file in enumerate(files, start=1):
        try:
            case = read_case(file, pack)
        except InputProblems as error:
            first = error.problems[0]
            what = str(replace(first, path="", line=0)).removeprefix(": ")
            rejects.append(Reject(first.line, what, str(file), str(file)))
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
