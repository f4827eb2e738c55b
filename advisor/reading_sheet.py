"""The sheet of `advisor runout` and `advisor balance`: readings on their own, without a case."""

from __future__ import annotations

from collections.abc import Sequence
from typing import get_args

from advisor.compose import caution_notes
from advisor.compose_notes import source_text
from advisor.errors import AdvisorError, did_you_mean, one_of
from advisor.evidence.reading_pairs import pair_results
from advisor.evidence.reading_result import Result, Shop
from advisor.evidence.readings import results_of
from advisor.intake.readings import read_readings, readings_from_bytes
from advisor.model.case import Vehicle
from advisor.model.diagnosis import PackStamp, SourceNote
from advisor.model.pack import Duty, Pack, WheelKind
from advisor.model.place import Place, parse_place
from advisor.model.reading_sheet import ReadingSheet
from advisor.orders import known_tire


def reading_sheet(
    path: str,
    raw: bytes | None,
    kind: str,
    pack: Pack,
    *,
    place: str | None = None,
    vehicle: str,
    tire: str | None = None,
    duty: str | None = None,
    wheel: str | None = None,
) -> ReadingSheet:
    """Read a file (raw: its content, for standard input) and work it out for a vehicle. Raises
    AdvisorError for a wrong option and InputProblems for what is wrong in the file."""
    held = _vehicle(pack, vehicle, tire, duty, wheel)
    info = pack.vehicles[held.type]
    here = _place(place)
    if raw is None:
        readings = read_readings(path, pack, kind=kind, vehicle=info, place=here)
    else:
        readings = readings_from_bytes(raw, path, pack, kind=kind, vehicle=info, place=here)
    shop = Shop(held, pack)
    alone = results_of(readings, shop)
    return _sheet(kind, info.name, alone, [*alone, *pair_results(readings, shop)], pack)


def _sheet(
    kind: str, vehicle: str, alone: Sequence[Result], results: Sequence[Result], pack: Pack
) -> ReadingSheet:
    notes = tuple(result.note for result in results)
    cautions = caution_notes(pack, [c for note in notes for c in note.cautions])
    cited = [s for note in notes for s in note.sources] + [c.source for c in cautions]
    return ReadingSheet(
        kind=kind,
        vehicle=vehicle,
        notes=notes,
        evidence=tuple(
            (n, soft.symptom.removeprefix("found."), str(soft.place or ""), soft.lambda1)
            for n, result in enumerate(alone)
            for soft in result.softs
        ),
        cautions=tuple(cautions),
        sources=tuple(
            SourceNote(id=i, text=source_text(pack.sources[i]), seen=pack.sources[i].seen)
            for i in dict.fromkeys(cited)
        ),
        pack=PackStamp(version=pack.info.version, sha256=pack.sha256, overlay=pack.overlay),
    )


def _vehicle(
    pack: Pack, vehicle: str, tire: str | None, duty: str | None, wheel: str | None
) -> Vehicle:
    _one_of("--vehicle", vehicle, list(pack.vehicles))
    if duty is not None:
        _one_of("--duty", duty, list(get_args(Duty)))
    if wheel is not None:
        _one_of("--wheel", wheel, list(get_args(WheelKind)))
    return Vehicle(
        type=vehicle,
        tire=known_tire(pack, tire) if tire else None,
        duty=duty or pack.vehicles[vehicle].duty,
        wheel=wheel,
    )


def _one_of(option: str, value: str, choices: list[str]) -> None:
    if value not in choices:
        hint = did_you_mean(value, choices)
        raise AdvisorError(
            f'{option}: "{value}" is not known; allowed: {one_of(choices)}; {hint}'.rstrip("; ")
        )


def _place(said: str | None) -> Place | None:
    if said is None:
        return None
    found = parse_place(said)
    if found is None:
        raise AdvisorError(
            f'--place: "{said}" is not a place; allowed: steer_left, drive_right_outer, ...'
        )
    return found
