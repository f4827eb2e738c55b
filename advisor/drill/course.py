"""How the right causes stood after each move, and how far each move spoke for them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from advisor.drill.paths import GOOD_ENOUGH
from advisor.drill.world import World
from advisor.inference.posterior import decibans
from advisor.model.case import Case
from advisor.model.pack import Pack
from advisor.pipeline import assess
from advisor.report import words
from advisor.report.page import Section, Table

# Each row is one inference, and the later ones are dear: of a long drill several moves make a row.
MOST_ROWS = 24
ROWS_OF_A_LONG_ONE = 12


@dataclass(frozen=True)
class Stage:
    """What was known after a move: the move in words, and the case."""

    after: str
    known: Case


@dataclass(frozen=True)
class Moment:
    """chance: probability of each cause after a move."""

    after: str
    chance: Mapping[str, float]

    def rank(self, cause: str) -> int:
        """Place in the ranking, from 1; ties go by id."""
        return 1 + sum((-p, c) < (-self.chance[cause], cause) for c, p in self.chance.items())


def course(stages: Sequence[Stage], world: World) -> list[Moment]:
    """The ranking at the beginning and after every move."""
    made: list[Moment] = []
    known: Case | None = None
    for stage in joined(stages):
        if made and stage.known == known:
            chance = made[-1].chance
        else:
            told = assess(stage.known, world.pack, tables=world.tables, precision=GOOD_ENOUGH)
            chance = told.now.cause
        known = stage.known
        made.append(Moment(stage.after, chance))
    return made


def joined(stages: Sequence[Stage]) -> list[Stage]:
    """The beginning and every move; of a long drill, several moves as one."""
    start, moves = list(stages[:1]), stages[1:]
    size = 1 if len(moves) <= MOST_ROWS else -(-len(moves) // ROWS_OF_A_LONG_ONE)
    runs = [moves[n : n + size] for n in range(0, len(moves), size)]
    return [*start, *(Stage("; ".join(s.after for s in run), run[-1].known) for run in runs)]


def course_sections(moments: Sequence[Moment], causes: Sequence[str], pack: Pack) -> list[Section]:
    """A table for each right cause."""
    note = (
        "For it: how far the move spoke for the right cause, given what was known before, in "
        "decibans: 10 makes its odds ten times as high, minus is against it (weight of evidence, "
        "Good 1950, from memory)."
    )
    made = []
    for cause in causes:
        of = f": {pack.causes[cause].name}" if len(causes) > 1 else ""
        table = Table(("after", "for it", "rank", "chance"), tuple(_rows(moments, cause)))
        made.append(Section(f"How the right cause stood{of}", text=(note,), table=table))
    return made


def _rows(moments: Sequence[Moment], cause: str) -> list[tuple[str, ...]]:
    rows: list[tuple[str, ...]] = []
    for n, moment in enumerate(moments):
        p = moment.chance[cause]
        spoke = decibans(p, moments[n - 1].chance[cause]) if n else 0.0
        said = f"{spoke:+.0f}" if abs(spoke) >= 0.5 else ""
        rows.append((moment.after, said, str(moment.rank(cause)), words.chance(p)))
    return rows
