"""A flaw of a recording that leaves something to be said."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Finding:
    """what is wrong with the numbers; still: what can be said all the same; again: what to
    re-measure; line, column: from 1, 0 where unknown.
    """

    what: str
    still: str
    again: str
    line: int = 0
    column: int = 0

    def __str__(self) -> str:
        where = f"line {self.line}: " if self.line else ""
        return f"{where}{self.what}; {self.still}; {self.again}"
