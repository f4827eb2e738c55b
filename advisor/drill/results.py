"""Results of checks in words; what came out alike at several places is said once."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from advisor.drill.paths import Taken
from advisor.model.pack import Pack
from advisor.model.place import SIDES
from advisor.report import words
from advisor.report.page import Table

DRAWN = "Results marked * were drawn from the rules, where the case holds none."


@dataclass(frozen=True)
class Alike:
    """Checks of one kind, done one after the other, that came out alike. minutes: all of them."""

    id: str
    found: bool
    result: str
    places: str
    minutes: float


def alike(taken: Iterable[Taken]) -> list[Alike]:
    """Checks in turn, those of one kind and result together."""
    made = []
    for (id_, result), run in groupby(taken, key=lambda t: (t.id, result_words(t))):
        same = list(run)
        places = place_words([t.place for t in same])
        minutes = sum(t.minutes for t in same)
        made.append(Alike(id_, same[0].shown.found, result, places, minutes))
    return made


def place_words(places: Sequence[str]) -> str:
    """'left steer', or 'steer, drive and tag' where it was both sides of each."""
    said = list(places)
    for place in places:
        ends = [f"{place.partition('_')[0]}_{side}" for side in SIDES]
        if all(end in said for end in ends):
            said = [p for p in said if p != ends[1]]
            said[said.index(ends[0])] = ends[0].partition("_")[0]
    return words.listing([words.place(p) for p in said])


def result_words(taken: Taken) -> str:
    """'found, tir in 0.128'; with a star where it was drawn."""
    numbers: Mapping[str, float] = taken.shown.done.values
    said = [str(taken.shown.done.outcome)]
    said += [f"{key.replace('_', ' ')} {value:.4g}" for key, value in numbers.items()]
    return ", ".join(said) + ("" if taken.shown.from_case else " *")


def checks_table(taken: Iterable[Taken], pack: Pack) -> Table:
    """Checks in turn with their bill and what they showed."""
    rows = [
        (pack.inspections[one.id].name, one.places, words.minutes(one.minutes), one.result)
        for one in alike(taken)
    ]
    return Table(("check", "place", "time", "result"), tuple(rows))
