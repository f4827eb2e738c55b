"""One request is worked on at a time; while it waits for the disk the next one begins."""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from typing import TypeVar

T = TypeVar("T")
AT_THE_DISK = 3  # more requests than that never wait for it at once


class Turns:
    """The work is arithmetic, so that several threads at once would only slow one another down."""

    def __init__(self) -> None:
        self._pool = ThreadPoolExecutor(1 + AT_THE_DISK, thread_name_prefix="turn")
        self._floor = threading.Lock()
        self._mine = threading.local()

    async def take(self, work: Callable[[], T]) -> T:
        """What the work returns, as soon as it was its turn."""
        return await asyncio.get_running_loop().run_in_executor(self._pool, self._work, work)

    def _work(self, work: Callable[[], T]) -> T:
        with self._floor:
            self._mine.held = True
            try:
                return work()
            finally:
                self._mine.held = False

    @contextmanager
    def aside(self) -> Iterator[None]:
        """Let others have the floor meanwhile; nothing changes for work that has no turn.

        Whoever comes back waits for the floor, so no lock may be held then: the one who has the
        floor might wait for it.
        """
        if not getattr(self._mine, "held", False):
            yield
            return
        self._floor.release()
        try:
            yield
        finally:
            self._floor.acquire()
