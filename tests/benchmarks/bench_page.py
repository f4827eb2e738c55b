"""Load on the page: tablets that answer at once, each into a case of its own.

    python tests/benchmarks/bench_page.py [--clients 50] [--seconds 20] [--workers 2]

Needs wrk (Debian package wrk). Three runs on the loopback: hurried (each client answers three times
a second, faster than anybody taps), all at one moment once a second, and without a pause. Every
answer is checked, written to its file with fsync, and replied to with verdict, ranking and next
questions; nothing is answered from a cache, because every case differs and changes every time.
"""

from __future__ import annotations

import argparse
import os
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import time
import urllib.request
from pathlib import Path

HERE = Path(__file__).parent
SYMPTOMS = (
    "sensation.hop", "condition.braking", "trigger.rough_road_only", "felt_at.steering_wheel",
    "condition.loaded", "noise.clunk", "felt_at.seat", "changes.comes_and_goes",
)  # fmt: skip
WRITE_UPS = (
    "Shakes in the seat {low} to {high} loaded or empty.",
    "Front end hops at {low}, gone at {high}. Started after new steers.",
    "Steering wheel shakes {low}-{high}. Balanced twice no change.",
    "Vibration from {low} up, worse at {high}.",
)
VEHICLES = ("linehaul_tractor", "coach", "motorhome", "regional_tractor")


def make_cases(folder: Path, count: int) -> None:
    """Open cases that differ in vehicle, words and speeds."""
    for n in range(count):
        low = 45 + n % 17
        text = WRITE_UPS[n % 4].format(low=low, high=low + 4 + n % 5)
        vehicle = VEHICLES[n // 4 % 4]
        (folder / f"load-{n}.yaml").write_text(
            f"case: load-{n}\nunit: L-{n}\nvehicle: {{type: {vehicle}, tire: 295/75R22.5}}\n"
            f"write_up: {text}\n"
        )


def free_port() -> int:
    """A port nobody listens on."""
    with socket.socket() as s:
        s.bind(("127.0.0.1", 0))
        return int(s.getsockname()[1])


def wait_for(port: int, workers: int) -> None:
    """Until the page answers; a few more requests warm up every worker."""
    for _ in range(300):
        try:
            for n in range(8 * workers):
                urllib.request.urlopen(f"http://127.0.0.1:{port}/cases/load-{n}").read()
            return
        except OSError:
            time.sleep(0.1)
    raise SystemExit("the page did not start")


def run(
    port: int, clients: int, seconds: int, cases: int, least: int, most: int
) -> dict[str, float]:
    """One run of the load tool."""
    env = os.environ | {
        "CASES": str(cases), "SYMPTOMS": " ".join(SYMPTOMS),
        "LEAST_MS": str(least), "MOST_MS": str(most),
    }  # fmt: skip
    command = ["wrk", "-t1", f"-c{clients}", f"-d{seconds}s", "--timeout", "20s"]
    command += ["-s", str(HERE / "page_load.lua"), f"http://127.0.0.1:{port}"]
    told = subprocess.run(command, env=env, capture_output=True, text=True, timeout=seconds + 60)
    line = next((x for x in told.stdout.splitlines() if x.startswith("RESULT")), None)
    if line is None:
        raise SystemExit(told.stdout + told.stderr)
    pairs = (item.split("=") for item in line.split()[1:])
    return {name: float(value) for name, value in pairs}


def main() -> int:
    """Start the page, load it, print what was measured; 1 when a bound is missed."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--clients", type=int, default=50)
    parser.add_argument("--seconds", type=int, default=20)
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--bound-ms", type=float, default=150.0)
    asked = parser.parse_args()
    if shutil.which("wrk") is None:
        raise SystemExit("this needs wrk: apt-get install wrk")
    port, cases = free_port(), 4 * asked.clients
    with tempfile.TemporaryDirectory() as name:
        make_cases(Path(name), cases)
        command = [sys.executable, "-m", "advisor", "serve", "--port", str(port)]
        command += ["--cases", name, "--workers", str(asked.workers)]
        page = subprocess.Popen(command, stdout=subprocess.DEVNULL)
        try:
            wait_for(port, asked.workers)
            paced = run(port, asked.clients, asked.seconds, cases, 200, 400)
            make_cases(Path(name), cases)
            bursts = run(port, asked.clients, asked.seconds // 2, cases, 1000, 1)
            make_cases(Path(name), cases)
            flat_out = run(port, asked.clients, asked.seconds // 2, cases, 0, 0)
        finally:
            page.send_signal(signal.SIGTERM)
            page.wait(20)
    runs = {"hurried": paced, "all at once, each second": bursts, "without pause": flat_out}
    for title, got in runs.items():
        rate = got["requests"] / got["seconds"]
        sys.stdout.write(
            f"{title}: {asked.clients} clients, {got['requests']:.0f} answers, "
            f"{rate:.1f} a second; "
            f"p50 {got['p50']:.0f} ms, p95 {got['p95']:.0f} ms, p99 {got['p99']:.0f} ms, "
            f"max {got['max']:.0f} ms; wrong {got['wrong']:.0f}, broken {got['broken']:.0f}\n"
        )
    failed = sum(got["wrong"] + got["broken"] for got in runs.values())
    return int(failed > 0 or paced["p95"] > asked.bound_ms)


if __name__ == "__main__":
    sys.exit(main())
