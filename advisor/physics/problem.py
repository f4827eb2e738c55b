"""What is wrong with a number, what it still tells, and what to measure again."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Flaw:
    """One thing wrong with a set of numbers that can still be used.

    kind: plain word a program can test; what: what is wrong; still: what can still be said;
    remeasure: what to measure again.
    """

    kind: str
    what: str
    still: str
    remeasure: str


class PhysicsError(ValueError):
    """The numbers do not answer the question asked of them.

    what, still and remeasure mean the same as in `Flaw`.
    """

    def __init__(self, what: str, still: str, remeasure: str):
        self.what = what
        self.still = still
        self.remeasure = remeasure
        super().__init__(f"{what}; still known: {still}; measure again: {remeasure}")
