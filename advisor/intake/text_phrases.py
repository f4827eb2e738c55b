"""Phrases of the wording files -> the plain word sequences they stand for."""

from __future__ import annotations

import re

from advisor.intake.text_tokens import words_of

SPACED = re.compile(r"[a-z \[\](|)]*")  # words parted by spaces, nothing else
MOST_FORMS = 3_000  # of one phrase; more is a slip of the pen


def forms_of(phrase: str) -> list[tuple[str, ...]]:
    """Every word sequence a phrase stands for: (a|b) is either, [x] may be left out.

    Raises ValueError for a bracket that is not closed or for a phrase without words.
    """
    texts, rest = _sequence(phrase, 0, "")
    if rest != len(phrase):
        raise ValueError(f'"{phrase}": a bracket is closed that was not opened')
    split = str.split if SPACED.fullmatch(phrase) else words_of
    forms = {tuple(split(text)) for text in texts} - {()}
    if not forms:
        raise ValueError(f'"{phrase}" holds no word')
    return sorted(forms)


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
