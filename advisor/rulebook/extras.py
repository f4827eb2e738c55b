"""The files of a rule pack that are no tables of evidence: wording, worth, report items."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from advisor.errors import InputProblems, Problem, did_you_mean
from advisor.model.report_item import ReportItem
from advisor.model.stack import FIELDS, StackColumn
from advisor.model.wording import Wording
from advisor.model.worth import Worth
from advisor.rulebook.load import shown_path
from advisor.rulebook.wording import load_wording
from advisor.yaml_marks import read_document, validate


def extras_of(root: Path, tables: dict[str, list[Any]], problems: list[Problem]) -> dict[str, Any]:
    """Fields of the Pack by name; a pack may leave any of these files out."""
    made: dict[str, Any] = {}
    readers = {
        "wording": _wording,
        "worth": _worth,
        "report_items": _items,
        "columns": _columns,
    }
    for name, read in readers.items():
        try:
            made[name] = read(root, tables)
        except InputProblems as error:
            problems.extend(error.problems)
    return made


def _wording(root: Path, tables: dict[str, list[Any]]) -> Wording:
    folder = root / "wording"
    return load_wording(folder) if folder.is_dir() else Wording(())


def _worth(root: Path, tables: dict[str, list[Any]]) -> Worth | None:
    file = root / "worth.yaml"
    if not file.is_file():
        return None
    document = read_document(shown_path(file))
    worth = validate(document, document.data, Worth)
    causes = {c.id for c in tables["causes"]} | {f.id for f in tables["families"]}
    sources = {s.id for s in tables["sources"]}
    problems = []
    for n, loss in enumerate(worth.losses):
        for k, name in enumerate(loss.causes):
            if name not in causes:
                what = f'"{name}" is neither a cause nor a family'
                at = ("losses", n, "causes", k)
                problems.append(document.problem(at, what, "", did_you_mean(name, causes)))
    for key in ("figures", "losses", "hearsay"):
        for n, entry in enumerate(getattr(worth, key)):
            if entry.source not in sources:
                what = f'"{entry.source}" is not a known source'
                hint = did_you_mean(entry.source, sources)
                problems.append(document.problem((key, n, "source"), what, "", hint))
    if problems:
        raise InputProblems(problems)
    return worth


def _columns(root: Path, tables: dict[str, list[Any]]) -> tuple[StackColumn, ...]:
    file = root / "stack_columns.yaml"
    if not file.is_file():
        return ()
    document = read_document(shown_path(file))
    columns = validate(document, document.data, list[StackColumn])
    for n, column in enumerate(columns):
        if column.field not in FIELDS:
            what = f'"{column.field}" is not a field of a stack'
            problem = document.problem((n, "field"), what, ", ".join(FIELDS))
            raise InputProblems([problem])
    return tuple(columns)


def _items(root: Path, tables: dict[str, list[Any]]) -> dict[str, ReportItem]:
    file = root / "inspection_report_items.yaml"
    if not file.is_file():
        return {}
    document = read_document(shown_path(file))
    return {item.id: item for item in validate(document, document.data, list[ReportItem])}
