"""Readings from a file of their own or inside a case: YAML or CSV, every problem in one go.

A YAML file holds one reading or a list of them; a CSV file holds one (see readings_csv).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any

from advisor.errors import InputProblems, did_you_mean, one_of
from advisor.intake.balance_reading import read_balance
from advisor.intake.beside import ALLOWED, outside
from advisor.intake.checker import Checker
from advisor.intake.readings_csv import csv_document, looks_like_csv
from advisor.intake.recording_reading import KIND as RECORDING
from advisor.intake.recording_reading import read_recording_item
from advisor.intake.runout_reading import read_runout
from advisor.model.pack import Pack, VehicleInfo
from advisor.model.place import Place, parse_place
from advisor.model.reading import Reading
from advisor.yaml_marks import Key, decode, parse, read_raw

Reader = Callable[[Mapping[str, Any], Key, Checker, Place | None], Reading | None]
# kind of reading -> what reads it
READERS: dict[str, Reader] = {"runout": read_runout, "balance": read_balance}


def read_readings(
    path: str | Path,
    pack: Pack,
    *,
    kind: str | None = None,
    vehicle: VehicleInfo | None = None,
    place: Place | None = None,
) -> tuple[Reading, ...]:
    """Readings of a file. kind: the only kind wanted; vehicle: places are checked against it;
    place: where a reading was taken that does not say. Raises InputProblems."""
    return readings_from_bytes(
        read_raw(path), str(path), pack, kind=kind, vehicle=vehicle, place=place
    )


def readings_from_bytes(
    raw: bytes,
    name: str,
    pack: Pack,
    *,
    kind: str | None = None,
    vehicle: VehicleInfo | None = None,
    place: Place | None = None,
) -> tuple[Reading, ...]:
    """Readings of a file's content, such as standard input."""
    text = decode(raw, name)
    document = csv_document(text, name) if looks_like_csv(text, name) else parse(text, name)
    check = Checker(document, pack, vehicle)
    several = isinstance(document.data, list)
    items = document.data if several else [document.data]
    made = []
    for index, item in enumerate(items):
        at: Key = (index,) if several else ()
        made.append(read_one(item, at, check, kind=kind, place=place))
    if check.problems:
        raise InputProblems(check.problems)
    return tuple(reading for reading in made if reading is not None)


def read_one(
    item: Any,
    at: Key,
    check: Checker,
    *,
    kind: str | None = None,
    place: Place | None = None,
    need_place: bool = False,
) -> Reading | None:
    """One mapping -> a reading; problems go to the checker."""
    if not isinstance(item, dict):
        check.add(at, "a reading is a mapping that begins with kind", one_of(READERS))
        return None
    kinds = [kind] if kind else list(READERS)
    said = str(item.get("kind") or kind or "")
    if not said:
        check.add(at, 'the key "kind" is missing', one_of(kinds))
        return None
    if said not in kinds:
        check.add((*at, "kind"), f'"{said}" is not read here', one_of(kinds),
                  did_you_mean(said, kinds))  # fmt: skip
        return None
    where = _place(item, at, check, place)
    if need_place and where is None and not item.get("place"):
        check.add((*at, "place"), "a reading needs a place, such as steer_left")
    return READERS[said](item, at, check, where)


def _place(item: Mapping[str, Any], at: Key, check: Checker, default: Place | None) -> Place | None:
    said = item.get("place")
    if not said:
        return default
    if check.vehicle is not None:
        return check.place((*at, "place"), said)
    found = parse_place(str(said))
    if found is None:
        check.add((*at, "place"), f'"{said}" is not a place', "steer_left, drive_right_outer, ...")
    return found


def case_readings(items: Sequence[Any], check: Checker, folder: Path | None) -> list[Reading]:
    """The `readings:` of a case: mappings as above, or `{file: NAME}` beside the case file."""
    made: list[Reading | None] = []
    for index, item in enumerate(items):
        at: Key = ("readings", index)
        if isinstance(item, dict) and item.get("kind") == RECORDING:
            where = _place(item, at, check, None)
            made.append(read_recording_item(item, at, check, folder, where))
        elif isinstance(item, dict) and "file" in item:
            made += _from_file(item, at, check, folder)
        else:
            made.append(read_one(item, at, check, need_place=True))
    return [reading for reading in made if reading is not None]


def _from_file(
    item: Mapping[str, Any], at: Key, check: Checker, folder: Path | None
) -> list[Reading | None]:
    extra = sorted(set(item) - {"file", "place"})
    if extra:
        check.add((*at, extra[0]), f'unknown key "{extra[0]}"', "file, place")
    if folder is None:
        check.add((*at, "file"), "a case from standard input cannot name a file beside it")
        return []
    if why := outside(folder, str(item["file"])):
        check.add((*at, "file"), why, ALLOWED)
        return []
    place = _place(item, at, check, None)
    try:
        found = read_readings(
            folder / str(item["file"]), check.pack, vehicle=check.vehicle, place=place
        )
    except InputProblems as error:
        check.problems.extend(error.problems)
        return []
    if any(reading.place is None for reading in found):
        check.add(at, "a reading needs a place", "place beside file, or in the file")
    return list(found)
