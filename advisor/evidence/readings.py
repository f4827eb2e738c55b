"""Readings of a case -> soft evidence and notes; the same check is never counted twice."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from advisor.evidence.balance_result import balance_result
from advisor.evidence.reading_pairs import pair_results
from advisor.evidence.reading_result import Result, Shop
from advisor.evidence.recording_result import recording_result
from advisor.evidence.runout_result import runout_result
from advisor.model.case import Case, InspectionDone, SoftFinding
from advisor.model.diagnosis import ReadingNote
from advisor.model.pack import Pack
from advisor.model.place import DUALS, SIDES, Place
from advisor.model.reading import Balance, Reading, Runout
from advisor.model.recording import Drive

# class of reading -> what works it out
RESULTS: dict[type[Reading], Callable[[Any, Shop], Result]] = {
    Runout: runout_result,
    Balance: balance_result,
    Drive: recording_result,
}
# of these the answer furthest from even counts; of a check against a limit the worst figure
COMPARISONS = ("found.reindex-wheel", "found.reindex-wheel-sideways", "found.reindex-tire",
               "found.two-speed-weights", "found.road-recording-wheel-order",
               "found.road-recording-shaft-order", "found.road-recording-engine-order",
               "found.road-recording-fixed-frequency")  # fmt: skip


@dataclass(frozen=True)
class Entered:
    """case: with the readings as measured findings; notes: one for each reading, then what they
    say together."""

    case: Case
    notes: tuple[ReadingNote, ...]


def results_of(readings: Sequence[Reading], shop: Shop) -> list[Result]:
    """What each reading says, in order."""
    return [RESULTS[type(reading)](reading, shop) for reading in readings]


def enter_readings(case: Case, pack: Pack) -> Entered:
    """Work the readings out; the case that comes back has none left, so this can be repeated."""
    if not case.readings:
        return Entered(case, ())
    shop = Shop(case.vehicle, pack, case.speed)
    results = results_of(case.readings, shop)
    softs = [
        soft
        for soft in merged([soft for result in results for soft in result.softs])
        if not _said_by_a_person(soft, case, pack)
    ]
    inspections = without_repeats(case.inspections, softs)
    done = [InspectionDone(soft.symptom.removeprefix("found."), soft.place, None) for soft in softs]
    entered = case.with_changes(
        readings=(),
        measured=(*case.measured, *softs),
        inspections=(*inspections, *done),
    )
    if not case.frequencies:  # a frequency given may well be the one recorded
        frequencies = tuple(f for result in results for f in result.frequencies)
        entered = entered.with_changes(frequencies=frequencies[:1])
    together = pair_results(case.readings, shop)
    return Entered(entered, tuple(r.note for r in [*results, *together]))


def _said_by_a_person(soft: SoftFinding, case: Case, pack: Pack) -> bool:
    """A fault somebody found that makes the vehicle unsafe is never outvoted by a reading."""
    id_ = soft.symptom.removeprefix("found.")
    if pack.inspections[id_].if_found == "none" and not pack.inspections[id_].safety:
        return False
    return any(
        done.id == id_ and done.outcome == "found" and _overlap(done.place, soft.place)
        for done in case.inspections
    )


def _overlap(a: Place | None, b: Place | None) -> bool:
    return a is None or b is None or a.covers(b) or b.covers(a)


def merged(softs: Sequence[SoftFinding]) -> list[SoftFinding]:
    """One finding for each check and place."""
    kept: dict[tuple[str, Place | None], SoftFinding] = {}
    for soft in softs:
        key = (soft.symptom, soft.place)
        if key not in kept or _weight(soft) > _weight(kept[key]):
            kept[key] = soft
    return list(kept.values())


def _weight(soft: SoftFinding) -> float:
    return abs(soft.lambda1 - 0.5) if soft.symptom in COMPARISONS else soft.lambda1


def without_repeats(
    inspections: Sequence[InspectionDone], softs: Sequence[SoftFinding]
) -> list[InspectionDone]:
    """Inspections less what a reading of the same check at the same place says already.

    Where the inspection covers more places than the reading, the others stay.
    """
    made = []
    for done in inspections:
        read = [s.place for s in softs if s.symptom == f"found.{done.id}"]
        if not read or (done.place is None and None not in read):
            made.append(done)
            continue
        rest = [] if None in read or done.place is None else _rest(done.place, read)
        made += [
            InspectionDone(done.id, place, done.outcome, done.values, done.by, done.date)
            for place in rest
        ]
    return made


def _rest(place: Place, read: Sequence[Place | None]) -> list[Place]:
    """The parts of a place that none of the readings covers."""
    taken = [r for r in read if r is not None]
    if any(r.covers(place) for r in taken):
        return []
    if not any(place.covers(r) for r in taken):
        return [place]
    finer = (
        [Place(place.group, side) for side in SIDES]
        if not place.side
        else [Place(place.group, place.side, dual) for dual in DUALS]
    )
    return [rest for part in finer for rest in _rest(part, taken)]
