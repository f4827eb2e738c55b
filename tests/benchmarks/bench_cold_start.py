"""Cold start of `advisor rank` against a Python that only imports the libraries it needs.

    python tests/benchmarks/bench_cold_start.py [--runs 7] [--case cases/k11-hop-at-25.yaml]

Wall time of a process of its own, both kinds in turn so that a busy machine slows both, best of
several. Exits with 1 when the ratio is above the budget.
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent
MOST_TIMES = 3.0
COMMAND = Path(sys.executable).with_name("advisor")  # the command as it is installed
IMPORTS = "import numpy, yaml, typer, jinja2, pydantic"


def wall(*command: str) -> float:
    """Seconds from start to end of a process; only 0 and 3 (stop finding) are good ends."""
    start = time.perf_counter()
    done = subprocess.run(command, cwd=ROOT, stdout=subprocess.DEVNULL, env=os.environ)
    if done.returncode not in (0, 3):
        raise SystemExit(f"{' '.join(command)} ended with {done.returncode}")
    return time.perf_counter() - start


def main() -> int:
    """Print both times and their ratio; 1 when the budget is missed."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--runs", type=int, default=7)
    parser.add_argument("--case", default="cases/k11-hop-at-25.yaml")
    chosen = parser.parse_args()
    bare, ours = [], []
    for _ in range(chosen.runs):
        bare.append(wall(sys.executable, "-c", IMPORTS))
        ours.append(wall(str(COMMAND), "rank", chosen.case))
    ratio = min(ours) / min(bare)
    sys.stdout.write(
        f"imports alone {min(bare) * 1e3:.0f} ms, advisor rank {min(ours) * 1e3:.0f} ms, "
        f"ratio {ratio:.2f} (at most {MOST_TIMES:g}); best of {chosen.runs}\n"
    )
    return int(ratio > MOST_TIMES)


if __name__ == "__main__":
    sys.exit(main())
