"""Worker processes: they share new connections evenly, and none outlives the one that began it."""

from __future__ import annotations

import asyncio
import multiprocessing
import os
import signal
import socket
import sys
import threading
from typing import Any


class EvenLoop(asyncio.SelectorEventLoop):
    """Gives every worker a queue of its own at the shared address, among which the system deals out
    connections. On one queue the first worker to wake takes all tablets that come at once, and
    keeps them."""

    async def create_server(self, *given: Any, **more: Any) -> Any:
        """As asyncio's."""
        if more.get("sock") is not None and sys.platform == "linux":
            more["sock"] = _own_queue(more["sock"])
        return await super().create_server(*given, **more)


def _own_queue(shared: socket.socket) -> socket.socket:
    """A socket at the same address as one that is bound and does not listen."""
    shared.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEPORT, 1)
    own = socket.socket(shared.family, shared.type)
    own.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEPORT, 1)
    own.bind(shared.getsockname())
    return own


def end_with_parent() -> None:
    """When the process that started this worker is killed, end it too: it would hold the port."""
    parent = multiprocessing.parent_process()
    if parent is None:
        return

    def wait() -> None:
        parent.join()
        os.kill(os.getpid(), signal.SIGTERM)

    threading.Thread(target=wait, daemon=True).start()
