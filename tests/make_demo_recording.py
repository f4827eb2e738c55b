"""Writes cases/readings/m23-run-up.csv with the forward model: a run-up of invented unit M-23.

Run: python -m tests.make_demo_recording
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from advisor.model.case import Vehicle
from advisor.physics.forward.drive import run_up
from advisor.physics.forward.frame_sources import Running
from advisor.physics.forward.record import record
from advisor.physics.units import STANDARD_GRAVITY_M_S2, m_s_to_mph, mph_to_m_s
from advisor.rulebook.load import load_folder
from advisor.simulated.build import build
from advisor.simulated.knowledge import load_knowledge
from advisor.simulated.planted import parse_all

FILE = Path(__file__).parent.parent / "cases" / "readings" / "m23-run-up.csv"
VEHICLE = Vehicle("motorhome", tire="255/70R22.5", axle_ratio=4.30, duty="private")
CAUSES = ("out_of_round_tire@drive_left:0.05in",)
ROAD_M3 = 1e-6  # a smooth one
RATE_HZ, SECONDS, LOW_MPH, HIGH_MPH, SEED = (
    125.0,
    75.0,
    38.0,
    66.0,
    7,
)  # tires of nearly one size beat; here the house shows


@dataclass(frozen=True)
class House:
    """A house that rocks on loose hold-downs where wheel order 1 passes at 52 mph: what it adds to
    the seat is the transmissibility of one mode less one. Frequency and damping are invented."""

    natural_hz: float = 8.2
    damping_ratio: float = 0.12

    def acceleration(self, running: Running, rng: np.random.Generator) -> np.ndarray:
        shaken = running.shaken - running.shaken.mean()
        q = np.fft.rfftfreq(len(shaken), 1 / running.rate_hz) / self.natural_hz
        lift = 1 + 2j * self.damping_ratio * q
        return np.fft.irfft(np.fft.rfft(shaken) * (lift / (lift - q**2) - 1), len(shaken))


def demo_recording() -> str:
    """The file as text: time, three axes at the seat rail, road speed once a second held."""
    pack = load_folder().pack
    known = load_knowledge(pack)
    planted = parse_all(CAUSES, pack, VEHICLE, known)
    rig = replace(
        build(pack, VEHICLE, planted, SEED, known).rig, frame=(House(),), roughness_m3=ROAD_M3
    )
    drive = run_up(mph_to_m_s(LOW_MPH), mph_to_m_s(HIGH_MPH), SECONDS, RATE_HZ)
    made = record(rig, drive, SEED)
    held = np.searchsorted(made.gps_time_s, made.time_s + 1e-9) - 1
    mph = m_s_to_mph(made.gps_speed_m_s[held])
    lines = [
        "# Demo: simulated run-up of an invented motorhome, no real vehicle",
        "time_s,vertical_g,lateral_g,fore_aft_g,speed_mph",
    ]
    axes = (a / STANDARD_GRAVITY_M_S2 for a in (made.up, made.sideways, made.forward))
    rows = zip(made.time_s, *axes, mph, strict=True)
    lines += [f"{t:.3f},{u:.4f},{s:.4f},{f:.4f},{v:.1f}" for t, u, s, f, v in rows]
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    FILE.parent.mkdir(exist_ok=True)
    FILE.write_text(demo_recording(), "utf-8")
