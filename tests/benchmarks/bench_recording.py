"""One hour of three axes at 500 Hz: time and memory of the whole command against plain numpy.

Run: python tests/benchmarks/bench_recording.py  (about a minute; writes a temporary file)
"""

from __future__ import annotations

import json
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

RATE_HZ, SECONDS, CIRCUMFERENCE_M = 500, 3600, 3.143
SAMPLES_MB = 3 * RATE_HZ * SECONDS * 8 / 2**20


def write_recording(path: str) -> dict[str, float]:
    """A run-up, a cruise and a coast-down, with a speed column of 1 Hz and 0.1 m/s noise."""
    rng = np.random.default_rng(1)
    time_s = np.arange(SECONDS * RATE_HZ) / RATE_HZ
    speed = np.interp(time_s, [0, 600, 1800, 3000, 3600], [12, 31, 29, 31, 18])
    turns = np.cumsum(speed) / RATE_HZ / CIRCUMFERENCE_M
    table = np.empty((len(time_s), 5))
    table[:, 0] = time_s
    for k, (amplitude, gravity) in enumerate([(0.1, 0), (0.05, 0), (0.3, 9.81)]):
        line = amplitude * np.cos(2 * np.pi * turns) + 0.1 * np.cos(4 * np.pi * turns)
        table[:, 1 + k] = gravity + line + 0.3 * rng.standard_normal(len(time_s))
    table[:, 4] = np.repeat(speed[::RATE_HZ] + 0.1 * rng.standard_normal(SECONDS), RATE_HZ)
    header = "time_s,ax_m_s2,ay_m_s2,az_m_s2,speed_m_s"
    np.savetxt(path, table, "%.3f,%.5f,%.5f,%.5f,%.3f", header=header, comments="")
    return {}


def peak_mb() -> float:
    """Largest memory of this process so far."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def plain(path: str) -> dict[str, float]:
    """The yardstick: numpy reads the file and does one FFT an axis."""
    start = time.perf_counter()
    table = np.loadtxt(path, delimiter=",", skiprows=1)
    for k in (1, 2, 3):
        np.fft.rfft(table[:, k])
    return {"seconds": time.perf_counter() - start}


def advisor(path: str) -> dict[str, float]:
    """Our reading and analysis, imports included; memory above that of bare numpy."""
    before_mb, start = peak_mb(), time.perf_counter()
    from advisor.intake.recording_file import read_recording
    from advisor.physics.recording_analysis import analyze_recording
    from advisor.physics.samples import Samples

    r = read_recording(path)
    samples = Samples(
        r.acceleration, r.sample_rate_hz, r.speed_time_s, r.speed_m_s, r.valid, r.vertical
    )
    orders = {f"wheel order {n}": n for n in (1, 2, 3, 4)} | {"shaft 1": 3.36, "shaft 2": 6.72}
    result = analyze_recording(samples, circumference_m=CIRCUMFERENCE_M, orders=orders)
    return {
        "seconds": time.perf_counter() - start,
        "mb": peak_mb() - before_mb,
        "order 1": result.tracks[2].averages[0].amplitude,
    }


def command(path: str) -> dict[str, float]:
    """All of `advisor recording`: rules, reading, analysis, words, and a page with pictures."""
    before_mb, start = peak_mb(), time.perf_counter()
    from advisor.intake.recording_drive import Said
    from advisor.model.case import Vehicle
    from advisor.recordings.sheet import recording_sheet
    from advisor.report.recording import render_recording
    from advisor.rulebook.load import load_folder

    vehicle = Vehicle("linehaul_tractor", tire="295/75R22.5", axle_ratio=3.36)
    sheet = recording_sheet(path, Said(), vehicle, load_folder().pack)
    page = render_recording(sheet, "html")
    return {
        "seconds": time.perf_counter() - start,
        "mb": peak_mb() - before_mb,
        "page_kb": len(page.encode()) / 1024,
    }


def in_own_process(what: str, path: str) -> dict[str, float]:
    """Run one part alone, so that the peak memory is its own."""
    done = subprocess.run(
        [sys.executable, __file__, what, path], capture_output=True, text=True, check=True
    )
    return json.loads(done.stdout)


def main() -> None:
    """Measure both and write the ratios."""
    with tempfile.TemporaryDirectory() as folder:
        path = str(Path(folder) / "hour.csv")
        in_own_process("write", path)  # a big parent would hand its peak memory to its children
        yardstick = min(in_own_process("plain", path)["seconds"] for _ in range(2))
        ours = in_own_process("advisor", path)
        whole = in_own_process("command", path)
    sys.stdout.write(
        f"numpy read + FFTs  {yardstick:.2f} s\n"
        f"read + analysis    {ours['seconds']:.2f} s, {ours['seconds'] / yardstick:.1f} times "
        f"(budget 10)\n"
        f"memory             {ours['mb']:.0f} MB, {ours['mb'] / SAMPLES_MB:.1f} times the samples "
        f"(budget 8, libraries included)\n"
        f"whole command      {whole['seconds']:.2f} s, {whole['seconds'] / yardstick:.1f} times; "
        f"{whole['mb']:.0f} MB, {whole['mb'] / SAMPLES_MB:.1f} times the samples; page "
        f"{whole['page_kb']:.0f} kB\n"
        f"order 1            {ours['order 1']:.4f} m/s2, written with 0.3000\n"
    )


if __name__ == "__main__":
    if len(sys.argv) == 3:
        parts = {"write": write_recording, "plain": plain, "advisor": advisor, "command": command}
        part = parts[sys.argv[1]]
        sys.stdout.write(json.dumps(part(sys.argv[2])))
    else:
        main()
