"""Rows of one unit over time, joined: what came back, and after which work."""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from advisor.model.pack import Pack
from advisor.model.stack import where
from advisor.triage.rows import RowRead
from advisor.triage.told import Said, Told

MOST_SAID = 7  # inference doubles with each further symptom
JOIN_DAYS = 180  # complaints farther apart are taken as two matters (judgement)
# what a result has become once the complaint is written up again
AGAIN = {"cured": "came_back", "better": "came_back", "unknown": "no_change"}


@dataclass(frozen=True)
class Unit:
    """One unit with its complaints, oldest first. rows: those joined; earlier: older ones, left
    out of the ranking; others: its rows that are no vibration complaint; told: all of them as one;
    again_after: work after which the complaint came again, with its date or empty."""

    name: str
    rows: tuple[RowRead, ...]
    earlier: tuple[RowRead, ...]
    others: tuple[RowRead, ...]
    told: Told
    again_after: tuple[tuple[str, str], ...]

    @property
    def complaints(self) -> tuple[RowRead, ...]:
        """All its vibration complaints, oldest first."""
        return (*self.earlier, *self.rows)

    @property
    def latest(self) -> RowRead:
        """The newest complaint."""
        return self.rows[-1]


def units_of(rows: Iterable[RowRead], pack: Pack) -> list[Unit]:
    """Every unit with a vibration complaint; rows that name no unit stand alone."""
    by_unit: dict[str, list[RowRead]] = {}
    for row in rows:
        by_unit.setdefault(unit_key(row), []).append(row)
    made = [_unit(group, pack) for group in by_unit.values()]
    return [unit for unit in made if unit is not None]


def unit_key(row: RowRead) -> str:
    """What makes two rows the same unit: its name without case and blanks."""
    return re.sub(r"\s+", "", row.unit).casefold() or f"\0{row.file}\0{row.line}"


def _unit(group: Sequence[RowRead], pack: Pack) -> Unit | None:
    ordered = sorted(group, key=_when)
    complaints = [r for r in ordered if r.is_vibration]
    if not complaints:
        return None
    joined = [complaints[-1]]
    for row in reversed(complaints[:-1]):
        if not _near(row.date, joined[0].date):
            break
        joined.insert(0, row)
    others = [r for r in ordered if not r.is_vibration]
    beside = [r for r in others if _near(r.date, joined[0].date) or r.date >= joined[0].date]
    told, again = join(joined, beside, pack)
    return Unit(
        name=complaints[-1].unit or where(complaints[-1].line, complaints[-1].file),
        rows=tuple(joined),
        earlier=tuple(complaints[: len(complaints) - len(joined)]),
        others=tuple(others),
        told=told,
        again_after=again,
    )


def _when(row: RowRead) -> tuple[str, str, int]:
    """Older first; of one day, as they were written down."""
    return row.date, row.file, row.line


def _near(one: str, other: str) -> bool:
    """Within the joining time; undated rows are taken as near."""
    if not one or not other:
        return True
    days = datetime.date.fromisoformat(other) - datetime.date.fromisoformat(one)
    return abs(days.days) <= JOIN_DAYS


def join(
    rows: Sequence[RowRead], beside: Sequence[RowRead], pack: Pack
) -> tuple[Told, tuple[tuple[str, str], ...]]:
    """All complaints as one, and the work after which it came again.

    Of what contradicts, the newest stands. Work of unknown result before a later complaint did not
    settle it; work that helped before a later complaint came back. What must not wait counts
    wherever it was written.
    """
    if len(rows) == 1 and (rows[0].told.case is not None or not beside):
        return rows[0].told, ()
    answers: dict[tuple[str, str], Said] = {}
    newest = _newest(rows)
    for row in [*beside, *rows]:
        for said in row.told.answers:
            if row in newest or (said[0] in row.safety and said[1] == "yes"):
                _put(answers, said, pack)
    work: dict[str, tuple[str, str]] = {}
    again: dict[str, str] = {}
    last = rows[-1]
    for row in sorted([*rows, *beside], key=_when):
        later = row is not last and _when(row) < _when(last)
        for what, result in row.told.work:
            if later:
                result = AGAIN.get(result, result)
                again[what] = row.date
            work[what] = (what, result)
    speeds = [row.told.speed for row in rows if row.told.speed]
    told = Told(
        last.told.vehicle,
        tuple(sorted(answers.values())),
        speeds[-1] if speeds else None,
        tuple(sorted(work.values())),
        last.told.source,
        last.told.case,
    )
    return told, tuple(again.items())


def _newest(rows: Sequence[RowRead]) -> list[RowRead]:
    """The newest complaints that together say no more than can be weighed in a moment; of older
    ones only what must not wait counts (see join)."""
    kept: list[RowRead] = []
    said: set[tuple[str, str]] = set()
    for row in reversed(rows):
        more = {(s, place) for s, state, place in row.told.answers if state == "yes"}
        if kept and len(said | more) > MOST_SAID:
            break
        said |= more
        kept.insert(0, row)
    return kept


def _put(answers: dict[tuple[str, str], Said], said: Said, pack: Pack) -> None:
    """Add an answer; it takes the place of an older one that it contradicts."""
    symptom = pack.symptoms[said[0]]
    if symptom.exclusive and said[1] == "yes":
        for slot in [s for s in answers if pack.symptoms[s[0]].key == symptom.key]:
            if answers[slot][1] == "yes":
                del answers[slot]
    for slot in [s for s in answers if s[0] == said[0] and answers[s][1] != said[1]]:
        del answers[slot]
    answers[said[0], said[2]] = said
