"""A driver's words for a set of answers, put together from the phrases of the rules."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from advisor.model.case import Answer
from advisor.simulated.knowledge import Knowledge
from advisor.simulated.speeds import FeltSpeeds

WORDS = 41  # stream of random numbers
FIRST = ("sensation", "felt_at", "speed", "condition")  # one sentence, in this order
BEGAN = ("onset.", "condition.after_")  # how it began: one of them, a sentence of its own
THEN = ("growth", "changes", "trigger", "noise")  # a sentence each
MOST_OF_KEY = {"sensation": 1, "felt_at": 1, "speed": 1, "condition": 1}


def write_up(
    answers: Iterable[Answer], speeds: FeltSpeeds | None, knowledge: Knowledge, seed: int
) -> str:
    """One or more sentences; '' never: with nothing to say it is 'It vibrates.'"""
    rng = np.random.default_rng([seed, WORDS])
    yes = [a.symptom for a in answers if a.state == "yes" and a.place is None]
    began = [s for s in yes if s.startswith(BEGAN)]
    first = [
        _phrase(s, speeds, knowledge, rng)
        for key in FIRST
        for s in _of_key(key, [s for s in yes if s not in began], rng)
    ]
    vibrates = _phrase("sensation.vibration", None, knowledge, rng)
    told = [" ".join(p for p in first if p) or vibrates]
    told += [_phrase(began[int(rng.integers(len(began)))], None, knowledge, rng)] if began else []
    for key in THEN:
        told += [_phrase(s, speeds, knowledge, rng) for s in _of_key(key, yes, rng)]
    sentences = [text[0].upper() + text[1:] + "." for text in told if text]
    return " ".join(sentences)


def _of_key(key: str, yes: list[str], rng: np.random.Generator) -> list[str]:
    here = [s for s in yes if s.split(".")[0] == key]
    most = MOST_OF_KEY.get(key, 1)
    if len(here) <= most:
        return here
    return [here[k] for k in sorted(rng.choice(len(here), most, replace=False))]


def _phrase(
    symptom: str, speeds: FeltSpeeds | None, knowledge: Knowledge, rng: np.random.Generator
) -> str:
    """A phrase at random; '' for a symptom without one, or one that needs speeds not known."""
    said = knowledge.phrases.get(symptom, ())
    if not said:
        return ""
    text = said[int(rng.integers(len(said)))]
    if "{" not in text:
        return text
    if speeds is None:
        return ""
    return text.format(low=f"{speeds.low_mph:g}", high=f"{speeds.high_mph:g}")
