"""Text -> words, numbers and marks, each knowing where it stands in the original."""

from __future__ import annotations

import re

# One for one, so that positions stay those of the original.
ALIKE = str.maketrans("‘’‛´`“”„–—−\u00a0\u2009\u202f", "'''''\"\"\"---   ")
# A hyphen inside a word parts it; a blank line is a mark of its own.
TOKEN = re.compile(
    r"[a-z]+(?:'[a-z]+)*|[0-9]+(?:[.,][0-9]+)*|\n[ \t\r]*\n|(?!(?<=[a-z])-[a-z])[^\sa-z0-9]"
)


def plain(text: str) -> str:
    """Small letters and plain quotes, as long as the original."""
    low = text.lower()
    if len(low) != len(text):  # a few letters grow when made small
        low = "".join(c.lower() if len(c.lower()) == 1 else c for c in text)
    return low if low.isascii() else low.translate(ALIKE)


def tokens_of(text: str) -> tuple[list[str], list[tuple[int, int]]]:
    """Words (without apostrophes), numbers and marks, with where each starts and ends."""
    low = plain(text)
    spans = [match.span() for match in TOKEN.finditer(low)]
    words = [low[start:end] for start, end in spans]
    if "\n" in low:
        words = ["\n" if w[0] == "\n" else w for w in words]
    if "'" in low:
        words = [w.replace("'", "") if len(w) > 1 else w for w in words]
    return words, spans


def words_of(text: str) -> list[str]:
    """The words alone."""
    return tokens_of(text)[0]
