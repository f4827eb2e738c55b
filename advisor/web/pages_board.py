"""The board: today's list from stacks of write-ups or folders of cases."""

from __future__ import annotations

from collections.abc import Mapping

from starlette.responses import HTMLResponse, Response

from advisor.errors import AdvisorError
from advisor.intake.stack_several import CASE, EXPORTS
from advisor.model.stack import where
from advisor.web import board_work
from advisor.web.asked import MOST_FILES, Asked
from advisor.web.guard import most_bytes
from advisor.web.later import Later
from advisor.web.pages_cases import SHEET_POLICY
from advisor.web.render import go, page

MOST_SHOWN = 200
LEVELS = ("stop", "soon", "none")
COLUMNS: Mapping[str, str] = {
    "text": "the driver's words",
    "item": "the item of an inspection report",
    "unit": "the unit",
    "date": "the date",
    "vehicle": "the vehicle type",
    "tire": "the tire size",
    "batch": "the tire batch",
    "shop": "the last shop visit",
    "axle_ratio": "the axle ratio",
}


def show_board(asked: Asked) -> Response:
    """The last list, and the form for a new stack."""
    return _board(asked)


def _board(asked: Asked, problem: str = "", status: int = 200) -> Response:
    shop = asked.shop
    board = board_work.today(shop)
    level, q, again = asked.query("level"), asked.query("q"), asked.query("again") == "1"
    units = board_work.chosen(board, level, q, again) if board else []
    urgent = [row for row in board["not_vibration"] if row["level"] != "none"] if board else []
    return page(
        "board.html.j2", asked.request, status, shop=shop, board=board, units=units[:MOST_SHOWN],
        count=len(units), urgent=urgent, level=level, q=q, again=again, levels=LEVELS,
        vehicles=list(shop.pack.vehicles.values()), problems=problem.splitlines(), where=where,
        most_files=MOST_FILES, most_mb=most_bytes(asked.request.url.path) // 1_000_000,
        endings=(CASE, *EXPORTS), columns=COLUMNS,
        held={field: asked.text(f"column_{field}") for field in COLUMNS},
    )  # fmt: skip


def take_board(asked: Asked) -> Response:
    """Files of write-ups and cases, or the folder's own open cases."""
    return Later(lambda: _made(asked))


def _made(asked: Asked) -> Response:
    try:
        if asked.text("do") == "file" and not asked.every:
            raise AdvisorError("choose files with write-ups or cases first")
        vehicle = asked.text("vehicle") or board_work.DEFAULT_VEHICLE
        columns = {field: asked.text(f"column_{field}") for field in COLUMNS}
        columns = {field: heading for field, heading in columns.items() if heading}
        day_first = bool(asked.text("day_first"))
        told = board_work.told_of(vehicle, day_first, columns, asked.shop.pack)
        files = asked.every if asked.text("do") == "file" else ()
        board_work.make(files, told, asked.shop)
    except board_work.Busy as error:
        return _board(asked, str(error), 503)
    except AdvisorError as error:
        return _board(asked, str(error), 422)
    return go("/board")


def show_print(asked: Asked) -> Response:
    """The list to print, with a page of questions for each driver."""
    policy = {"content-security-policy": SHEET_POLICY}
    return HTMLResponse(board_work.printable(asked.shop), headers=policy)


def show_set_aside(asked: Asked) -> Response:
    """What could not be read, as a file."""
    headers = {"content-disposition": 'attachment; filename="set-aside.csv"'}
    return Response(board_work.set_aside(asked.shop), media_type="text/csv", headers=headers)
