"""What goes wrong, said once and clearly: every error a user can cause is one of these."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

# Spellings of other shops, which look nearer to a wrong word than to the right one.
SPELLINGS = {"tyre": "tire", "aluminium": "aluminum", "centre": "center"}


class AdvisorError(Exception):
    """Base of every error the program explains to its user; the command line exits with 2."""


@dataclass(frozen=True, order=True)
class Problem:
    """One thing wrong in one place of one input.

    path: file as the user named it ("-" for standard input); line, column: counted from 1, or 0
    where a place makes no sense (an empty file); field: dotted key; what: what was found and what
    is wrong with it; allowed: what would be right; hint: nearest suggestion or way out.
    """

    path: str
    line: int
    column: int
    field: str
    what: str
    allowed: str = ""
    hint: str = ""

    def __str__(self) -> str:
        where = f"{self.path}:{self.line}:{self.column}" if self.line else self.path
        text = f"{where}: {self.field}: {self.what}" if self.field else f"{where}: {self.what}"
        if self.allowed:
            text += f"; allowed: {self.allowed}"
        if self.hint:
            text += f"; {self.hint}"
        return text


class InputProblems(AdvisorError):
    """All problems found in an input, in one go."""

    def __init__(self, problems: Iterable[Problem]):
        self.problems: tuple[Problem, ...] = tuple(sorted(set(problems)))
        super().__init__("\n".join(map(str, self.problems)))

    def __reduce__(self) -> tuple[type[InputProblems], tuple[tuple[Problem, ...]]]:
        """So that it can be handed on from another process."""
        return type(self), (self.problems,)


class ClashingEvidence(AdvisorError):
    """The answers cannot all be true together under the rules; names those that clash."""

    def __init__(self, clashing: Sequence[str]):
        self.clashing = tuple(clashing)
        super().__init__(
            "these answers cannot all be true at once under the rules: "
            + "; ".join(self.clashing)
            + "; check each with the driver and take back the one that is wrong"
        )


def did_you_mean(word: str, choices: Iterable[str]) -> str:
    """'did you mean "x"?' for the nearest choice, or an empty string."""
    pool = list(choices)
    for british, ours in SPELLINGS.items():
        word = word.replace(british, ours)
    if word in pool:
        return f'did you mean "{word}"?'
    near = difflib.get_close_matches(word, pool, n=1, cutoff=0.55)
    if not near:
        tail = {choice.rsplit(".", 1)[-1]: choice for choice in pool}
        near = [tail[t] for t in difflib.get_close_matches(word, list(tail), n=1, cutoff=0.7)]
    return f'did you mean "{near[0]}"?' if near else ""


def one_of(choices: Iterable[str], most: int = 14) -> str:
    """Allowed values as prose, cut where the list would drown the message."""
    pool = list(choices)
    shown = ", ".join(pool[:most])
    return shown if len(pool) <= most else f"{shown} and {len(pool) - most} more"
