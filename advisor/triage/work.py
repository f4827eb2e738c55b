"""Rows and tolds over processes: pure functions of their input, so batches give what single rows
give."""

from __future__ import annotations

import signal
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from multiprocessing import Pool
from typing import Any

from advisor.model.pack import Pack
from advisor.model.stack import StackRow
from advisor.triage.glance import Glance, Glancer, Quick
from advisor.triage.rows import RowRead, RowReader
from advisor.triage.told import Told

Progress = Callable[[int], None]
ROWS_A_CHUNK, TOLDS_A_CHUNK = 500, 50
WORTH_A_PROCESS = 400  # fewer pieces than this are done before a second process is ready


@dataclass(frozen=True)
class Options:
    """How rows are read."""

    default_vehicle: str
    day_first: bool = False
    show_personal: bool = False


class Worker:
    """What one process keeps: compiled reader, tables, nothing of earlier rows."""

    def __init__(self, pack: Pack, options: Options):
        self.reader = RowReader(
            pack, options.default_vehicle, options.day_first, options.show_personal
        )
        self.glancer = Glancer(pack)

    def rows(self, rows: Sequence[StackRow]) -> list[RowRead]:
        """Rows read."""
        return [self.reader.read(row) for row in rows]

    def quick(self, tolds: Sequence[Told]) -> list[Quick]:
        """Verdict and causes of each."""
        return [self.glancer.quick(told) for told in tolds]

    def glances(self, tolds: Sequence[Told]) -> list[Glance]:
        """The glance at each."""
        return [self.glancer.at(told) for told in tolds]


_WORKER: Worker | None = None


def _start(pack: Pack, options: Options) -> None:
    global _WORKER
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the parent ends the work
    _WORKER = Worker(pack, options)


def _do(task: tuple[str, Sequence[Any]]) -> list[Any]:
    assert _WORKER is not None
    name, items = task
    return list(getattr(_WORKER, name)(items))


class Crew:
    """One or more processes; use as a context. processes: 1 works in this one."""

    def __init__(self, pack: Pack, options: Options, processes: int, pieces: int):
        self.worker = Worker(pack, options)
        self._pool: Any = None
        if processes > 1 and pieces >= WORTH_A_PROCESS:
            self._pool = Pool(processes, _start, (pack, options))

    def __enter__(self) -> Crew:
        return self

    def __exit__(self, *_: object) -> None:
        if self._pool is not None:
            self._pool.terminate()
            self._pool.join()

    def each(self, name: str, items: Sequence[Any], progress: Progress) -> Iterator[Any]:
        """Results of Worker.<name>, in the order of the items."""
        size = ROWS_A_CHUNK if name == "rows" else TOLDS_A_CHUNK
        tasks = [(name, items[n : n + size]) for n in range(0, len(items), size)]
        if self._pool is None:
            chunks: Iterator[list[Any]] = (getattr(self.worker, n)(part) for n, part in tasks)
        else:
            chunks = self._pool.imap(_do, tasks)
        for chunk in chunks:
            progress(len(chunk))
            yield from chunk
