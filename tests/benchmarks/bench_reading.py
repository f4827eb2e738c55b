"""Write-ups read per second on one core. Run: python -m tests.benchmarks.bench_reading

Times are of the processor, so that other programs on the machine count as little as possible.
"""

from __future__ import annotations

import sys
import time

from tests.intake.write_up_scores import files, labeled, reader

ROUNDS = 10


def rate(texts: list[str]) -> float:
    """Write-ups a second, best of three."""
    best = 0.0
    for _ in range(3):
        start = time.process_time()
        for _ in range(ROUNDS):
            for text in texts:
                reader().read(text)
        best = max(best, ROUNDS * len(texts) / (time.process_time() - start))
    return best


def main() -> None:
    """Print the rates over all labeled write-ups, over the long ones, and the time to compile."""
    start = time.process_time()
    reader()
    lines = [f"compile: {time.process_time() - start:.2f} s"]
    everything = [case["text"] for name in files() for case in labeled(name)]
    for name, texts in (
        ("all", everything),
        ("long", [case["text"] for case in labeled("development_long")]),
    ):
        for text in texts:
            reader().read(text)
        mean = sum(map(len, texts)) / len(texts)
        lines.append(f"{name}: {rate(texts):.0f} a second, {mean:.0f} characters on average")
    sys.stdout.write("\n".join(lines) + "\n")


if __name__ == "__main__":
    main()
