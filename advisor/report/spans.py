"""The write-up cut into pieces, so that what was understood can be marked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from string import ascii_lowercase

from advisor.model.diagnosis import Marked
from advisor.report import words


@dataclass(frozen=True)
class Piece:
    """A stretch of the write-up as written. marked: some span covers it; ends: the letters of the
    spans that end here."""

    text: str
    marked: bool
    ends: tuple[str, ...]


def letter(n: int) -> str:
    """0 is 'a', 25 'z', 26 'aa': letters, so that nobody takes them for source numbers."""
    text = ""
    n += 1
    while n:
        n, rest = divmod(n - 1, 26)
        text = ascii_lowercase[rest] + text
    return text


def usable(text: str, spans: Sequence[Marked]) -> list[Marked]:
    """The spans that lie within the text, by where they start; others are left out."""
    inside = [s for s in spans if 0 <= s.start < s.end <= len(text)]
    return sorted(inside, key=lambda s: (s.start, s.end, s.symptom))


def pieces(text: str, spans: Sequence[Marked]) -> list[Piece]:
    """The text in order, cut wherever a span starts or ends; joined, the pieces are the text.

    Spans may overlap: a piece is marked when any covers it.
    """
    good = usable(text, spans)
    cuts = sorted({0, len(text)} | {s.start for s in good} | {s.end for s in good})
    found = []
    for start, end in pairwise(cuts):
        covered = any(s.start <= start and end <= s.end for s in good)
        ends = tuple(letter(n) for n, s in enumerate(good) if s.end == end)
        found.append(Piece(text[start:end], covered, ends))
    return found


def legend(text: str, spans: Sequence[Marked]) -> list[tuple[str, str]]:
    """(letter, what it was understood as) of every usable span."""
    return [(letter(n), understood(s)) for n, s in enumerate(usable(text, spans))]


def understood(mark: Marked) -> str:
    """What one span was understood as, in words."""
    meaning = words.plain(mark.symptom)
    if mark.value in ("", "yes", "true", "True"):
        return meaning
    return f"{meaning}: {words.plain(mark.value)}"
