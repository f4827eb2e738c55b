"""What one reading says: a note to print and likelihoods for the ranking."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from advisor.evidence.reading_words import where
from advisor.evidence.results import MOST_CERTAIN
from advisor.model.case import Frequency, SoftFinding, SpeedRange, Vehicle
from advisor.model.diagnosis import Picture, ReadingNote
from advisor.model.pack import Limit, Measure, Pack
from advisor.model.place import Place


@dataclass(frozen=True)
class Shop:
    """What a reading is held against: the vehicle it was taken on, the rules in force, and the
    speeds at which the complaint is felt."""

    vehicle: Vehicle
    pack: Pack
    speed: SpeedRange | None = None

    def measure(self, inspection: str, key: str) -> Measure:
        """One number of an inspection."""
        return next(m for m in self.pack.inspections[inspection].measures if m.key == key)


@dataclass
class Said:
    """Collects what a reading says while it is worked out, part by part."""

    kind: str
    title: str
    place: Place | None
    lines: list[str] = field(default_factory=list)
    problems: list[str] = field(default_factory=list)
    pictures: list[Picture] = field(default_factory=list)
    softs: list[SoftFinding] = field(default_factory=list)
    frequencies: list[Frequency] = field(default_factory=list)
    cautions: list[str] = field(default_factory=list)
    sources: list[str] = field(default_factory=list)
    numbers: dict[str, Any] = field(default_factory=dict)

    def find(self, inspection: str, probability: float, words: str, shop: Shop) -> None:
        """Enter the probability that an inspection found something. Past MOST_CERTAIN it is as
        plain as a result given in words; the rules hold its errors."""
        p = probability
        if p >= MOST_CERTAIN or p <= 1 - MOST_CERTAIN:
            p = float(round(p))
        kind = shop.pack.inspections[inspection]
        self.softs.append(
            SoftFinding(f"found.{inspection}", p, 1 - p, self.place, f"{words}{where(self.place)}")
        )
        self.beside(kind.cautions)
        self.cite([kind.source])

    def beside(self, cautions: Iterable[str]) -> None:
        """Cautions that belong to what is advised."""
        self.cautions += [c for c in cautions if c not in self.cautions]

    def cite(self, sources: Iterable[str]) -> None:
        """Source ids that the lines rest on."""
        self.sources += [s for s in sources if s and s not in self.sources]

    def held_against(self, limit: Limit) -> None:
        """Cite a limit that a line names."""
        self.cite([limit.source])

    def result(self) -> Result:
        """The finished result."""
        note = ReadingNote(
            kind=self.kind,
            title=self.title,
            place=str(self.place or ""),
            lines=self.lines,
            problems=self.problems,
            pictures=self.pictures,
            cautions=self.cautions,
            sources=self.sources,
            numbers=self.numbers,
        )
        return Result(note, tuple(self.softs), tuple(self.frequencies))


@dataclass(frozen=True)
class Result:
    """A reading's note, its likelihoods, and frequencies to hold against the orders of causes."""

    note: ReadingNote
    softs: tuple[SoftFinding, ...]
    frequencies: tuple[Frequency, ...] = ()
