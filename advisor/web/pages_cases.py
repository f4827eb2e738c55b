"""The shop's cases: find, look at, compare, close; and why a cause stands where it stands."""

from __future__ import annotations

from starlette.responses import HTMLResponse, Response

from advisor.bench.closing import closed_text
from advisor.bench.storage import ChangedMeanwhile
from advisor.errors import AdvisorError
from advisor.explain import explain
from advisor.intake.checker import places_of
from advisor.model.diagnosis import Diagnosis
from advisor.report.html import render_html
from advisor.report.why import why_page
from advisor.web.asked import Asked
from advisor.web.folder import CaseFile
from advisor.web.index import Entry
from advisor.web.render import go, page
from advisor.web.sections import show_page

MOST_LISTED = 200
STATES = ("open", "closed", "broken")
# the sheet stands alone: its style is within it, and it has no script at all
SHEET_POLICY = (
    "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; "
    "form-action 'none'; frame-ancestors 'none'"
)


def show_cases(asked: Asked) -> Response:
    """The list, with what was searched for."""
    state = asked.query("state")
    found = search(asked.shop.folder.entries(), asked.query("q"), state)
    return page(
        "cases.html.j2", asked.request, shop=asked.shop, entries=found[:MOST_LISTED],
        count=len(found), q=asked.query("q"), state=state, states=STATES,
    )  # fmt: skip


def search(entries: list[Entry], q: str, state: str) -> list[Entry]:
    """Cases that hold every word of q and are in a state."""
    wanted = q.replace("_", " ").casefold().split()
    return [
        e for e in entries if (not state or e.state == state) and all(w in e.words for w in wanted)
    ]


def show_sheet(asked: Asked) -> Response:
    """The bench sheet, to print."""
    file = asked.shop.folder.read(asked.id)
    text = render_html(asked.shop.diagnosis(file))
    return HTMLResponse(text, headers={"content-security-policy": SHEET_POLICY})


def show_why(asked: Asked) -> Response:
    """What speaks for a cause and against it."""
    shop = asked.shop
    case = shop.case(shop.folder.read(asked.id))
    told = explain(case, str(asked.request.path_params["cause"]), shop.pack)
    return show_page(asked, why_page(told), back=f"/cases/{asked.id}")


def show_compare(asked: Asked) -> Response:
    """Two cases side by side."""
    shop = asked.shop
    names = [asked.query("a"), asked.query("b")]
    entries = [e for e in shop.folder.entries() if e.state != "broken"]
    if not all(names):
        return page(
            "compare.html.j2", asked.request, shop=shop, entries=entries, names=names, pair=None
        )
    pair = [shop.diagnosis(shop.folder.read(name)) for name in names]
    closed = [shop.case(shop.folder.read(name)).confirmed for name in names]
    return page(
        "compare.html.j2", asked.request, shop=shop, entries=entries, names=names, pair=pair,
        closed=closed, both=_both(pair),
    )  # fmt: skip


def _both(pair: list[Diagnosis]) -> set[str]:
    """What is told of both."""
    return set(pair[0].answers) & set(pair[1].answers)


def show_close(asked: Asked) -> Response:
    """The closing questions."""
    return _closing(asked, asked.shop.folder.read(asked.id))


def _closing(asked: Asked, file: CaseFile, problem: str = "", status: int = 200) -> Response:
    shop = asked.shop
    case = shop.case(file)
    if case.confirmed is not None:
        return go(f"/cases/{file.id}")
    d = shop.diagnosis(file)
    held = {k: asked.text(k) for k in ("cause", "place", "by", "fixed_by", "date")}
    held["cause"] = held["cause"] or asked.query("cause")
    held["place"] = held["place"] or asked.query("place")
    held["date"] = held["date"] or shop.today
    places = [p for p in places_of(shop.pack.vehicles[case.vehicle.type]) if "_" in p]
    return page(
        "close.html.j2", asked.request, status, shop=shop, file=file, d=d, places=places,
        held=held, problems=problem.splitlines(), wheel_end=_at_wheel_end(asked),
    )  # fmt: skip


def _at_wheel_end(asked: Asked) -> set[str]:
    return {c.id for c in asked.shop.pack.causes.values() if c.at_wheel_end}


def take_close(asked: Asked) -> Response:
    """Write how the case ended."""
    folder = asked.shop.folder
    file = folder.read(asked.id)
    cause, place = asked.text("cause"), asked.text("place")
    named = f"{cause}@{place}" if place and cause in _at_wheel_end(asked) else cause
    try:
        text = closed_text(
            file.text, asked.shop.pack, [named] if cause else [], asked.text("by"),
            asked.text("fixed_by"), asked.text("date"), str(file.path),
        )  # fmt: skip
        folder.save_as_it_was(asked.id, asked.text("version"), text)
    except ChangedMeanwhile:
        text = (
            "Somebody else added to this case since you opened this form. Look at the ranking "
            "once more; if you still want to close it, press the button again."
        )
        return _closing(asked, folder.read(asked.id), text, 409)
    except AdvisorError as error:
        return _closing(asked, file, str(error), 422)
    return go(f"/cases/{asked.id}")
