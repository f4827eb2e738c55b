"""Dial readings as a form holds them, and files dropped beside a case."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from pathlib import Path

import yaml

from advisor.errors import AdvisorError
from advisor.model.case import Vehicle
from advisor.model.pack import Pack
from advisor.model.reading import DIAL_PLACES, ZERO_WORDS
from advisor.reading_sheet import ReadingSheet, reading_sheet
from advisor.web.case_text import with_item
from advisor.web.folder import CaseFile, NameTaken, put_new
from advisor.web.shop import Shop, read_case_text

POSITIONS = tuple(f"{hour}:00" for hour in (12, *range(1, 12)))
FOLDER = "recordings"
ENDINGS = (".csv", ".txt", ".tsv", ".wav")
MOST_FILES = 999


def dial_item(form: Mapping[str, str], values: Sequence[str]) -> dict[str, object]:
    """A reading of the clock-face form as it stands in a case. Empty positions are missed ones."""
    of, unit, counted = form.get("of", ""), form.get("unit", ""), form.get("counted_from", "")
    if of not in DIAL_PLACES or counted not in ZERO_WORDS:
        raise AdvisorError("say where the dial stands and what 12 o'clock is counted from")
    item: dict[str, object] = {"kind": "runout", "of": of}
    item |= {"place": form["place"]} if form.get("place") else {}
    item |= {"unit": unit or "in", "counted_from": counted, "positions": list(POSITIONS)}
    read = [value.strip().replace(",", ".") or "missed" for value in values]
    return item | {"readings": read}


def dial_sheet(item: Mapping[str, object], vehicle: Vehicle, pack: Pack) -> ReadingSheet:
    """What dial readings say, by the same steps as on the command line."""
    raw = yaml.safe_dump(dict(item), sort_keys=False).encode()
    return reading_sheet(
        "-", raw, "runout", pack,
        vehicle=vehicle.type, tire=vehicle.tire, duty=vehicle.duty, wheel=vehicle.wheel,
    )  # fmt: skip


def add_reading(
    id_: str, item: Mapping[str, object], shop: Shop, at_once: bool = False
) -> CaseFile:
    """Put a reading into a case. Raises InputProblems when it does not read. at_once: whether it is
    saved when this returns."""

    def change(file: CaseFile) -> str:
        text = with_item(file.text, "readings", item, str(file.path))
        read_case_text(text, file.path, shop.pack)
        return text

    return shop.folder.change(id_, change, at_once)


def add_recording(
    id_: str, named: str, content: bytes, said: Mapping[str, str], shop: Shop
) -> CaseFile:
    """Keep a recording beside the case and name it there. The file goes again when it does not
    read, and the case is then as it was."""
    file = shop.folder.read(id_)
    path = _kept(file, named, content)
    item: dict[str, object] = {"kind": "recording", "file": str(path.relative_to(file.path.parent))}
    item |= {key: value.strip() for key, value in said.items() if value.strip()}
    try:
        return add_reading(id_, item, shop, at_once=True)
    except BaseException:
        path.unlink(missing_ok=True)
        raise


def _kept(file: CaseFile, named: str, content: bytes) -> Path:
    """Write the content under a name of our own; of the name given only the ending counts."""
    ending = Path(re.sub(r"[^\w.]", "", named)).suffix.lower()
    if ending not in ENDINGS:
        raise AdvisorError(f"a recording is a file that ends in {', '.join(ENDINGS)}")
    if not content:
        raise AdvisorError("the file is empty")
    folder = file.path.parent / FOLDER
    folder.mkdir(exist_ok=True)
    for n in range(1, MOST_FILES):
        path = folder / f"{file.id}-{n}{ending}"
        try:
            put_new(path, content)
        except NameTaken:
            continue
        return path
    raise AdvisorError("there are too many recordings beside this case already")
