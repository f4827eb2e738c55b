"""New complaint, and the answers to an open case."""

from __future__ import annotations

import re
from typing import Any

from starlette.responses import Response

from advisor.compose import marks_of
from advisor.errors import AdvisorError
from advisor.intake.checker import places_of
from advisor.intake.merge_write_up import merge_write_up
from advisor.model.case import Case, Vehicle
from advisor.model.diagnosis import Marked
from advisor.model.pack import SymptomKey
from advisor.web import case_text
from advisor.web.answering import Given, TwoAnswers, answer, open_case, speeds, speeds_said
from advisor.web.asked import Asked
from advisor.web.folder import CaseFile, NameTaken
from advisor.web.glance import glance
from advisor.web.render import go, page, wants_part
from advisor.web.shop import read_case_text

VEHICLE_FIELDS = ("type", "tire", "axle_ratio", "wheel")
FIELDS = ("write_up", "unit", "title", *VEHICLE_FIELDS)
TRIES = 200


def show_new(asked: Asked) -> Response:
    """The form, empty or begun by a link from the board."""
    return _form(asked, read=bool(asked.query("write_up")))


def start(asked: Asked) -> Response:
    """Take the form: show what was understood, or make a case of it."""
    if asked.text("do") == "read":
        return _form(asked, read=True)
    try:
        file = _made(asked)
    except AdvisorError as error:
        return _form(asked, problems=str(error).splitlines(), status=422)
    return go(f"/cases/{file.id}")


def read_part(asked: Asked) -> Response:
    """What is understood of the words typed so far, as a part of the page."""
    text, marks = _understood(asked)
    return page("parts/marked.j2", asked.request, text=text, marks=marks)


def _form(
    asked: Asked, read: bool = False, problems: list[str] | None = None, status: int = 200
) -> Response:
    text, marks = _understood(asked) if read else ("", [])
    pack = asked.shop.pack
    vehicles = list(pack.vehicles.values())
    return page(
        "new.html.j2", asked.request, status,
        shop=asked.shop, vehicles=vehicles, tires=sorted(pack.tires), text=text, marks=marks,
        problems=problems or [], read=read,
        held={k: asked.text(k) or asked.query(k) for k in FIELDS},
    )  # fmt: skip


def _understood(asked: Asked) -> tuple[str, list[Marked]]:
    case = Case("new", Vehicle("linehaul_tractor"), write_up=_words_of(asked))
    read = merge_write_up(case, asked.shop.pack)
    return read.write_up, marks_of(read)


def _words_of(asked: Asked) -> str:
    return asked.text("write_up") or asked.query("write_up")


def _made(asked: Asked) -> CaseFile:
    """A case file of the form. Raises InputProblems with all that is wrong."""
    shop, today = asked.shop, asked.shop.today
    vehicle = {key: asked.text(key) for key in VEHICLE_FIELDS}
    stem = _name(asked.text("unit"), today)
    for n in range(1, TRIES):
        id_ = stem if n == 1 else f"{stem}-{n}"
        text = case_text.new_text(
            id_, vehicle, asked.text("write_up"), asked.text("title"), asked.text("unit"), today
        )
        read_case_text(text, shop.folder.root / "new complaint", shop.pack)
        try:
            return shop.folder.create(id_, text)
        except NameTaken:
            continue
    raise AdvisorError("there are too many cases of this unit today already")


def _name(unit: str, today: str) -> str:
    """'2031-04-12-t-27' from date and unit."""
    tail = re.sub(r"[^a-z0-9]+", "-", unit.lower()).strip("-")[:40]
    return f"{today}-{tail}" if tail else f"{today}-complaint"


def show_case(asked: Asked) -> Response:
    """An open case: what to ask next, ranking and verdict; a closed one: how it ended."""
    shop = asked.shop
    file = shop.folder.read(asked.id)
    case = shop.case(file)
    if case.confirmed is not None:
        diagnosis = shop.diagnosis(file)
        return page("closed.html.j2", asked.request, shop=shop, file=file, case=case, d=diagnosis)
    return _standing(asked, file)


def _standing(asked: Asked, file: CaseFile, status: int = 200, **more: Any) -> Response:
    shop = asked.shop
    seen = glance(file, shop)
    values: dict[str, Any] = {"problems": [], "question": None, "saved": ""}
    whole = not wants_part(asked.request)
    return page(
        "case.html.j2" if whole else "parts/standing.j2", asked.request, status,
        shop=shop, g=seen, verdict_cautions=seen.cautions, speed=speeds_said(shop.case(file)),
        **{**values, **more},
    )  # fmt: skip


def show_all(asked: Asked) -> Response:
    """Everything that can be answered, with what was."""
    shop = asked.shop
    file = shop.folder.read(asked.id)
    case = open_case(file, shop)
    named = str(file.path)
    stood = {s: case_text.said(file.text, s, named) for s in shop.pack.symptoms}
    here = shop.pack.vehicles[case.vehicle.type]
    places = [p for p in places_of(here) if "_" in p]
    return page(
        "all.html.j2", asked.request, shop=shop, file=file, keys=_keys(asked), stood=stood,
        places=places,
    )  # fmt: skip


def _keys(asked: Asked) -> list[SymptomKey]:
    """Everything that can be answered, what must not wait first."""
    keys = [k for k in asked.shop.pack.keys.values() if k.key != "speed_range"]
    return sorted(keys, key=lambda k: k.key != "danger")


def take_answer(asked: Asked) -> Response:
    """One answer: yes, no, not known, or taken back."""
    symptom, state = asked.text("symptom"), asked.text("state")
    if state == "yes" and asked.text("where"):
        state = asked.text("where")
    given = Given(symptom, state, asked.text("was"))
    try:
        file = answer(asked.id, given, asked.shop)
    except TwoAnswers as error:
        return _standing(asked, asked.shop.folder.read(asked.id), 409, question=error)
    except AdvisorError as error:
        return _refused(asked, error)
    return _taken(asked, file, _words(asked, symptom, state))


def take_speeds(asked: Asked) -> Response:
    """The speeds at which it is felt."""
    low, high = asked.text("low_mph"), asked.text("high_mph")
    try:
        file = speeds(asked.id, low, high, asked.text("was"), asked.shop)
    except TwoAnswers as error:
        return _standing(asked, asked.shop.folder.read(asked.id), 409, question=error)
    except AdvisorError as error:
        return _refused(asked, error)
    return _taken(asked, file, "Speeds saved.")


def _refused(asked: Asked, error: AdvisorError) -> Response:
    file = asked.shop.folder.read(asked.id)
    return _standing(asked, file, 422, problems=str(error).splitlines())


def _taken(asked: Asked, file: CaseFile, says: str) -> Response:
    if wants_part(asked.request):
        return _standing(asked, file, saved=says)
    back = asked.text("back")
    return go(
        f"/cases/{asked.id}/all#{back}" if back in asked.shop.pack.keys else f"/cases/{asked.id}"
    )


def _words(asked: Asked, symptom: str, state: str) -> str:
    name = asked.shop.pack.symptoms[symptom].name
    said = {"skip": "not known", "": "taken back"}.get(state, state.replace("_", " "))
    return f"Saved: {name}, {said}."


def orders_picture(asked: Asked) -> Response:
    """The interference diagram of a case."""
    file = asked.shop.folder.read(asked.id)
    drawn = glance_diagram(asked, file)
    return Response(drawn, media_type="image/svg+xml", headers=KEEP)


KEEP = {"cache-control": "private, max-age=86400, immutable"}


def glance_diagram(asked: Asked, file: CaseFile) -> str:
    """SVG text; raises AdvisorError when there is nothing to draw."""
    from advisor.compose_notes import diagram
    from advisor.pipeline import assess

    assessed = assess(asked.shop.case(file), asked.shop.pack)
    return asked.shop.orders_picture(diagram(assessed))
