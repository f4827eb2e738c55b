"""The board: today's list from a stack of write-ups."""

from __future__ import annotations

from starlette.responses import Response

from advisor.web.asked import Asked
from advisor.web.render import page


def show_board(asked: Asked) -> Response:
    """The last list, and the form for a new stack."""
    return page("board.html.j2", asked.request, shop=asked.shop, board=None, problems=[])


def take_board(asked: Asked) -> Response:
    """A stack of write-ups."""
    return show_board(asked)
