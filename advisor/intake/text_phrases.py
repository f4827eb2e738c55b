"""Phrases of the wording files -> the plain word sequences they stand for."""

from __future__ import annotations

import re
from functools import cache
from itertools import product
from math import prod
from typing import NamedTuple

from advisor.intake.text_tokens import words_of

Form = tuple[str, ...]
SPACED = re.compile(r"[a-z ]*")  # words parted by spaces, nothing else
PIECE = re.compile(r"[^()\[\]|]+|[()\[\]|]")  # text, or one mark
SIMPLE = re.compile(r"([a-z]*)(?:(?=\(.*\)|\[.*\])([(\[]))([a-z |]*)[)\]]([a-z]*)")
MARKS, CLOSING = frozenset("()[]|"), frozenset(")]|")
MOST_FORMS = 3_000  # of one phrase; more is a slip of the pen


class Chunk(NamedTuple):
    """A stretch of a phrase between spaces: the word sequences it may stand for and all their
    words. keys: one word of each sequence; none when the stretch may be left out."""

    forms: tuple[Form, ...]
    words: frozenset[str]
    keys: frozenset[str]


def forms_of(phrase: str) -> list[Form]:
    """Every word sequence a phrase stands for: (a|b) is either, [x] may be left out.

    Raises ValueError for a bracket that is not closed or for a phrase without words.
    """
    return forms_in(chunks_of(phrase))


def forms_in(chunks: list[Chunk]) -> list[Form]:
    """Every word sequence of a phrase taken apart."""
    forms = {sum(parts, ()) for parts in product(*[chunk.forms for chunk in chunks])} - {()}
    return sorted(forms)


def chunks_of(phrase: str) -> list[Chunk]:
    """The stretches between the spaces outside of brackets; far fewer than the forms they make.

    Raises ValueError like forms_of.
    """
    if SPACED.fullmatch(phrase):
        chunks = [_chunk(word) for word in phrase.split()]
    else:
        chunks = [_chunk(text) for text in _parted(phrase)]
        if prod([len(chunk.forms) for chunk in chunks]) > MOST_FORMS:
            raise ValueError(f'"{phrase}" stands for too many forms')
    if not any(chunk.words for chunk in chunks):
        raise ValueError(f'"{phrase}" holds no word')
    return chunks


def _parted(phrase: str) -> list[str]:
    """Cut at the spaces outside of brackets."""
    parts: list[str] = []
    depth = 0
    for piece in phrase.split(" "):
        if depth:
            parts[-1] += f" {piece}"
        elif piece:
            parts.append(piece)
        depth += piece.count("(") + piece.count("[") - piece.count(")") - piece.count("]")
    return parts


@cache
def _chunk(text: str) -> Chunk:
    """One stretch; remembered, because stretches return in many phrases."""
    if SPACED.fullmatch(text):
        word = frozenset((text,))
        return Chunk(((text,),), word, word)
    forms = _forms(text)
    words = frozenset([word for form in forms for word in form])
    keys = frozenset() if () in forms else frozenset([form[-1] for form in forms])
    return Chunk(forms, words, keys)


def _forms(text: str) -> tuple[Form, ...]:
    simple = SIMPLE.fullmatch(text)
    if simple is not None:  # most are: no need to take them apart mark by mark
        before, bracket, options, after = simple.groups()
        texts = [f"{before}{option}{after}" for option in options.split("|")]
        if bracket == "[":
            texts.append(before + after)
        return tuple(dict.fromkeys([tuple(one.split()) for one in texts]))
    pieces = PIECE.findall(text)
    if len(pieces) == 1 and pieces[0] not in MARKS:
        return (tuple(words_of(text)),)
    texts, rest = _sequence(pieces, 0, inside=False)
    if rest != len(pieces):
        raise ValueError(f'"{text}": a bracket is closed that was not opened')
    split = str.split if SPACED.fullmatch("".join(texts)) else words_of
    return tuple(sorted({tuple(split(one)) for one in texts}))


def _sequence(pieces: list[str], at: int, inside: bool) -> tuple[list[str], int]:
    """Texts from `at` up to the end of an option."""
    texts = [""]
    while at < len(pieces) and pieces[at] not in CLOSING:
        piece = pieces[at]
        at += 1
        if piece in "([":
            options, at = _group(pieces, at, ")" if piece == "(" else "]")
            if piece == "[":
                options.append("")
            texts = [text + option for text in texts for option in options]
            if len(texts) > MOST_FORMS:
                raise ValueError(f'"{"".join(pieces)}" stands for too many forms')
        else:
            texts = [text + piece for text in texts]
    if inside and at >= len(pieces):
        raise ValueError(f'"{"".join(pieces)}": a bracket is not closed')
    return texts, at


def _group(pieces: list[str], at: int, close: str) -> tuple[list[str], int]:
    """The options inside a bracket, and the position after it."""
    options: list[str] = []
    while True:
        texts, at = _sequence(pieces, at, inside=True)
        options += texts
        if pieces[at] == close:
            return options, at + 1
        if pieces[at] != "|":
            raise ValueError(f'"{"".join(pieces)}": brackets don\'t match')
        at += 1
