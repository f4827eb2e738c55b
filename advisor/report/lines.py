"""Plain-text layout: wrapped lines with hanging indents, never wider than asked."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable

from advisor.report.clean import one_line

NARROWEST = 40


def wrap(text: str, width: int, first: str = "", rest: str | None = None) -> list[str]:
    """The text, cleaned, on lines of at most `width` columns.

    first, rest: what the first and the later lines start with (rest: blanks as wide as first).
    """
    return textwrap.wrap(
        one_line(text),
        width=max(width, NARROWEST),
        initial_indent=first,
        subsequent_indent=" " * len(first) if rest is None else rest,
        break_on_hyphens=False,
    )


def labeled(label: str, text: str, width: int, indent: str = "") -> list[str]:
    """'label  text' with the text hanging under itself; nothing when there is no text."""
    return wrap(text, width, f"{indent}{label} ") if text else []


def heading(text: str, width: int) -> list[str]:
    """A section heading after an empty line."""
    return ["", *wrap(text, width)]


def columns(rows: Iterable[tuple[str, ...]], gap: str = "  ", indent: str = " ") -> list[str]:
    """Rows of short texts in aligned columns; the last column is left ragged."""
    table = [tuple(map(one_line, row)) for row in rows]
    if not table:
        return []
    widths = [max(map(len, column)) for column in zip(*table, strict=True)]
    return [
        (indent + gap.join(c.ljust(w) for c, w in zip(row, widths, strict=True))).rstrip()
        for row in table
    ]
