"""One request is worked on at a time; what it saves goes to the disk while the next one begins."""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from typing import TypeVar

T = TypeVar("T")
AT_THE_DISK = 3  # more requests than that never wait for it at once
Save = Callable[[], None]


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
        saves: list[Save] = []
        made = self._turn(work, saves)
        try:
            for save in saves:
                save()
        except Exception:  # somebody else was first, or the disk is full: once more, saved at once
            return self._turn(work, None)
        return made

    def _turn(self, work: Callable[[], T], saves: list[Save] | None) -> T:
        """The work with the floor taken. saves: filled with what is put off; None: nothing is."""
        with self._floor:
            self._mine.held, self._mine.saves = True, saves
            try:
                return work()
            finally:
                self._mine.held, self._mine.saves = False, None

    def last(self, save: Save, at_once: bool = False) -> None:
        """Save when the work is done and has given up the floor, which it then need not wait for
        again. The reply goes out after it. Work whose save fails is done once more from the start.

        at_once: for work that has to know whether it was saved before it goes on.
        """
        saves = getattr(self._mine, "saves", None)
        if saves is not None and not at_once:
            saves.append(save)
            return
        with self.aside():
            save()

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
