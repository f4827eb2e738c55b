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
LOOK_EVERY_S = 0.5


def memory_kb(pid: int) -> int:
    """Memory of a process and its children; pages they share count once (Linux: Pss)."""
    total = 0
    for one in [pid, *children(pid)]:
        try:
            rollup = Path(f"/proc/{one}/smaps_rollup").read_text()
        except OSError:
            continue
        total += sum(int(x.split()[1]) for x in rollup.splitlines() if x.startswith("Pss:"))
    return total


def children(pid: int) -> list[int]:
    """Processes started by a process."""
    found: list[int] = []
    for task in Path(f"/proc/{pid}/task").glob("*/children"):
        try:
            found += map(int, task.read_text().split())
        except OSError:
            continue
    return found


def measured(rows: int, folder: Path) -> dict[str, float]:
    """One run of the command on invented rows, through a file and into a file."""
    source, board = folder / f"stack-{rows}.csv", folder / f"board-{rows}.csv"
    source.write_text("\n".join(stack_lines(rows)), encoding="utf-8")
    command = [sys.executable, "-m", "advisor", "triage", str(source), "-o", str(board)]
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    start = time.perf_counter()
    process = subprocess.Popen([*command, "--processes", str(PROCESSES)])
    most = 0
    while process.poll() is None:
        most = max(most, memory_kb(process.pid))
        time.sleep(LOOK_EVERY_S)
    wall = time.perf_counter() - start
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    if process.returncode not in (0, 3):
        raise SystemExit(f"advisor triage ended with {process.returncode}")
    cpu = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    with board.open(encoding="utf-8") as lines:
        listed = sum(1 for _ in lines) - 1
    return {
        "rows": rows,
        "listed": listed,
        "wall_s": round(wall, 1),
        "cpu_s": round(cpu, 1),
        "memory_mb": round(most / 1024),
    }


def main() -> None:
    """Print one JSON line a run, then the ratio of CPU seconds (neighbors slow the wall clock)."""
    sizes = [int(a) for a in sys.argv[1:]] or list(ROWS)
    with tempfile.TemporaryDirectory() as folder:
        runs = [measured(rows, Path(folder)) for rows in sizes]
    for run in runs:
        sys.stdout.write(json.dumps(run) + "\n")
    ratio = runs[-1]["cpu_s"] / runs[0]["cpu_s"]
    sys.stdout.write(f"{runs[-1]['rows']:g} rows cost {ratio:.1f} times {runs[0]['rows']:g}\n")


if __name__ == "__main__":
    main()
