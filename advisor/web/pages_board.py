"""The board: today's list from a stack of write-ups."""

from __future__ import annotations

from starlette.responses import HTMLResponse, Response

from advisor.errors import AdvisorError
from advisor.web import board_work
from advisor.web.asked import Asked
from advisor.web.pages_cases import SHEET_POLICY
from advisor.web.render import go, page

MOST_SHOWN = 200
LEVELS = ("stop", "soon", "none")


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
        vehicles=list(shop.pack.vehicles.values()), problems=problem.splitlines(),
    )  # fmt: skip


def take_board(asked: Asked) -> Response:
    """A stack of write-ups, or the folder's own open cases."""
    named, raw = asked.files.get("file", (board_work.FROM_CASES, b""))
    vehicle = asked.text("vehicle") or "linehaul_tractor"
    try:
        if vehicle not in asked.shop.pack.vehicles:
            raise AdvisorError(f'"{vehicle[:40]}" is not a vehicle type')
        if asked.text("do") == "file" and not raw:
            raise AdvisorError("choose a file with write-ups first")
        board_work.make(named, raw, vehicle, asked.shop)
    except AdvisorError as error:
        return _board(asked, str(error), 422)
    return go("/board")


def show_print(asked: Asked) -> Response:
    """The list to print, with a page of questions for each driver."""
    policy = {"content-security-policy": SHEET_POLICY}
    return HTMLResponse(board_work.printable(asked.shop), headers=policy)
