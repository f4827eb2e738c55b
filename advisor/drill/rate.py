"""How hard a worked case is: how surprising its right answer is before anything is inspected."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import log2
from typing import Literal

from advisor.model.case import Case
from advisor.model.pack import Pack
from advisor.pipeline import assess

Level = Literal["easy", "medium", "hard"]
LEVELS: tuple[Level, ...] = ("easy", "medium", "hard")
# bounds are judgement: easy is first and likelier than one in three, hard is past third place or
# less likely than one in twelve
EASY_BITS, HARD_BITS, HARD_RANK = 1.6, 3.6, 4


@dataclass(frozen=True)
class Rating:
    """bits: -log2 of the probability of the likeliest right cause; rank: its place, from 1."""

    bits: float
    rank: int

    @property
    def level(self) -> Level:
        """easy, medium or hard."""
        if self.rank >= HARD_RANK or self.bits > HARD_BITS:
            return "hard"
        return "easy" if self.rank == 1 and self.bits <= EASY_BITS else "medium"


def as_told(case: Case) -> Case:
    """The case before anyone looked at the vehicle: no inspections, readings or ending."""
    return replace(case, inspections=(), readings=(), measured=(), frequencies=(), confirmed=None)


def rate(case: Case, pack: Pack) -> Rating:
    """Rate a worked case; it must be closed."""
    assert case.confirmed is not None
    now = assess(as_told(case), pack).now.cause
    order = sorted(now, key=lambda c: (-now[c], c))
    right = [c.id for c in case.confirmed.causes if c.id in now]
    best = max(right, key=lambda c: now[c])
    return Rating(-log2(max(now[best], 1e-12)), order.index(best) + 1)
