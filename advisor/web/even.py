"""An event loop whose workers share new connections evenly."""

from __future__ import annotations

import asyncio
from typing import Any


class EvenLoop(asyncio.SelectorEventLoop):
    """Takes one waiting connection a turn, where asyncio takes all of them: of tablets that come at
    once the first worker to wake would get every one, and keep them."""

    async def create_server(self, *given: Any, backlog: int = 100, **more: Any) -> Any:
        """As asyncio's, with the system's queue as long as asked for."""
        server = await super().create_server(*given, backlog=1, **more)
        if more.get("sock") is not None:
            more["sock"].listen(backlog)
        return server
