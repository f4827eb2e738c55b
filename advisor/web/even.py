"""Worker processes: they share new connections evenly, and none outlives the one that began it."""

from __future__ import annotations

import asyncio
import multiprocessing
import os
import signal
import socket
import threading
from typing import Any

EACH_S = 0.001  # the finest step of the loop's clock
MOST_HELD = 30


class EvenLoop(asyncio.SelectorEventLoop):
    """The worker with the fewest connections takes the next one. Left to themselves, the first to
    wake takes all tablets that come at once, and keeps them."""

    async def create_server(self, protocol_factory: Any, *given: Any, **more: Any) -> Any:
        """As asyncio's."""
        sock = more.get("sock")
        if sock is None:
            return await super().create_server(protocol_factory, *given, **more)
        server = await super().create_server(protocol_factory, *given, **more, start_serving=False)
        sock.listen(more.get("backlog", 100))
        _Door(self, protocol_factory, sock).open()
        return server  # closing it takes the reader of its socket away too


class _Door:
    """Connections at an address that several workers listen at. It waits the longer the more it
    has, then takes one, if nobody else did."""

    def __init__(self, loop: asyncio.AbstractEventLoop, protocol: Any, sock: socket.socket):
        self._loop, self._protocol, self._sock = loop, protocol, sock
        self._held: set[asyncio.BaseTransport] = set()
        self._tasks: set[asyncio.Task[None]] = set()

    def open(self) -> None:
        """Wait for somebody to knock."""
        if self._sock.fileno() >= 0:  # else it was closed meanwhile
            self._loop.add_reader(self._sock, self._knocked)

    def _knocked(self) -> None:
        self._loop.remove_reader(self._sock)
        self._held = {one for one in self._held if not one.is_closing()}
        self._loop.call_later(EACH_S * min(len(self._held), MOST_HELD), self._take)

    def _take(self) -> None:
        pause = 0.0
        try:
            connection, _ = self._sock.accept()
        except (BlockingIOError, InterruptedError, ConnectionAbortedError):
            pass  # another worker was first, or it is gone
        except OSError:
            pause = 1.0  # closed, or no file is left to open: not again at once
        else:
            connection.setblocking(False)
            # head and body are sent apart; held back together, the body waits for the other
            # side's delayed acknowledgment (RFC 1122, 4.2.3.2 and 4.2.3.4, 1989)
            connection.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
            task = self._loop.create_task(self._serve(connection))
            self._tasks.add(task)
            task.add_done_callback(self._tasks.discard)
        self._loop.call_later(pause, self.open)

    async def _serve(self, connection: socket.socket) -> None:
        transport, _ = await self._loop.connect_accepted_socket(self._protocol, connection)
        self._held.add(transport)


def end_with_parent() -> None:
    """When the process that started this worker is killed, end it too: it would hold the port."""
    parent = multiprocessing.parent_process()
    if parent is None:
        return

    def wait() -> None:
        parent.join()
        os.kill(os.getpid(), signal.SIGTERM)

    threading.Thread(target=wait, daemon=True).start()
