"""Steady vibration over road speed, straight from the complex responses: no time, no noise."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from advisor.physics.forward.quarter_car import frame_acceleration
from advisor.physics.forward.rig import Rig, WheelEnd

Array = NDArray[np.float64]


def end_amplitudes(rig: Rig, end: WheelEnd, speeds_m_s: Array) -> dict[float, Array]:
    """Peak acceleration up in m/s2 of the frame over the axle, by wheel order, at each speed (k,).

    Faults of one end add with their angles; those that do not repeat with the turn give nothing.
    """
    corner = rig.axles[end.group].corner
    totals: dict[float, Array] = {}
    for k, speed in enumerate(speeds_m_s):
        turn_hz = speed / end.circumference_m
        lifts: dict[float, complex] = {}
        for fault in end.faults:
            for order, force in fault.lifts(2 * np.pi * turn_hz, end.wheel).items():
                lifts[order] = lifts.get(order, 0j) + force
        for order, force in lifts.items():
            row = totals.setdefault(order, np.zeros(len(speeds_m_s)))
            row[k] = abs(complex(frame_acceleration(corner, order * turn_hz, force)))
    return totals


def seat_rms(rig: Rig, speeds_m_s: Array) -> Array:
    """Acceleration up at the seat rail in m/s2 rms from all wheel ends, (k,), phases at random."""
    energy = np.zeros(len(speeds_m_s))
    for end in rig.ends:
        share = rig.axles[end.group].up
        for row in end_amplitudes(rig, end, speeds_m_s).values():
            energy += (share * row) ** 2 / 2
    return np.sqrt(energy)
