"""What readings add to the document: their notes, and what each changed in the ranking."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from advisor.compose_notes import source_text
from advisor.inference.posterior import decibans
from advisor.model.case import Case
from advisor.model.diagnosis import CautionNote, Change, Diagnosis, ReadingNote, SourceNote
from advisor.model.pack import Pack

Probabilities = Mapping[str, float]
MOST_NAMED = 3
LEAST_DECIBANS = 0.5


def reading_changes(
    case: Case,
    notes: Sequence[ReadingNote],
    after: Probabilities,
    without: Callable[[Case], Probabilities],
    pack: Pack,
) -> list[Change]:
    """One entry for each reading of the case: the first causes with all but this one and with all.

    notes: of the readings, in their order; without: probabilities of a case.
    """
    made = []
    for index, note in enumerate(notes[: len(case.readings)]):
        rest = case.readings[:index] + case.readings[index + 1 :]
        before = without(case.with_changes(readings=rest))
        made.append(Change(what=note.title, says=change_words(before, after, pack)))
    return made


def change_words(before: Probabilities, after: Probabilities, pack: Pack) -> str:
    """'First before: ...; first now: ...; moved most: ... +8.1 decibans.'"""

    def first(p: Probabilities) -> str:
        named = sorted(p, key=lambda c: (-p[c], c))[:MOST_NAMED]
        return ", ".join(f"{pack.causes[c].name} ({p[c]:.0%})" for c in named)

    gains = {c: decibans(after[c], before[c]) for c in after if c in before}
    most = sorted(gains, key=lambda c: (-abs(gains[c]), c))
    moved = [c for c in most if abs(gains[c]) >= LEAST_DECIBANS and max(after[c], before[c]) > 0.02]
    if not moved:
        return "it moves no cause by half a deciban."
    told = ", ".join(f"{pack.causes[c].name} {gains[c]:+.1f} decibans" for c in moved[:4])
    return f"first without it: {first(before)}; first with it: {first(after)}; it moves {told}."


def with_readings(
    d: Diagnosis, notes: Sequence[ReadingNote], changes: Sequence[Change], pack: Pack
) -> Diagnosis:
    """The document with notes, changes, and the cautions and sources they need."""
    if not notes:
        return d
    known = {c.id for c in d.cautions}
    ids = dict.fromkeys(c for note in notes for c in note.cautions if c not in known)
    cautions = [
        CautionNote(id=i, text=c.text, source=c.source, us_rule=c.us_rule)
        for i in ids
        for c in [pack.cautions[i]]
    ]
    cited = {s.id for s in d.sources}
    wanted = [s for note in notes for s in note.sources] + [c.source for c in cautions]
    sources = [
        SourceNote(id=i, text=source_text(pack.sources[i]), seen=pack.sources[i].seen)
        for i in dict.fromkeys(wanted)
        if i not in cited
    ]
    return d.model_copy(
        update={
            "readings": list(notes),
            "changes": list(changes),
            "cautions": [*d.cautions, *cautions],
            "sources": [*d.sources, *sources],
        }
    )
