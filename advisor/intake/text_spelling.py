"""Misspelled, stretched and run-together words -> words of the vocabulary, or left alone."""

from __future__ import annotations

import re
from collections.abc import Iterable

from rapidfuzz import process
from rapidfuzz.distance import OSA

SHORTEST = 5  # letters; shorter words have too many neighbors
TWO_SLIPS_FROM = 9
LONGEST = 30
MOST_REMEMBERED = 200_000
RUN = re.compile(r"([a-z])\1{2,}")
DIGIT = re.compile(r"[0-9]")


class Spelling(dict[str, str]):
    """word -> word of the vocabulary, the word itself when none is meant, or several words parted
    by a space. Remembers what it has seen; never guesses at a word that is a word of its own.

    helped: the words a misspelling may stand for; look_alikes: words near them that are left alone.
    """

    def __init__(
        self, vocabulary: frozenset[str], helped: Iterable[str], look_alikes: frozenset[str]
    ):
        self.vocabulary = vocabulary
        super().__init__((word, word) for word in self.vocabulary)
        self.look_alikes = look_alikes
        self.parted: set[str] = set()
        self._by_letter: dict[str, list[str]] = {}
        for word in sorted(helped):
            if len(word) >= SHORTEST and word.isalpha():
                self._by_letter.setdefault(word[0], []).append(word)

    def __missing__(self, word: str) -> str:
        meant = self._meant(word)
        if len(self) > len(self.vocabulary) + MOST_REMEMBERED:
            self.clear()
            self.update((known, known) for known in self.vocabulary)
        self[word] = meant
        if " " in meant:
            self.parted.add(meant)
        return meant

    def _meant(self, word: str) -> str:
        if not word.isalpha() or len(word) > LONGEST or word in self.look_alikes:
            return word
        for short in (RUN.sub(r"\1\1", word), RUN.sub(r"\1", word)):
            if short != word and short in self.vocabulary:
                return short
        if len(word) < SHORTEST:
            return word
        if word.endswith("in") and word + "g" in self.vocabulary:
            return word + "g"
        slips = 2 if len(word) >= TWO_SLIPS_FROM else 1
        return self._near(word, 1) or self._parts(word) or self._near(word, slips) or word

    def _parts(self, word: str) -> str:
        """Two words written as one, when both are vocabulary and one is long."""
        for cut in range(len(word) - 2, 1, -1):
            left, right = word[:cut], word[cut:]
            if max(len(left), len(right)) < SHORTEST:
                continue
            if left in self.vocabulary and right in self.vocabulary:
                return f"{left} {right}"
        return ""

    def _near(self, word: str, slips: int) -> str:
        """The helped word at most so many slips away, with the same first letter."""
        found = process.extractOne(
            word, self._by_letter.get(word[0], []), scorer=OSA.distance, score_cutoff=slips
        )
        return found[0] if found else ""
