"""The words people use, as the rule pack holds them: one file, one layer of meaning."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Literal

from pydantic import Field

from advisor.model.base import Record

Kind = Literal[
    # what is reported
    "sensation", "felt", "place", "symptom", "danger", "denied",
    # what it is about
    "thing", "accessory", "engine", "engine_speed", "rough", "standstill", "brake_noise", "rolling",
    # parts of a danger
    "fastener", "loose", "road_wheel", "detached", "not_wheel",
    "cue",
    # work
    "work", "action", "bare", "result", "not_done", "done", "after", "remedy", "checked", "tried",
    "would",
    # denial and joints of a sentence
    "deny", "until", "resolved", "fine", "contrast", "break", "either", "whether", "perceive",
    "nothing_wrong",
    # asides
    "elsewhere", "hypothetical", "simile", "guess", "authority", "overturn", "ask", "ordered",
    "advice", "own",
    # speeds
    "unit", "other_unit", "number_noun", "digit", "above", "below", "upward", "downward", "at",
    "between", "to", "soft_about", "tens_part", "number", "starts", "stays", "peak", "ends",
    "slowing", "limit", "riding",
    # figures that a wheel end does not reach in health, by what they are read with
    "too_hot", "too_hot_unit",
    # people
    "name_cue",
    # a phrase that means nothing here and hides what it contains
    "plain",
]  # fmt: skip


class Meaning(Record):
    """One sense of a phrase. value: an id of the pack, or a word the grammar knows, or empty."""

    kind: Kind
    value: str = ""


class Entry(Record):
    """Phrases of one meaning. In a phrase, (a|b) stands for either and [x] may be left out.

    also: a second meaning; weak: counts only beside a road speed, a wheel or another sensation;
    quiet: reported, but no vibration by itself.
    """

    kind: Kind
    value: str = ""
    say: Annotated[list[str], Field(min_length=1)]
    also: Meaning | None = None
    weak: bool = False
    quiet: bool = False


class Pair(Record):
    """Two meanings close together make a finding. first, second: `kind` or `kind:value`."""

    finds: str
    as_: Annotated[Literal["work", "danger"], Field(alias="as")]
    first: str
    second: str
    within: Annotated[int, Field(ge=1, le=20)]


class WordingFile(Record):
    """One file. Within a layer the longest phrase wins; layers don't hide each other."""

    about: str
    layer: str
    source: str
    entries: list[Entry]
    pairs: list[Pair] = []


class WordList(Record):
    """Words that look like vocabulary but are not, so that no spelling help touches them."""

    about: str
    source: str
    words: str


@dataclass(frozen=True)
class Wording:
    """All files of rules/wording."""

    files: tuple[WordingFile, ...]
    look_alikes: frozenset[str] = frozenset()
