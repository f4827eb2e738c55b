"""The same work on an existing Dask cluster: results equal to local ones, workers may be lost.

Needs the extra `cluster`. The pack travels with a worker plugin, so a worker that joins late or is
replaced has it too; a chunk whose worker dies is done again by another.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from advisor.errors import AdvisorError
from advisor.model.pack import Pack
from advisor.triage.work import ROWS_A_CHUNK, TOLDS_A_CHUNK, Options, Progress, Worker

PLUGIN = "advisor-triage"
CONNECT_WITHIN = "10s"


class ClusterCrew:
    """Stands in for Crew; use as a context. Raises AdvisorError when the cluster can't be had."""

    def __init__(self, pack: Pack, options: Options, address: str):
        try:
            from distributed import Client
        except ImportError:
            raise AdvisorError(
                "--cluster needs Dask: pip install 'vibration-advisor[cluster]'"
            ) from None
        try:
            self.client = Client(address, timeout=CONNECT_WITHIN)
        except (OSError, ValueError, TimeoutError) as error:
            reason = str(error).splitlines()[0][:120]
            raise AdvisorError(f"--cluster: no cluster answers at {address}: {reason}") from None
        self.worker = Worker(pack, options)
        self.client.register_plugin(_plugin(pack, options), name=PLUGIN)

    def __enter__(self) -> ClusterCrew:
        return self

    def __exit__(self, *_: object) -> None:
        self.client.close()

    def each(self, name: str, items: Sequence[Any], progress: Progress) -> Iterator[Any]:
        """Results of Worker.<name>, in the order of the items."""
        size = ROWS_A_CHUNK if name == "rows" else TOLDS_A_CHUNK
        parts = [items[n : n + size] for n in range(0, len(items), size)]
        futures = self.client.map(_do, [name] * len(parts), parts, pure=False, retries=3)
        for future in futures:
            chunk = future.result()
            progress(len(chunk))
            yield from chunk


def _plugin(pack: Pack, options: Options) -> Any:
    from distributed import WorkerPlugin

    class Keeper(WorkerPlugin):
        """Holds one Worker a Dask worker."""

        def setup(self, worker: Any) -> None:
            self.kept = Worker(pack, options)

    return Keeper()


def _do(name: str, items: Sequence[Any]) -> list[Any]:
    from distributed import get_worker

    keeper: Any = get_worker().plugins[PLUGIN]
    kept: Worker = keeper.kept
    return list(getattr(kept, name)(items))
