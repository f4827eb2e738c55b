"""The page put together: addresses, static files, and what becomes of errors."""

from __future__ import annotations

import gc
import logging
from collections.abc import Callable

import anyio
from fastapi import FastAPI
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, PlainTextResponse, Response
from starlette.staticfiles import StaticFiles
from starlette.types import ASGIApp, Scope

from advisor import __version__
from advisor.bench.storage import ChangedMeanwhile
from advisor.errors import AdvisorError
from advisor.web import (
    api,
    api_bench,
    api_triage,
    pages_bench,
    pages_board,
    pages_cases,
    pages_complaint,
    pages_drill,
    pages_readings,
)
from advisor.web.answering import TwoAnswers
from advisor.web.asked import MOST_FILES, in_turn
from advisor.web.board_work import Busy
from advisor.web.entrance import Entrance
from advisor.web.even import end_with_parent
from advisor.web.folder import NameTaken, NoSuchCase
from advisor.web.guard import Guard
from advisor.web.later import WAITING
from advisor.web.render import STATIC, page
from advisor.web.settings import Settings
from advisor.web.shop import Shop
from advisor.web.turns import Turns

log = logging.getLogger("advisor.web")
Handler = Callable[..., Response]

# address, what shows it, what takes its form
PAGES: tuple[tuple[str, Handler | None, Handler | None], ...] = (
    ("/", pages_complaint.show_new, pages_complaint.start),
    ("/read", None, pages_complaint.read_part),
    ("/cases", pages_cases.show_cases, None),
    ("/compare", pages_cases.show_compare, None),
    ("/cases/{id}", pages_complaint.show_case, None),
    ("/cases/{id}/all", pages_complaint.show_all, None),
    ("/cases/{id}/answers", None, pages_complaint.take_answer),
    ("/cases/{id}/speeds", None, pages_complaint.take_speeds),
    ("/cases/{id}/orders.svg", pages_complaint.orders_picture, None),
    ("/cases/{id}/sheet", pages_cases.show_sheet, None),
    ("/cases/{id}/why/{cause}", pages_cases.show_why, None),
    ("/cases/{id}/close", pages_cases.show_close, pages_cases.take_close),
    ("/cases/{id}/bench", pages_bench.show_bench, pages_bench.take_step),
    ("/cases/{id}/bench/why", pages_bench.show_bench_why, None),
    ("/cases/{id}/who", None, pages_bench.take_who),
    ("/cases/{id}/results", None, pages_bench.take_result),
    ("/cases/{id}/readings", pages_readings.show_readings, pages_readings.take_file),
    ("/cases/{id}/recordings", None, pages_readings.take_recording),
    ("/cases/{id}/clock", pages_readings.show_clock, pages_readings.take_clock),
    ("/cases/{id}/clock/part", None, pages_readings.clock_part),
    ("/pictures/runout.svg", pages_readings.clock_picture, None),
    ("/board", pages_board.show_board, pages_board.take_board),
    ("/board/print", pages_board.show_print, None),
    ("/board/set-aside.csv", pages_board.show_set_aside, None),
    ("/drill", pages_drill.show_drills, pages_drill.begin_drill),
    ("/drill/class", pages_drill.show_class, None),
    ("/drill/{id}", pages_drill.show_drill, pages_drill.take_drill),
)


def make_app(settings: Settings) -> ASGIApp:
    """The page for a shop's folder. Raises AdvisorError when it cannot be served so."""
    app = FastAPI(
        title="Vibration advisor",
        version=__version__,
        description="From a driver's vibration complaint to ranked causes and next inspections.",
        docs_url=None,
        redoc_url=None,
        openapi_url="/api/openapi.json",
    )
    app.state.turns = Turns()
    app.state.shop = Shop(settings, app.state.turns.last)
    app.state.waiting = anyio.CapacityLimiter(WAITING)
    for address, show, take in PAGES:
        if show is not None:
            app.add_route(address, in_turn(show), methods=["GET"], include_in_schema=False)
        if take is not None:
            app.add_route(address, in_turn(take), methods=["POST"], include_in_schema=False)
    for part in (api, api_bench, api_triage):
        app.include_router(part.router)
    app.mount("/static", KeptFiles(directory=STATIC))
    app.add_exception_handler(AdvisorError, _explained)
    app.add_exception_handler(HTTPException, _not_there)
    app.add_exception_handler(RequestValidationError, _misshapen)
    app.add_exception_handler(Exception, _unexpected)
    return Guard(Entrance(app, settings), settings)


def from_environment() -> ASGIApp:
    """The page of a worker process."""
    end_with_parent()
    app = make_app(Settings.from_environment())
    _spare_the_collector()
    return app


def _spare_the_collector() -> None:
    """Rules stay as long as the worker; looking through them for garbage would stop every tablet
    for a tenth of a second now and then. Requests leave hardly any that counting does not free."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(100_000, 20, 20)


class KeptFiles(StaticFiles):
    """Files of the package; their address changes with them, so browsers may keep them."""

    async def get_response(self, path: str, scope: Scope) -> Response:
        """The file, to be kept for long."""
        reply = await super().get_response(path, scope)
        reply.headers["cache-control"] = "public, max-age=31536000, immutable"
        return reply


async def _explained(request: Request, error: Exception) -> Response:
    status = 422
    if isinstance(error, NoSuchCase):
        status = 404
    elif isinstance(error, (NameTaken, ChangedMeanwhile, TwoAnswers)):
        status = 409
    elif isinstance(error, Busy):
        status = 503
    return _told(request, status, str(error).splitlines(), getattr(error, "problems", ()))


async def _not_there(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)
    text = {404: "There is no such page.", 405: "This address does not take that."}
    said = text.get(error.status_code, str(error.detail))
    if said.startswith("Too many files"):
        said = f"Too many files: at most {MOST_FILES} at once; advisor triage FOLDER takes more."
    return _told(request, error.status_code, [said])


async def _misshapen(request: Request, error: Exception) -> Response:
    assert isinstance(error, RequestValidationError)
    lines = [f"{'.'.join(map(str, e['loc']))}: {e['msg']}" for e in error.errors()]
    return _told(request, 422, lines)


async def _unexpected(request: Request, error: Exception) -> Response:
    log.error("%s %s failed", request.method, request.url.path, exc_info=error)
    text = "Something went wrong inside the program. What was saved before is still there."
    return _told(request, 500, [text])


def _told(request: Request, status: int, lines: list[str], problems: object = ()) -> Response:
    """An error in the form the asker reads."""
    if request.url.path.startswith("/api/"):
        return JSONResponse({"problems": api.problem_rows(lines, problems)}, status)
    if request.url.path.endswith(".svg"):
        return PlainTextResponse("\n".join(lines), status)
    return page("problem.html.j2", request, status, shop=request.app.state.shop, problems=lines)
