"""Replies that take long because another process works: they wait outside the turns of the page."""

from __future__ import annotations

from collections.abc import Callable

import anyio.to_thread
from starlette.responses import Response
from starlette.types import Receive, Scope, Send

WAITING = 8  # threads of this page that may wait for other processes at once


class Later(Response):
    """A reply whose work begins once the request has given back its turn, so that everybody else is
    answered meanwhile. work: makes the real reply; what it raises is told as usual."""

    def __init__(self, work: Callable[[], Response]):
        super().__init__()
        self.work = work

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Work, then reply."""
        waiting = scope["app"].state.waiting
        made = await anyio.to_thread.run_sync(self.work, limiter=waiting)
        await made(scope, receive, send)
