"""Phrases of the wording files -> the plain word sequences they stand for."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache
from itertools import product

from advisor.intake.text_tokens import words_of

Form = tuple[str, ...]
Chunk = tuple[Form, ...]  # what one stretch between spaces may stand for; () is nothing at all
SPACED = re.compile(r"[a-z ]*")  # words parted by spaces, nothing else
BRACKETS = re.compile(r"[(\[][^(\[]*?[)\]]")  # innermost
MOST_FORMS = 3_000  # of one phrase; more is a slip of the pen


def forms_of(phrase: str) -> list[Form]:
    """Every word sequence a phrase stands for: (a|b) is either, [x] may be left out.

    Raises ValueError for a bracket that is not closed or for a phrase without words.
    """
    return forms_in(chunks_of(phrase))


def forms_in(chunks: Iterable[Chunk]) -> list[Form]:
    """Every word sequence of a phrase taken apart."""
    forms = {sum(parts, ()) for parts in product(*chunks)} - {()}
    return sorted(forms)


def chunks_of(phrase: str) -> list[Chunk]:
    """The stretches between the spaces outside of brackets; far fewer than the forms they make.

    Raises ValueError like forms_of.
    """
    if SPACED.fullmatch(phrase):
        chunks = [((word,),) for word in phrase.split()]
    else:
        chunks = [_chunk(text) for text in _parted(phrase)]
    forms = 1
    for chunk in chunks:
        forms *= len(chunk)
    if not any(any(chunk) for chunk in chunks):
        raise ValueError(f'"{phrase}" holds no word')
    if forms > MOST_FORMS:
        raise ValueError(f'"{phrase}" stands for too many forms')
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
    """The word sequences of one stretch; remembered, because stretches return in many phrases."""
    if not BRACKETS.search(text) and not set(text) & set("()[]|"):
        return (tuple(words_of(text)),)
    texts, rest = _sequence(text, 0, "")
    if rest != len(text):
        raise ValueError(f'"{text}": a bracket is closed that was not opened')
    split = str.split if SPACED.fullmatch("".join(texts)) else words_of
    return tuple(sorted({tuple(split(one)) for one in texts}))


def _sequence(phrase: str, at: int, stop: str) -> tuple[list[str], int]:
    """Texts from `at` up to one of the characters in stop."""
    texts = [""]
    while at < len(phrase) and phrase[at] not in "|)]":
        character = phrase[at]
        if character in "([":
            options, at = _group(phrase, at + 1, ")" if character == "(" else "]")
            if character == "[":
                options.append("")
            texts = [text + option for text in texts for option in options]
            if len(texts) > MOST_FORMS:
                raise ValueError(f'"{phrase}" stands for too many forms')
        else:
            texts = [text + character for text in texts]
            at += 1
    if stop and at >= len(phrase):
        raise ValueError(f'"{phrase}": a bracket is not closed')
    return texts, at


def _group(phrase: str, at: int, close: str) -> tuple[list[str], int]:
    """The options inside a bracket, and the position after it."""
    options: list[str] = []
    while True:
        texts, at = _sequence(phrase, at, close)
        options += texts
        if phrase[at] == close:
            return options, at + 1
        if phrase[at] != "|":
            raise ValueError(f'"{phrase}": brackets don\'t match')
        at += 1
