"""The wording compiled: phrases in one tree of words, looked up at every word of a text."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from threading import Lock
from typing import Any, NamedTuple

from advisor.intake.text_phrases import Chunk, chunks_of
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


HIDING = frozenset(("plain", "not_wheel"))
LONG_WORD = 6  # letters
PairTable = dict[str, dict[str, tuple[Two, ...]]]  # kind and value of the second -> pairs


class WorkTable(NamedTuple):
    """The pairs that make a piece of work: by their second member, and by the action."""

    by_second: PairTable
    by_action: dict[str, tuple[Two, ...]]


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
# A node: [next word -> node, ((layer, words, senses), ...), the patterns that end here, and the
# longest phrase of each layer on the way here once it was asked for]
Node = list[Any]
NO_NODES: dict[str, Node] = {}  # of every leaf; nothing is ever put into it


class Pattern(NamedTuple):
    """A phrase as written: its layer, the number and the senses of its entry, and its stretches."""

    layer: int
    entry: int
    senses: tuple[Sense, ...]
    chunks: list[Chunk]


class Lexicon:
    """All phrases by their first word. A phrase is spelled out when a text holds a word that it
    cannot do without, and stays; so one text costs little and many cost it once."""

    def __init__(self, wording: Wording):
        layers = sorted({file.layer for file in wording.files})
        pairs = [pair for file in wording.files for pair in file.pairs]
        self.layers = len(layers)
        self.work_pairs = _work_table([pair for pair in pairs if pair.as_ == "work"])
        self.danger_pairs = _by_second(pair for pair in pairs if pair.as_ == "danger")
        patterns, helped = _taken_apart(wording, layers)
        self._by_key = _by_rarest(patterns)
        self.words = _words(chunk for pattern in patterns for chunk in pattern.chunks)
        self.long_words = frozenset(word for word in self.words if len(word) >= LONG_WORD)
        self.spelling = Spelling(self.words, helped, wording.look_alikes)
        self._waking = Lock()
        self.sleep()

    def sleep(self) -> None:
        """Back to the start: nothing spelled out."""
        self.root: dict[str, Node] = {}
        self._asleep = dict(self._by_key)

    def wake_all(self) -> None:
        """Spell out every phrase."""
        self._wake(list(self._asleep))

    def _wake(self, words: list[str]) -> None:
        """Spell out the phrases that may stand among these words, before they count as awake."""
        with self._waking:
            for word in self._asleep.keys() & set(words):
                for pattern in self._asleep[word]:
                    self._spell_out(pattern)
                del self._asleep[word]

    def _spell_out(self, pattern: Pattern) -> None:
        """Put every form of a phrase into the tree, stretch by stretch: forms that begin alike
        share the way."""
        ends: dict[int, tuple[Node, int]] = {0: ([self.root, (), None, None], 0)}
        for forms, *_ in pattern.chunks:
            further: dict[int, tuple[Node, int]] = {}
            for node, size in ends.values():
                for form in forms:
                    at = node
                    for word in form:
                        at = _on_to(at, word)
                    further[id(at)] = (at, size + len(form))
            ends = further
        alone = (pattern,)
        told: dict[int, tuple[tuple[int, int, tuple[Sense, ...]], ...]] = {}
        for node, size in ends.values():
            if not size:
                continue
            if node[2] is None:  # most: what is the same for all forms is kept once
                node[2] = alone
                node[1] = told.setdefault(size, ((pattern.layer, size, pattern.senses),))
            else:
                _end_here_too(node, size, pattern)

    def _longest(self, way: list[str]) -> tuple[tuple[int, int, tuple[Sense, ...]], ...]:
        """The longest phrase of each layer among the first words of a way. It stays true, because
        all phrases of these words are spelled out by now."""
        nodes = self.root
        found: dict[int, tuple[int, int, tuple[Sense, ...]]] = {}
        for word in way:
            nodes, here, *_ = nodes[word]
            found.update((layer, (layer, size, senses)) for layer, size, senses in here)
        return tuple(sorted(found.values(), key=lambda one: (-one[1], -one[0])))

    def scan(self, words: list[str]) -> dict[str, list[Hit]]:
        """The hits in a text by kind; within a layer the longest phrase wins."""
        if not self._asleep.keys().isdisjoint(words):
            self._wake(words)
        found: dict[str, list[Hit]] = {}
        free = [0] * self.layers
        last = len(words)
        for start, node in enumerate(map(self.root.get, words)):
            if node is None:
                continue
            at = start + 1
            while node[0] and at < last:
                further = node[0].get(words[at])
                if further is None:
                    break
                node = further
                at += 1
            if node[3] is None:
                node[3] = self._longest(words[start:at])
            for layer, size, senses in node[3]:
                if start >= free[layer]:
                    end = free[layer] = start + size
                    for kind, value, flag in senses:
                        hit = _new(Hit, (kind, value, start, end, flag))
                        if kind in found:
                            found[kind].append(hit)
                        else:
                            found[kind] = [hit]
        return found


def _on_to(node: Node, word: str) -> Node:
    """The node behind a word, made when it is not there."""
    nodes = node[0]
    found: Node | None = nodes.get(word)
    if found is None:
        if nodes is NO_NODES:
            nodes = node[0] = {}
        found = nodes[word] = [NO_NODES, (), None, None]
    return found


def _end_here_too(node: Node, size: int, pattern: Pattern) -> None:
    """One more phrase of so many words ends at a node."""
    if any(one.layer == pattern.layer and one.entry == pattern.entry for one in node[2]):
        return
    node[2] = (*node[2], pattern)
    parts: dict[int, dict[int, tuple[Sense, ...]]] = {}
    for one in node[2]:
        parts.setdefault(one.layer, {})[one.entry] = one.senses
    node[1] = tuple((layer, size, _merged(parts[layer])) for layer in sorted(parts))


def _by_second(pairs: Iterable[Pair]) -> PairTable:
    """Pairs by their second member."""
    made: PairTable = {}
    for two in map(Two.of, pairs):
        values = made.setdefault(two.other_kind, {})
        values[two.other_value] = (*values.get(two.other_value, ()), two)
    return made


def _work_table(pairs: list[Pair]) -> WorkTable:
    by_action: dict[str, tuple[Two, ...]] = {}
    for two in map(Two.of, pairs):
        if two.kind == "action":
            by_action[two.value] = (*by_action.get(two.value, ()), two)
    return WorkTable(_by_second(pairs), by_action)


def _taken_apart(wording: Wording, layers: list[str]) -> tuple[list[Pattern], set[str]]:
    """Every phrase; and the words worth a spelling help: sensations, parts, work, dangers."""
    patterns: list[Pattern] = []
    helped: set[str] = set()
    number = {layer: at for at, layer in enumerate(layers)}
    entries = [(number[file.layer], entry) for file in wording.files for entry in file.entries]
    for at, (layer, entry) in enumerate(entries):
        senses = _of_entry(entry)
        for phrase in entry.say:
            chunks = chunks_of(phrase)
            patterns.append(Pattern(layer, at, senses, chunks))
            if entry.kind in SPELLED:
                helped.update(_words(chunks))
    return patterns, helped


def _words(chunks: Iterable[Chunk]) -> frozenset[str]:
    return frozenset().union(*{chunk.words for chunk in chunks})


def _by_rarest(patterns: list[Pattern]) -> dict[str, list[Pattern]]:
    """Each phrase under the words of the stretch that fewest phrases share.

    A stretch that may be left out does not count; one word of each of its options does.
    """
    counted = Counter([chunk.keys for pattern in patterns for chunk in pattern.chunks])
    shared: Counter[str] = Counter()
    for keys, times in counted.items():
        for key in keys:
            shared[key] += times
    cost = {keys: sum([shared[key] for key in keys]) for keys in counted}
    made: dict[str, list[Pattern]] = {}
    for pattern in patterns:
        some = [chunk.keys for chunk in pattern.chunks if chunk.keys]
        for key in min(some, key=cost.__getitem__) if some else _words(pattern.chunks):
            made.setdefault(key, []).append(pattern)
    return made


def _merged(parts: dict[int, tuple[Sense, ...]]) -> tuple[Sense, ...]:
    """The senses of a phrase that stands in several entries, in their order, each once."""
    if len(parts) == 1:
        return next(iter(parts.values()))
    return tuple(dict.fromkeys(sense for entry in sorted(parts) for sense in parts[entry]))


def _of_entry(entry: Entry) -> tuple[Sense, ...]:
    """The senses of a phrase; none for one that only hides what it contains."""
    if entry.kind in HIDING and not entry.value and entry.also is None:
        return ()
    flag = "weak" if entry.weak else "quiet" if entry.quiet else ""
    senses: tuple[Sense, ...] = ((entry.kind, entry.value, flag),)
    if entry.also is not None:
        senses += ((entry.also.kind, entry.also.value, ""),)
    return senses
