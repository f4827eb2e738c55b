"""A plain page of headings, lists, tables and pictures inside the frame of the page."""

from __future__ import annotations

import base64
from collections.abc import Callable

from starlette.responses import Response

from advisor.model.diagnosis import Picture
from advisor.report.page import Page
from advisor.web.asked import Asked
from advisor.web.render import page


def show_page(asked: Asked, made: Page, back: str = "", status: int = 200) -> Response:
    """A Page of the reports."""
    return page(
        "sections.html.j2", asked.request, status, shop=asked.shop, made=made, back=back,
        image=image_of(asked),
    )  # fmt: skip


def image_of(asked: Asked) -> Callable[[Picture], str]:
    """A function that gives the address of a picture, which holds the picture itself."""
    return lambda picture: data_address(asked.shop.picture(picture))


def data_address(svg: str) -> str:
    """SVG text as an address: as an image it can run no script."""
    return "data:image/svg+xml;base64," + base64.b64encode(svg.encode()).decode()
