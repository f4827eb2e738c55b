"""The safety gate, and the limits of the tool itself.

Each of these records is one entry of one kind of file in rules/, and its schema.
"""

from __future__ import annotations

from typing import Literal

from advisor.model.base import Record
from advisor.model.terms import Probability, Slug


class SafetyRule(Record):
    """Answers or probabilities that must be dealt with before anything else.

    any_of: symptom ids, one of which is enough; all_of: all needed; probable: cause ids whose
    probability above `above` triggers the rule. lifted_when_checked: the answers only hint, so
    when every check of the rule came out clear everywhere a stop becomes soon, and a soon goes.
    """

    id: Slug
    level: Literal["stop", "soon"]
    any_of: list[Slug] = []
    all_of: list[Slug] = []
    probable: list[Slug] = []
    above: Probability | None = None
    says: str
    do_now: str
    checks: list[Slug]
    lifted_when_checked: bool = False
    cautions: list[Slug] = []
    because: str
    source: Slug
    us_rule: str = ""


class Limitation(Record):
    """A limit of the tool itself: when it holds, what it means, what to do about it.

    when: a named condition the pipeline knows (see DEVELOPERS.md).
    """

    id: Slug
    when: Slug
    says: str
    do: str
