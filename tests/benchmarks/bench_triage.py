"""Triage end to end: seconds, CPU seconds and memory for 10,000 and 100,000 rows, and their ratio.

python -m tests.benchmarks.bench_triage            # 10,000 and 100,000 rows, two processes
python -m tests.benchmarks.bench_triage 2000 20000
"""

from __future__ import annotations

import json
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from tests.triage.invented import stack_lines

ROWS = (10_000, 100_000)
PROCESSES = 2
WORKER = """
import resource, sys
from advisor.cli.main import run
try:
    run()
except SystemExit:
    pass
own, children = (resource.getrusage(w) for w in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))
sys.stderr.write(f"MEASURED {own.ru_maxrss} {children.ru_maxrss}")
"""


def measured(rows: int, folder: Path) -> dict[str, float]:
    """One run of the command on invented rows, through a file and into a file."""
    source, board = folder / f"stack-{rows}.csv", folder / f"board-{rows}.csv"
    source.write_text("\n".join(stack_lines(rows)), encoding="utf-8")
    command = [sys.executable, "-c", WORKER, "triage", str(source), "-o", str(board)]
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    start = time.perf_counter()
    done = subprocess.run(
        [*command, "--processes", str(PROCESSES)], capture_output=True, text=True, check=True
    )
    wall = time.perf_counter() - start
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    own, child = map(int, done.stderr.rpartition("MEASURED ")[2].split())
    cpu = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return {
        "rows": rows,
        "listed": sum(1 for _ in board.open(encoding="utf-8")) - 1,
        "wall_s": round(wall, 1),
        "cpu_s": round(cpu, 1),
        "memory_mb_at_most": round((own + PROCESSES * child) / 1024),
    }


def main() -> None:
    """Print one JSON line a run, then the ratio of the CPU seconds."""
    sizes = [int(a) for a in sys.argv[1:]] or list(ROWS)
    with tempfile.TemporaryDirectory() as folder:
        runs = [measured(rows, Path(folder)) for rows in sizes]
    for run in runs:
        sys.stdout.write(json.dumps(run) + "\n")
    ratio = runs[-1]["cpu_s"] / runs[0]["cpu_s"]
    sys.stdout.write(f"{runs[-1]['rows']:g} rows cost {ratio:.1f} times {runs[0]['rows']:g}\n")


if __name__ == "__main__":
    main()
