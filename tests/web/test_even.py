"""Workers at one address share its connections evenly."""

import asyncio
import contextlib
import socket
import threading
import time
from collections.abc import Iterator

import pytest

from advisor.web.even import EvenLoop

LONG_S = 20.0


class _Worker:
    """A loop of its own at a shared address, as a worker process has; holds its connections."""

    def __init__(self, sock: socket.socket):
        self.loop = EvenLoop()
        self.held: list[asyncio.BaseTransport] = []
        self._thread = threading.Thread(target=self.loop.run_forever)
        self._thread.start()
        made = self.loop.create_server(lambda: _Holds(self.held), sock=sock.dup(), backlog=100)
        self._server = asyncio.run_coroutine_threadsafe(made, self.loop).result(LONG_S)

    def hang_up(self) -> None:
        self.loop.call_soon_threadsafe(lambda: [one.close() for one in self.held])
        _until(lambda: not self.held)

    def end(self) -> None:
        self.hang_up()
        self.loop.call_soon_threadsafe(self._server.close)
        self.loop.call_soon_threadsafe(self.loop.stop)
        self._thread.join(LONG_S)
        self.loop.close()


class _Holds(asyncio.Protocol):
    def __init__(self, held: list[asyncio.BaseTransport]):
        self.held = held

    def connection_made(self, transport: asyncio.BaseTransport) -> None:
        self.held.append(transport)
        self.transport = transport

    def connection_lost(self, exc: Exception | None) -> None:
        self.held.remove(self.transport)


@pytest.fixture
def shop() -> Iterator[tuple[list[_Worker], list[socket.socket], tuple[str, int]]]:
    with socket.socket() as sock, contextlib.ExitStack() as tablets:
        sock.bind(("127.0.0.1", 0))
        workers = [_Worker(sock), _Worker(sock)]
        clients: list[socket.socket] = []
        tablets.callback(lambda: [c.close() for c in clients])
        try:
            yield workers, clients, sock.getsockname()
        finally:
            for worker in workers:
                worker.end()


def _until(holds) -> None:
    end = time.monotonic() + LONG_S
    while not holds():
        assert time.monotonic() < end, "it did not come to that"
        time.sleep(0.002)


def _knock(shop, times: int) -> None:
    """Tablets that come one after the other."""
    workers, clients, address = shop
    for _ in range(times):
        before = sum(len(w.held) for w in workers)
        clients.append(socket.create_connection(address, LONG_S))
        _until(lambda seen=before: sum(len(w.held) for w in workers) > seen)


def test_two_tablets_go_to_two_workers(shop):
    _knock(shop, 2)
    assert [len(w.held) for w in shop[0]] == [1, 1]


def test_tablets_that_come_at_once_are_shared(shop):
    workers, clients, address = shop
    clients += [socket.create_connection(address, LONG_S) for _ in range(20)]
    _until(lambda: sum(len(w.held) for w in workers) == 20)
    assert abs(len(workers[0].held) - len(workers[1].held)) <= 4


def test_a_worker_that_lost_its_tablets_takes_the_next_ones(shop):
    workers, _, _ = shop
    _knock(shop, 10)
    workers[0].hang_up()
    _knock(shop, 4)
    assert len(workers[0].held) >= 3


def test_head_and_body_of_a_reply_are_not_held_back(shop):
    """Nagle's algorithm (RFC 896, 1984) would keep the second of two small writes until the first
    is acknowledged."""
    _knock(shop, 4)
    held = [one.get_extra_info("socket") for worker in shop[0] for one in worker.held]
    assert len(held) == 4
    assert all(one.getsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY) for one in held)
