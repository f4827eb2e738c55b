"""Files from a browser, laid out in a folder made for them: a name never leads out of it."""

from __future__ import annotations

import re
from collections.abc import Iterable
from pathlib import Path

LONGEST_PART, DEEPEST = 120, 8


def lay_out(files: Iterable[tuple[str, bytes]], home: Path) -> None:
    """Write each file below home under the name it came with, made harmless; two of one name are
    both kept."""
    for named, content in files:
        path = home / harmless(named)
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
        except OSError:  # a file has the name of this folder
            path = home / path.name
        _write_new(path, content)


def harmless(named: str) -> str:
    """A relative name without anything that climbs, leads elsewhere or cannot be shown."""
    parts = []
    for part in re.split(r"[/\\]+", named):
        shown = "".join(c if c.isprintable() and c != ":" else "_" for c in part).strip()
        if shown.strip("."):
            stem, dot, ending = shown.rpartition(".")
            room = LONGEST_PART - len(ending)
            parts.append(f"{stem[:room]}{dot}{ending}" if room > 0 else shown[:LONGEST_PART])
    return "/".join(parts[-DEEPEST:]) or "file"


def _write_new(path: Path, content: bytes) -> None:
    number, free = 1, path
    while free.exists():
        number += 1
        free = path.with_name(f"{path.stem} ({number}){path.suffix}")
    free.write_bytes(content)
