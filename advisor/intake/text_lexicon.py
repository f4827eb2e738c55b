"""The wording compiled: phrases in one tree of words, looked up at every word of a text."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple

from advisor.intake.text_phrases import forms_of
from advisor.intake.text_spelling import Spelling
from advisor.model.wording import Entry, Pair, Wording


class Hit(NamedTuple):
    """A phrase found: words[start:end] means value, in the sense of kind.

    flag: "weak" or "quiet" for some sensations.
    """

    kind: str
    value: str
    start: int
    end: int
    flag: str


class Two(NamedTuple):
    """A pair of meanings, taken apart: kind and value (or empty) of both."""

    finds: str
    kind: str
    value: str
    other_kind: str
    other_value: str
    within: int

    @classmethod
    def of(cls, pair: Pair) -> Two:
        """From the pair as written."""
        kind, _, value = pair.first.partition(":")
        other_kind, _, other_value = pair.second.partition(":")
        return cls(pair.finds, kind, value, other_kind, other_value, pair.within)


PairTable = dict[str, dict[str, tuple[Two, ...]]]  # kind and value of the second -> pairs
SPELLED = frozenset(
    (
        "sensation",
        "felt",
        "symptom",
        "danger",
        "thing",
        "work",
        "fastener",
        "road_wheel",
        "cue",
        "accessory",
        "standstill",
    )
)
Sense = tuple[str, str, str]
_new = tuple.__new__  # skips argument handling where thousands are made
Phrase = tuple[str, ...]
Said = tuple[str, Entry, list[Phrase]]  # layer, entry, its forms
# A node: [next word -> node, ((layer, senses), ...)]
Node = list[Any]


class Lexicon:
    """All phrases by their first word."""

    def __init__(self, wording: Wording):
        layers = sorted({file.layer for file in wording.files})
        said = [
            (file.layer, entry, _forms(entry)) for file in wording.files for entry in file.entries
        ]
        self.layers = len(layers)
        self.root: dict[str, Node] = {}
        pairs = [pair for file in wording.files for pair in file.pairs]
        self.work_pairs = _by_second(pair for pair in pairs if pair.as_ == "work")
        self.danger_pairs = _by_second(pair for pair in pairs if pair.as_ == "danger")
        for number, layer in enumerate(layers):
            for phrase, senses in _senses(said, layer).items():
                self._add(phrase, number, senses)
        self.words = frozenset(self._all_words(self.root))
        self.spelling = Spelling(self.words, _spelled(said), wording.look_alikes)

    def _add(self, phrase: Phrase, layer: int, senses: tuple[Sense, ...]) -> None:
        nodes, node = self.root, None
        for word in phrase:
            node = nodes.setdefault(word, [{}, ()])
            nodes = node[0]
        assert node is not None
        node[1] = (*node[1], (layer, senses))

    def _all_words(self, nodes: Mapping[str, Node]) -> Iterable[str]:
        for word, node in nodes.items():
            yield word
            yield from self._all_words(node[0])

    def scan(self, words: list[str]) -> dict[str, list[Hit]]:
        """The hits in a text by kind; within a layer the longest phrase wins."""
        found: dict[str, list[Hit]] = {}
        free = [0] * self.layers
        last = len(words)
        for start, node in enumerate(map(self.root.get, words)):
            if node is None:
                continue
            at = start + 1
            after, here = node
            best = [(layer, at, senses) for layer, senses in here] if here else []
            while after and at < last:
                node = after.get(words[at])
                if node is None:
                    break
                at += 1
                after, here = node
                for layer, senses in here:
                    best.append((layer, at, senses))
            # the longest come last; once a layer's word is taken, shorter ones find it taken
            for layer, end, senses in reversed(best):
                if start >= free[layer]:
                    free[layer] = end
                    for kind, value, flag in senses:
                        hit = _new(Hit, (kind, value, start, end, flag))
                        if kind in found:
                            found[kind].append(hit)
                        else:
                            found[kind] = [hit]
        return found


def _by_second(pairs: Iterable[Pair]) -> PairTable:
    """Pairs by their second member."""
    made: PairTable = {}
    for two in map(Two.of, pairs):
        values = made.setdefault(two.other_kind, {})
        values[two.other_value] = (*values.get(two.other_value, ()), two)
    return made


def _forms(entry: Entry) -> list[Phrase]:
    """The word sequences of an entry."""
    return [form for phrase in entry.say for form in forms_of(phrase)]


def _senses(said: list[Said], layer: str) -> dict[Phrase, tuple[Sense, ...]]:
    """What each phrase of a layer means."""
    made: dict[Phrase, tuple[Sense, ...]] = {}
    for where, entry, forms in said:
        if where != layer:
            continue
        new = _of_entry(entry)
        for form in forms:
            old = made.get(form)
            if old is None:
                made[form] = new
            elif old != new:
                made[form] = old + tuple(sense for sense in new if sense not in old)
    return made


def _spelled(said: list[Said]) -> set[str]:
    """The words worth a spelling help: names of sensations, parts, work and dangers."""
    phrases = (form for _, entry, forms in said if entry.kind in SPELLED for form in forms)
    return {word for phrase in phrases for word in phrase}


def _of_entry(entry: Entry) -> tuple[Sense, ...]:
    flag = "weak" if entry.weak else "quiet" if entry.quiet else ""
    senses: tuple[Sense, ...] = ((entry.kind, entry.value, flag),)
    if entry.also is not None:
        senses += ((entry.also.kind, entry.also.value, ""),)
    return senses
