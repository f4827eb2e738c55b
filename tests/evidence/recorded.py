"""Synthetic recordings as Drive or as CSV text, for the tests of recordings."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from advisor.model.case import Vehicle
from advisor.model.recording import Drive
from advisor.physics.samples import Samples
from tests.physics.run_up import RunUp, run_up

AXES = ("vertical_m_s2", "lateral_m_s2", "fore_aft_m_s2")
RATIO = 3.36
TRUCK = Vehicle("linehaul_tractor", tire="295/75R22.5", axle_ratio=RATIO)


def vertical(run: RunUp, lines: dict[float, float]) -> np.ndarray:
    """Gravity, noise, and a line for each order."""
    signal = 9.81 + run.noise(0.05)
    return signal + sum((run.order(o, a) for o, a in lines.items()), np.zeros(len(signal)))


def axes_of(run: RunUp, up: np.ndarray) -> np.ndarray:
    return np.stack([up, run.noise(0.02), run.noise(0.02)])


def drive_of(run: RunUp, up: np.ndarray, **changes) -> Drive:
    """A recording with the speed log of the run."""
    samples = Samples(axes_of(run, up), run.rate_hz, run.log_s, run.log_m_s, None, 0)
    made = {"path": "run.csv", "samples": samples, "axes": AXES, "unit": "m/s2",
            "speed_from": "column"} | changes  # fmt: skip
    return Drive(**made)


def fixed_mode(run: RunUp, hz: float, rms: float, damping_ratio: float = 0.02) -> np.ndarray:
    """Noise through one mode: what rings at its own pitch whatever the speed."""
    white = run.rng.standard_normal(len(run.time_s))
    q = np.fft.rfftfreq(len(white), 1 / run.rate_hz) / hz
    rung = np.fft.irfft(np.fft.rfft(white) / (1 - q**2 + 2j * damping_ratio * q), len(white))
    return rms * rung / rung.std()


def write_csv(path: Path, run: RunUp, up: np.ndarray, *, speed: bool = True) -> Path:
    """The recording as a table with a speed column in mph, held for a second."""
    held = np.searchsorted(run.log_s, run.time_s + 1e-9) - 1
    columns = [run.time_s, *axes_of(run, up), run.log_m_s[held] / 0.44704]
    names = ["time_s", *AXES, "speed_mph"]
    count = 5 if speed else 4
    header = ",".join(names[:count])
    np.savetxt(path, np.column_stack(columns[:count]), "%.4f", ",", header=header, comments="")
    return path


def short_run(seed: int = 1, **changes) -> RunUp:
    """75 s from 40 to 70 mph at 200 samples a second."""
    return run_up(seed, **({"seconds": 75, "rate_hz": 200.0} | changes))
