"""A write-up laid out for reading: its words, the phrases found, and its sentences and clauses."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable

from advisor.intake.text_lexicon import Hit, Lexicon
from advisor.intake.text_tokens import tokens_of
from advisor.model.case import Span

FULL_STOPS = frozenset(".!?;\n")
COMMAS = frozenset(",(:)")
MARKS = FULL_STOPS | COMMAS
NONE: list[Hit] = []
FEW = 8  # hits; with more, look them up by halving


class Sheet:
    """words[i] stands in text from spans[i][0] to spans[i][1].

    sentence, segment and clause number the stretch each word belongs to: sentences end at a full
    stop, segments also at a contrast ("but"), clauses also at a comma and at joining words.
    """

    __slots__ = (
        "_named", "_telling", "clause", "hits", "segment", "sentence", "spans", "text", "words",
    )  # fmt: skip

    def __init__(self, text: str, lexicon: Lexicon):
        self.text = text
        self._telling: list[int] | None = None
        self._named: dict[str, dict[str, list[Hit]]] = {}
        raw, self.spans = tokens_of(text)
        spelling = lexicon.spelling
        if len(raw) > 1:
            raw = self._rejoined(raw, lexicon)
        self.words = list(map(spelling.__getitem__, raw))
        if self.words != raw and not text.isupper():
            self._spare_names(raw)
        if spelling.parted and not spelling.parted.isdisjoint(self.words):
            self._part()
        self.hits = lexicon.scan(self.words)
        self._number_stretches()

    def _rejoined(self, raw: list[str], lexicon: Lexicon) -> list[str]:
        """Put together long words that a narrow field cut in two: "vibra tion"."""
        pairs = list(map(str.__add__, raw, raw[1:]))
        if lexicon.long_words.isdisjoint(pairs):
            return raw
        known = lexicon.words
        cuts = {at for at, pair in enumerate(pairs) if pair in lexicon.long_words}
        cuts = {at for at in cuts if raw[at] not in known or raw[at + 1] not in known}
        if not cuts:
            return raw
        words, spans, at = [], [], 0
        while at < len(raw):
            end = at + 2 if at in cuts else at + 1
            words.append("".join(raw[at:end]))
            spans.append((self.spans[at][0], self.spans[end - 1][1]))
            at = end
        self.spans = spans
        return words

    def _spare_names(self, raw: list[str]) -> None:
        """A word in title case within a sentence is a name, however like a word it looks."""
        for at, word in enumerate(self.words):
            if word != raw[at] and at and raw[at - 1] not in FULL_STOPS:
                start, end = self.spans[at]
                if self.text[start:end].istitle():
                    self.words[at] = raw[at]

    def _part(self) -> None:
        """Give each half of a run-together word its own place."""
        words, spans = [], []
        for word, (start, end) in zip(self.words, self.spans, strict=True):
            left, _, right = word.partition(" ")
            cut = start + len(left) if right else end
            words.append(left)
            spans.append((start, cut))
            if right:
                words.append(right)
                spans.append((cut, end))
        self.words, self.spans = words, spans

    def _number_stretches(self) -> None:
        words, n = self.words, len(self.words)
        marks = [i for i, w in enumerate(words) if w in MARKS]
        stops = [i for i in marks if words[i] in FULL_STOPS and not self._inner_dot(i)]
        turns = [hit.start for hit in self.of("contrast")]
        commas = [i for i in marks if words[i] in COMMAS]
        joints = [hit.start for hit in self.of("break")]
        self.sentence = _numbered(n, stops)
        self.segment = _numbered(n, sorted({*stops, *turns}))
        self.clause = _numbered(n, sorted({*stops, *turns, *commas, *joints}))

    def _inner_dot(self, at: int) -> bool:
        """The dots of a.m. or m.p.h. end no sentence, nor does one before a digit."""
        if self.words[at] != "." or at + 1 >= len(self.words):
            return False
        close = self.spans[at + 1][0] == self.spans[at][1]
        return close and (len(self.words[at + 1]) == 1 or self.words[at + 1][0].isdigit())

    def of(self, kind: str) -> list[Hit]:
        """The hits of a kind, in order."""
        return self.hits.get(kind, NONE)

    def named(self, kind: str, value: str) -> list[Hit]:
        """The hits of a kind that have a value, in order."""
        by_value = self._named.get(kind)
        if by_value is None:
            by_value = self._named[kind] = {}
            for hit in self.of(kind):
                by_value.setdefault(hit.value, []).append(hit)
        return by_value.get(value, NONE)

    def within(self, kind: str, start: int, end: int) -> list[Hit]:
        """The hits of a kind that start in words[start:end]."""
        hits = self.hits.get(kind)
        if not hits or start >= end:
            return NONE
        if len(hits) <= FEW:
            return [hit for hit in hits if start <= hit.start < end]
        return hits[_place(hits, start) : _place(hits, end)]

    def first_in(self, kind: str, start: int, end: int) -> Hit | None:
        """The first hit of a kind that starts in words[start:end]."""
        hits = self.hits.get(kind)
        if not hits or start >= end:
            return None
        for at in range(_place(hits, start) if len(hits) > FEW else 0, len(hits)):
            hit = hits[at]
            if hit.start >= end:
                return None
            if hit.start >= start:
                return hit
        return None

    def last_in(self, kind: str, start: int, end: int) -> Hit | None:
        """The last hit of a kind that lies in words[start:end]."""
        hits = self.hits.get(kind)
        if not hits or start >= end:
            return None
        for at in range((_place(hits, end) if len(hits) > FEW else len(hits)) - 1, -1, -1):
            hit = hits[at]
            if hit.start < start:
                return None
            if hit.end <= end:
                return hit
        return None

    def any_of(self, kinds: Iterable[str], start: int, end: int) -> bool:
        """True when a hit of one of the kinds starts in words[start:end]."""
        if start >= end:
            return False
        for kind in kinds:
            hits = self.hits.get(kind)
            if hits is None:
                continue
            if len(hits) > FEW:
                at = _place(hits, start)
                if at < len(hits) and hits[at].start < end:
                    return True
            else:
                for hit in hits:
                    if start <= hit.start < end:
                        return True
        return False

    def told_between(self, start: int, end: int) -> int:
        """How many sentences further words[end] stands than words[start]; those that say nothing
        known don't count."""
        first, last = self.sentence[start], self.sentence[end]
        if last - first < 2:
            return last - first
        telling = self._tell()
        return 1 + bisect_left(telling, last) - bisect_left(telling, first + 1)

    def _tell(self) -> list[int]:
        """The numbers of the sentences that say something known."""
        if self._telling is None:
            telling = {self.sentence[hit.start] for hits in self.hits.values() for hit in hits}
            self._telling = sorted(telling)
        return self._telling

    def beside(self, at: int, step: int) -> tuple[int, int]:
        """(start, end) of the next sentence (step 1) or the one before (step -1) that says
        something known; empty when there is none."""
        telling = self._tell()
        number = self.sentence[at]
        index = bisect_left(telling, number + 1) if step > 0 else bisect_left(telling, number) - 1
        if not 0 <= index < len(telling):
            return 0, 0
        return bisect_left(self.sentence, telling[index]), bisect_left(
            self.sentence, telling[index] + 1
        )

    def stretch(self, numbers: list[int], at: int) -> tuple[int, int]:
        """(start, end) of the sentence, segment or clause that words[at] belongs to."""
        number = numbers[at]
        return bisect_left(numbers, number), bisect_left(numbers, number + 1)

    def span(self, start: int, end: int) -> Span:
        """The text of words[start:end]."""
        a, b = self.spans[start][0], self.spans[max(start, end - 1)][1]
        return Span(a, b, self.text[a:b])


def _start(hit: Hit) -> int:
    return hit.start


def _place(hits: list[Hit], at: int) -> int:
    """How many hits start before words[at]."""
    return bisect_left(hits, at, key=_start)


def _numbered(n: int, cuts: list[int]) -> list[int]:
    """0,0,0,1,1,2...: a new number from each cut on."""
    numbers: list[int] = []
    before = 0
    for number, cut in enumerate(cuts):
        numbers.extend([number] * (cut - before))
        before = cut
    numbers.extend([len(cuts)] * (n - before))
    return numbers


def any_between(places: list[int], start: int, end: int) -> bool:
    """True when a sorted list holds a number from start to before end."""
    at = bisect_left(places, start)
    return at < len(places) and places[at] < end
