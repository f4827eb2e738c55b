"""A measured or counted frequency against the orders of every cause."""

from __future__ import annotations

from math import exp, hypot

import numpy as np

from advisor.evidence.speed_band import modes_for, reported_band
from advisor.model.case import Frequency, SpeedRange, Vehicle
from advisor.model.choose import Rolling
from advisor.model.network import Finding, Network
from advisor.model.pack import Excitation, Pack
from advisor.physics.orders import wheel_hz_per_mph

SYMPTOM = "frequency.match"
# A line on a cause's order shows in 0.85 of its complaints; a stray line in one of ten (judgement).
LINK_MOST, LEAK = 0.85, 0.1
FIXED_MODE_LINK = 0.35


def frequency_finding(
    pack: Pack,
    vehicle: Vehicle,
    network: Network,
    roll: Rolling,
    measured: Frequency,
    speed: SpeedRange | None,
    index: int,
) -> Finding | None:
    """How well each cause's orders match one frequency, or None when no speed is known."""
    at = _speed_of(measured, speed, pack.vehicles[vehicle.type].top_speed_mph)
    if at is None:
        return None
    mph, mph_sd = at
    link = np.zeros(len(network.nodes))
    for i, node in enumerate(network.nodes):
        for excitation in pack.causes[node.cause].excites:
            found = _match(excitation, node.group, pack, vehicle, roll, measured, mph, mph_sd)
            link[i] = max(link[i], found)
    says = f"{measured.hz:.1f} Hz at {mph:.0f} mph"
    return Finding(
        SYMPTOM if index == 0 else f"{SYMPTOM}-{index + 1}",
        None,
        "present",
        link[network.state_node],
        LEAK,
        says=says,
        origin=measured.origin,
        aspect=SYMPTOM,
    )


def _speed_of(
    measured: Frequency, speed: SpeedRange | None, top_mph: float
) -> tuple[float, float] | None:
    if measured.at_mph is not None:
        return measured.at_mph, measured.mph_sd
    band = reported_band(speed, top_mph)
    if band is None:
        return None
    return (band.low_mph + band.high_mph) / 2, max(1.0, (band.high_mph - band.low_mph) / 4)


def _match(
    excitation: Excitation,
    group: str | None,
    pack: Pack,
    vehicle: Vehicle,
    roll: Rolling,
    measured: Frequency,
    mph: float,
    mph_sd: float,
) -> float:
    if excitation.force in ("any_speed", "self_excited"):
        modes = modes_for(pack, vehicle, group, excitation)
        inside = any(m.low_hz <= measured.hz <= m.high_hz for m in modes)
        return FIXED_MODE_LINK if inside else 0.0
    hz = _expected(excitation, vehicle, roll, mph)
    if hz is None or mph <= 0:
        return 0.0
    # the stated tolerance of the circumference is taken as two standard deviations
    relative = hypot(roll.tolerance_percent / 200, mph_sd / mph)
    z = (measured.hz - hz) / hypot(measured.hz_sd, relative * hz)
    return LINK_MOST * excitation.share * exp(-(z**2) / 2)


def _expected(excitation: Excitation, vehicle: Vehicle, roll: Rolling, mph: float) -> float | None:
    wheel = wheel_hz_per_mph(roll.circumference_m) * mph
    if excitation.of == "wheel":
        return excitation.order * wheel
    if excitation.of == "shaft" and vehicle.axle_ratio:
        return excitation.order * wheel * vehicle.axle_ratio
    if excitation.of == "engine" and vehicle.engine_rpm:
        return excitation.order * vehicle.engine_rpm / 60
    if excitation.of == "engine" and vehicle.axle_ratio and vehicle.gear_ratio:
        return excitation.order * wheel * vehicle.axle_ratio * vehicle.gear_ratio
    return None
