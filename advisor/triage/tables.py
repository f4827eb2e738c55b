"""The day's list for other systems: CSV and JSON; and the file of what was set aside."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterable, Iterator
from typing import Any

from advisor.model.pack import Pack
from advisor.model.stack import Reject
from advisor.report.clean import clean
from advisor.triage import say
from advisor.triage.board import Board, Line
from advisor.triage.glance import Quick
from advisor.triage.rows import RowRead

SCHEMA = 1
# A spreadsheet runs what begins like this (OWASP Application Security Verification Standard 5.0,
# requirement 1.2.10; the wide forms, line ends, | and % are common practice, no source).
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n", "|", "%", "＝", "＋", "－", "＠")
HEADINGS = (
    "order", "kind", "unit", "line", "date", "level", "verdict", "cause", "cause_name",
    "probability", "second_cause", "second_probability", "third_cause", "third_probability",
    "place", "question", "safety_checks", "inspection", "inspection_place", "access",
    "minutes", "equipment", "confidence", "per_minute_low_usd", "per_minute_usd",
    "per_minute_high_usd", "waiting_low_usd", "waiting_usd", "waiting_high_usd",
    "looking_usd", "complaints", "again", "write_up",
)  # fmt: skip


def safe(cell: Any) -> Any:
    """A cell that no spreadsheet takes for a formula and no terminal for a command; numbers pass as
    they are."""
    if not isinstance(cell, str):
        return cell
    bare = cell.lstrip(" \u00a0\ufeff")
    return f"'{clean(cell)}" if bare.startswith(FORMULA_STARTS) else clean(cell)


def _csv(rows: Iterable[Iterable[Any]]) -> str:
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerows([safe(cell) for cell in row] for row in rows)
    return out.getvalue()


def board_csv(board: Board, pack: Pack) -> str:
    """One line a unit in order, then the rows that are no vibration complaint."""
    return _csv([HEADINGS, *_lines(board, pack)])


def _lines(board: Board, pack: Pack) -> Iterator[list[Any]]:
    for order, line in enumerate(board.lines, 1):
        yield _line(order, line, pack)
    for row in board.apart:
        made: dict[str, Any] = dict.fromkeys(HEADINGS, "")
        made |= {
            "kind": "not a vibration complaint",
            "unit": row.unit,
            "line": row.line,
            "date": row.date,
            "level": row.level,
            "verdict": row.act,
            "write_up": row.text,
        }
        yield list(made.values())


def _line(order: int, line: Line, pack: Pack) -> list[Any]:
    look, latest = line.glance, line.unit.latest
    causes = [*look.quick.causes, *[("", "")] * 3]
    name = pack.causes[causes[0][0]].name if causes[0][0] else ""
    return [
        order, "vibration", line.unit.name, latest.line, latest.date, line.level,
        say.verdict(line, pack), causes[0][0], name, causes[0][1], *causes[1], *causes[2],
        look.quick.place, say.question(line, pack), " ".join(look.checks), look.inspection,
        look.inspection_place, look.access, look.minutes, say.equipment(line, pack),
        look.quick.confidence, *look.per_minute, *look.waiting, look.looking[1],
        len(line.unit.rows), say.repeats(line, pack), latest.text,
    ]  # fmt: skip


def rejects_csv(rejects: Iterable[Reject]) -> str:
    """What could not be read: file where there are several, line, reason, and the line as it was
    (guarded)."""
    rows = ((r.file, r.line, r.reason, r.raw) for r in rejects)
    return _csv([("file", "line", "reason", "raw"), *rows])


def board_json(board: Board, pack: Pack) -> str:
    """The whole board. `rows` holds what each row says by itself, whatever else is in the stack."""
    data = {
        "schema": SCHEMA,
        "pack": {"version": pack.info.version, "sha256": pack.sha256, "overlay": pack.overlay},
        "source": {"name": board.name, "read_as": list(board.read_as)},
        "counts": {
            "rows": board.rows,
            "vibration": board.complaints,
            "not_vibration": len(board.apart),
            "rejects": len(board.rejects),
            "units": len(board.lines),
        },
        "units": [_unit(n, line, pack) for n, line in enumerate(board.lines, 1)],
        "rows": sorted(_rows(board), key=lambda row: (row["file"], row["line"])),
        "not_vibration": [_apart(row) for row in board.apart],
        "patterns": [_pattern(p) for p in board.patterns],
        "rejects": [vars(reject) for reject in board.rejects],
    }
    return json.dumps(data, indent=1, ensure_ascii=True) + "\n"


def _pattern(found: Any) -> dict[str, Any]:
    return {
        "kind": found.kind,
        "what": found.what,
        "count": found.count,
        "out_of": found.out_of,
        "expected": round(found.expected, 6),
        "because": found.because,
        "chance": float(f"{found.chance:.4g}"),
        "test": found.test,
        "compared": found.compared,
        "units": list(found.units),
    }


def _three(values: tuple[float, float, float]) -> dict[str, float]:
    return dict(zip(("low", "typical", "high"), values, strict=True))


def _unit(order: int, line: Line, pack: Pack) -> dict[str, Any]:
    look, unit = line.glance, line.unit
    return {
        "order": order,
        "unit": unit.name,
        "lines": [row.line for row in unit.complaints],
        "files": [row.file for row in unit.complaints],
        "date": unit.latest.date,
        "driver": unit.latest.driver,
        "level": line.level,
        "verdict": say.verdict(line, pack),
        "safety": list(look.quick.safety),
        "causes": [{"id": c, "probability": p} for c, p in look.quick.causes],
        "place": look.quick.place,
        "confidence": look.quick.confidence,
        "question": {"symptom": look.question, "ask": say.question(line, pack)},
        "safety_checks": list(look.checks),
        "inspection": {
            "id": look.inspection,
            "place": look.inspection_place,
            "access": look.access,
        },
        "minutes": look.minutes,
        "equipment": say.equipment(line, pack),
        "usd": {
            "waiting": _three(look.waiting),
            "avoided": _three(look.avoided),
            "looking": _three(look.looking),
            "avoided_per_minute": _three(look.per_minute),
        },
        "symptoms": [list(said) for said in unit.told.answers],
        "work": [{"what": w, "result": r} for w, r in unit.told.work],
        "again": say.repeats(line, pack),
        "write_up": unit.latest.text,
        "notes": list(unit.latest.notes),
    }


def _rows(board: Board) -> Iterator[dict[str, Any]]:
    for line in board.lines:
        for row, quick in zip(line.unit.complaints, line.alone, strict=True):
            yield _row(row, quick)


def _row(row: RowRead, quick: Quick) -> dict[str, Any]:
    return {
        "file": row.file,
        "line": row.line,
        "unit": row.unit,
        "date": row.date,
        "symptoms": [list(said) for said in row.told.answers],
        "speed_mph": list(row.told.speed) if row.told.speed else None,
        "work": [{"what": w, "result": r} for w, r in row.told.work],
        "safety": list(row.safety),
        "notes": list(row.notes),
        "level": quick.level,
        "causes": [{"id": c, "probability": p} for c, p in quick.causes],
        "place": quick.place,
        "confidence": quick.confidence,
    }


def _apart(row: RowRead) -> dict[str, Any]:
    return {
        "file": row.file,
        "line": row.line,
        "unit": row.unit,
        "date": row.date,
        "level": row.level,
        "verdict": row.act,
        "safety": list(row.safety),
        "item": row.item,
        "write_up": row.text,
        "notes": list(row.notes),
    }
