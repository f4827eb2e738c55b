"""What lies in the folder of cases, remembered in a small database that may be deleted any time.

The files are the truth: a line of the index counts only while size and time of its file are those
it was made from. A folder that cannot be written to is indexed in memory.
"""

from __future__ import annotations

import os
import sqlite3
import threading
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from advisor.errors import InputProblems
from advisor.yaml_marks import read_document

NAME = ".advisor-index.sqlite"
SCHEMA = 3
COLUMNS = "path, mtime, size, id, title, unit, reported, vehicle, tire, state, words, problem"


@dataclass(frozen=True)
class Entry:
    """One case at a glance. state: open or closed, or broken when the file cannot be read (then
    problem says why); words: what a search looks through."""

    path: Path
    changed: float
    id: str
    title: str
    unit: str
    reported: str
    vehicle: str
    tire: str
    state: str
    words: str
    problem: str


class Index:
    """The cache of one folder; safe for threads and for several processes."""

    def __init__(self, root: Path):
        self.root = root
        self._lock = threading.Lock()
        self._db = self._open()

    def _open(self) -> sqlite3.Connection:
        file = self.root / NAME
        for target in (str(file), str(file), ":memory:"):
            try:
                return self._connect(target)
            except sqlite3.DatabaseError as error:
                if not isinstance(error, sqlite3.OperationalError):
                    file.unlink(missing_ok=True)  # not a database: only a cache, so begin again
        raise AssertionError("a database in memory can always be opened")

    def _connect(self, target: str) -> sqlite3.Connection:
        db = sqlite3.connect(target, timeout=5, check_same_thread=False, isolation_level=None)
        version = db.execute("pragma user_version").fetchone()[0]
        if version != SCHEMA:
            db.execute("drop table if exists cases")
        db.execute("pragma synchronous = off")
        db.execute(f"create table if not exists cases ({COLUMNS}, primary key (path))")
        db.execute(f"pragma user_version = {SCHEMA}")
        return db

    def entries(self) -> list[Entry]:
        """Every case file below the folder, newest change first."""
        with self._lock:
            try:
                rows = self._refreshed()
            except sqlite3.DatabaseError:
                # somebody deleted or broke the file while it was open
                self._db = self._open()
                rows = self._refreshed()
        made = [self._entry(row) for row in rows]
        return sorted(made, key=lambda e: (-e.changed, e.id))

    def id_of(self, path: Path) -> str:
        """The name a file gives its case, or empty."""
        return _facts(path)[0]

    def _refreshed(self) -> list[tuple[Any, ...]]:
        rows = [self._row(path, stat) for path, stat in case_files(self.root)]
        here = {row[0] for row in rows}
        known = [r[0] for r in self._db.execute("select path from cases")]
        gone = [(p,) for p in known if p not in here]
        self._db.executemany("delete from cases where path = ?", gone)
        return [row for row in rows if row[3]]

    def _row(self, path: Path, stat: os.stat_result) -> tuple[Any, ...]:
        key = str(path.relative_to(self.root))
        find = f"select {COLUMNS} from cases where path = ? and mtime = ? and size = ?"
        held = self._db.execute(find, (key, stat.st_mtime_ns, stat.st_size)).fetchone()
        if held is not None:
            return tuple(held)
        row = (key, stat.st_mtime_ns, stat.st_size, *_facts(path))
        marks = ", ".join("?" * len(row))
        self._db.execute(f"insert or replace into cases values ({marks})", row)
        return row

    def _entry(self, row: tuple[Any, ...]) -> Entry:
        return Entry(self.root / row[0], row[1] / 1e9, *row[3:])


def case_files(root: Path) -> Iterator[tuple[Path, os.stat_result]]:
    """Every YAML file below a folder; hidden ones and links that lead out of it are left out."""
    for folder, folders, files in os.walk(root):
        folders[:] = sorted(f for f in folders if not f.startswith("."))
        for name in sorted(files):
            path = Path(folder, name)
            if name.startswith(".") or not name.endswith(".yaml"):
                continue
            if path.is_symlink() and not path.resolve().is_relative_to(root):
                continue
            try:
                yield path, path.stat()
            except OSError:
                continue  # taken away meanwhile


def _facts(path: Path) -> tuple[str, ...]:
    """Id, title, unit, date, vehicle, tire, state, words and problem; an empty id for a file that
    is no case."""
    try:
        data = read_document(path).data
    except InputProblems as error:
        first = error.problems[0]
        return (
            path.stem,
            "",
            "",
            "",
            "",
            "",
            "broken",
            path.stem,
            f"line {first.line}: {first.what}",
        )
    if not isinstance(data, dict) or "case" not in data:
        return ("",) * 9
    held = data.get("vehicle")
    vehicle: dict[str, Any] = held if isinstance(held, dict) else {}
    kind, tire = str(vehicle.get("type", "")), str(vehicle.get("tire", ""))
    told = [str(data.get(k, "")) for k in ("case", "title", "unit", "reported")]
    state = "closed" if data.get("confirmed") else "open"
    more = [kind, tire, str(data.get("write_up", "")), str(data.get("confirmed", ""))]
    words = " ".join([*told, *more]).replace("_", " ").casefold()
    return (*told, kind, tire, state, words, "")
