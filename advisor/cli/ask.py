"""Answers from a person at a terminal, or from a file with one answer a line."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

from advisor.errors import AdvisorError
from advisor.report.clean import clean
from advisor.yaml_marks import decode


class Answers:
    """Where answers come from. scripted: from a file; then each is shown as if it were typed."""

    def __init__(self, file: Path | None):
        self.scripted = file is not None
        self.where = ""
        self._lines = _from_file(file) if file is not None else None

    def next(self, prompt: str = "> ") -> str | None:
        """The next answer, or None when there is no more (end of file, terminal closed)."""
        if self._lines is not None:
            self.where, line = next(self._lines, ("", None))
            if line is not None:
                sys.stdout.write(clean(f"{prompt}{line}\n"))
            return line
        sys.stdout.write(clean(prompt))
        sys.stdout.flush()
        line = sys.stdin.readline() if sys.stdin is not None else ""
        if not line:
            sys.stdout.write("\n")
            return None
        return line.strip()

    def refuse(self, error: AdvisorError) -> None:
        """Say why an answer was not taken; a scripted one ends the run."""
        if self.scripted:
            raise AdvisorError(f"{self.where}: {error}") from error
        sys.stdout.write(clean(f"{error}\n"))


def _from_file(file: Path) -> Iterator[tuple[str, str | None]]:
    """Lines with their place; empty lines and those that begin with # are left out."""
    try:
        text = decode(file.read_bytes(), str(file))
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise AdvisorError(f"{file}: cannot read it: {reason}") from None
    rows = enumerate(text.splitlines(), 1)
    kept = [(f"{file}:{n}", line.strip()) for n, line in rows]
    return iter([(at, line) for at, line in kept if line and not line.startswith("#")])
