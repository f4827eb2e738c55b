"""What a request brings, as plain text; and work done in turn, off the loop that serves."""

from __future__ import annotations

import functools
from collections.abc import Awaitable, Callable
from dataclasses import dataclass, field
from typing import TypeVar

from starlette.datastructures import FormData, UploadFile
from starlette.requests import Request
from starlette.responses import Response

from advisor.web.shop import Shop
from advisor.web.turns import Turns

T = TypeVar("T")
LONGEST = 20_000
MOST_FILES = 1000  # in one form


@dataclass(frozen=True)
class Asked:
    """One request with its form read. files: content by field, with the name the browser gave;
    every: all files in turn, where a field may bring several."""

    request: Request
    shop: Shop
    form: FormData = field(default_factory=FormData)
    files: dict[str, tuple[str, bytes]] = field(default_factory=dict)
    every: tuple[tuple[str, bytes], ...] = ()

    def text(self, key: str) -> str:
        """One field, without blanks at its ends; empty where it is missing."""
        value = self.form.get(key, "")
        return value.strip()[:LONGEST] if isinstance(value, str) else ""

    def texts(self, key: str) -> list[str]:
        """Every value of a field that may come several times."""
        return [v.strip()[:LONGEST] for v in self.form.getlist(key) if isinstance(v, str)]

    def query(self, key: str) -> str:
        """One value behind the question mark of the address."""
        return self.request.query_params.get(key, "").strip()[:LONGEST]

    @property
    def id(self) -> str:
        """The case the address names."""
        return str(self.request.path_params.get("id", ""))


Page = Callable[[Asked], Response]


def in_turn(work: Page) -> Callable[[Request], Awaitable[Response]]:
    """A handler that reads the form, then does the work in a thread."""

    @functools.wraps(work)
    async def handle(request: Request) -> Response:
        shop = request.app.state.shop
        if request.method != "POST":
            return await done(request, work, Asked(request, shop))
        async with request.form(max_files=MOST_FILES, max_fields=2000) as form:
            files, every = {}, []
            for key, value in form.multi_items():
                if isinstance(value, UploadFile) and value.filename:
                    files[key] = (value.filename, await value.read())
                    every.append(files[key])
            return await done(request, work, Asked(request, shop, form, files, tuple(every)))

    return handle


async def done(request: Request, work: Callable[..., T], *given: object) -> T:
    """Do work in a thread, as soon as it is its turn."""
    turns: Turns = request.app.state.turns
    return await turns.take(functools.partial(work, *given))
