"""Numbers from the bay: dial readings on a clock face, files of readings, road recordings."""

from __future__ import annotations

from typing import Any
from urllib.parse import urlencode

from starlette.responses import Response

from advisor.compose import caution_notes
from advisor.errors import AdvisorError
from advisor.intake.checker import places_of
from advisor.intake.readings_csv import csv_document, looks_like_csv
from advisor.model.case import Vehicle
from advisor.model.reading import DIAL_PLACES, ZERO_WORDS
from advisor.reading_sheet import ReadingSheet
from advisor.web.answering import open_case
from advisor.web.asked import Asked
from advisor.web.folder import CaseFile
from advisor.web.pages_complaint import KEEP
from advisor.web.reading_in import (
    POSITIONS,
    add_reading,
    add_recording,
    dial_item,
    dial_sheet,
)
from advisor.web.render import go, page
from advisor.web.sections import image_of
from advisor.yaml_marks import decode, parse

LEAST_READ = 3
CHECK = "tread-runout"  # the inspection whose cautions hold for every dial reading at a wheel
SAID = ("place", "speed", "name", "axes", "unit", "full_scale")


def show_readings(asked: Asked) -> Response:
    """All readings of a case, and the ways to enter more."""
    return _readings(asked, asked.shop.folder.read(asked.id))


def _readings(asked: Asked, file: CaseFile, problem: str = "", status: int = 200) -> Response:
    shop = asked.shop
    case = shop.case(file)
    return page(
        "readings.html.j2", asked.request, status, shop=shop, file=file, d=shop.diagnosis(file),
        places=_places(asked, case.vehicle), problems=problem.splitlines(), image=image_of(asked),
        closed=case.confirmed is not None,
    )  # fmt: skip


def _places(asked: Asked, vehicle: Vehicle) -> list[str]:
    return [p for p in places_of(asked.shop.pack.vehicles[vehicle.type]) if "_" in p]


def show_clock(asked: Asked) -> Response:
    """The clock face."""
    return _clock(asked, asked.shop.folder.read(asked.id))


def _clock(asked: Asked, file: CaseFile, problem: str = "", status: int = 200) -> Response:
    shop = asked.shop
    case = shop.case(file)
    form = {k: asked.text(k) or asked.query(k) for k in ("of", "place", "unit", "counted_from")}
    values = _values(asked)
    return page(
        "clock.html.j2", asked.request, status, shop=shop, file=file, dials=DIAL_PLACES,
        cautions=caution_notes(shop.pack, shop.pack.inspections[CHECK].cautions),
        zeros=ZERO_WORDS, places=_places(asked, case.vehicle), positions=POSITIONS, form=form,
        values=values, problems=problem.splitlines(), **_told(asked, case.vehicle),
    )  # fmt: skip


def _values(asked: Asked) -> list[str]:
    return [asked.text(f"r{n}") for n in range(len(POSITIONS))]


def _told(asked: Asked, vehicle: Vehicle) -> dict[str, Any]:
    """What the numbers so far say, with the address of their picture."""
    values = _values(asked)
    read = sum(bool(v) for v in values)
    nothing: dict[str, Any] = {"sheet": None, "read": read, "picture": "", "wrong": ""}
    if read < LEAST_READ:
        return nothing
    try:
        sheet = _sheet(asked, vehicle)
    except AdvisorError as error:
        return {**nothing, "wrong": str(error)}
    query = {k: asked.text(k) for k in ("of", "unit", "counted_from")}
    query |= {f"r{n}": v for n, v in enumerate(values) if v}
    has_picture = any(note.pictures for note in sheet.notes)
    picture = f"/pictures/runout.svg?{urlencode(query)}" if has_picture else ""
    return {"sheet": sheet, "read": read, "picture": picture, "wrong": ""}


def _sheet(asked: Asked, vehicle: Vehicle) -> ReadingSheet:
    keys = ("of", "place", "unit", "counted_from")
    item = dial_item({k: asked.text(k) for k in keys}, _values(asked))
    return dial_sheet(item, vehicle, asked.shop.pack)


def clock_part(asked: Asked) -> Response:
    """What the numbers so far say, as a part of the page."""
    case = asked.shop.case(asked.shop.folder.read(asked.id))
    return page("parts/dial.j2", asked.request, shop=asked.shop, **_told(asked, case.vehicle))


def clock_picture(asked: Asked) -> Response:
    """The polar plot of the numbers behind the question mark."""
    values = [asked.query(f"r{n}") for n in range(len(POSITIONS))]
    item = dial_item({k: asked.query(k) for k in ("of", "unit", "counted_from")}, values)
    sheet = dial_sheet(item, Vehicle("linehaul_tractor"), asked.shop.pack)
    pictures = [p for note in sheet.notes for p in note.pictures]
    if not pictures:
        raise AdvisorError("these numbers make no picture")
    drawn = asked.shop.picture(pictures[0])
    return Response(drawn, media_type="image/svg+xml", headers=KEEP)


def take_clock(asked: Asked) -> Response:
    """Keep the dial readings in the case, or only look at them."""
    file = asked.shop.folder.read(asked.id)
    if asked.text("do") == "look":
        return _clock(asked, file)
    try:
        open_case(file, asked.shop)
        keys = ("of", "place", "unit", "counted_from")
        item = dial_item({k: asked.text(k) for k in keys}, _values(asked))
        add_reading(asked.id, item, asked.shop)
    except AdvisorError as error:
        return _clock(asked, file, str(error), 422)
    return go(f"/cases/{asked.id}/readings")


def take_file(asked: Asked) -> Response:
    """A file of dial or balance readings."""
    file = asked.shop.folder.read(asked.id)
    try:
        open_case(file, asked.shop)
        named, raw = asked.files.get("file", ("", b""))
        if not raw:
            raise AdvisorError("choose a file of readings first")
        text = decode(raw, named)
        csv = looks_like_csv(text, named)
        data = (csv_document(text, named) if csv else parse(text, named)).data
        for item in data if isinstance(data, list) else [data]:
            if not isinstance(item, dict):
                raise AdvisorError(f"{named}: a reading begins with kind: runout or kind: balance")
            add_reading(asked.id, item, asked.shop)
    except AdvisorError as error:
        return _readings(asked, asked.shop.folder.read(asked.id), str(error), 422)
    return go(f"/cases/{asked.id}/readings")


def take_recording(asked: Asked) -> Response:
    """A road recording, kept beside the case."""
    file = asked.shop.folder.read(asked.id)
    try:
        open_case(file, asked.shop)
        named, raw = asked.files.get("file", ("", b""))
        if not named:
            raise AdvisorError("choose a recording first")
        said = {key: asked.text(key) for key in SAID}
        add_recording(asked.id, named, raw, said, asked.shop)
    except AdvisorError as error:
        return _readings(asked, file, str(error), 422)
    return go(f"/cases/{asked.id}/readings")
