"""The reported speeds against where each cause's orders meet the vehicle's mode bands."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from advisor.model.case import SpeedRange, Vehicle
from advisor.model.choose import Rolling
from advisor.model.network import Array, Finding, Network
from advisor.model.pack import Cause, Excitation, ModeBand, Pack
from advisor.physics.orders import wheel_hz_per_mph
from advisor.physics.response import Band, band_agreement, felt_over_speed

SYMPTOM = "speed.band"
LOWEST_MPH = 10.0
# What the comparison may say at most: a perfect fit shows in 0.7 of such complaints, none at all
# in 0.1, and one reported band in ten means nothing (judgement).
LINK_LEAST, LINK_MOST, LEAK, NEUTRAL = 0.1, 0.7, 0.1, 0.3
WHEEL_MODES = ("hop", "tramp", "tandem_pitch", "frame", "beaming", "nibble", "shimmy")


@dataclass(frozen=True)
class Reported:
    """The band of speeds a report stands for, in mph; open ends filled in."""

    low_mph: float
    high_mph: float


def reported_band(speed: SpeedRange | None, top_mph: float) -> Reported | None:
    """The driver's band; an open upper end reaches the vehicle's top speed."""
    if speed is None or (speed.low_mph is None and speed.high_mph is None):
        if speed is None or speed.peak_mph is None:
            return None
        return Reported(max(LOWEST_MPH, speed.peak_mph - 5), min(top_mph, speed.peak_mph + 5))
    low = speed.low_mph if speed.low_mph is not None else LOWEST_MPH
    high = speed.high_mph if speed.high_mph is not None else max(top_mph, low + 5)
    return Reported(low, max(high, low + 1))


def band_finding(
    pack: Pack, vehicle: Vehicle, network: Network, roll: Rolling, speed: SpeedRange | None
) -> Finding | None:
    """One computed finding: how well each cause's predicted response fits the reported band."""
    top = pack.vehicles[vehicle.type].top_speed_mph
    band = reported_band(speed, top)
    if band is None:
        return None
    speeds = _speeds(float(np.floor(max(top, band.high_mph))))
    link = np.empty(len(network.nodes))
    for index, node in enumerate(network.nodes):
        cause = pack.causes[node.cause]
        fit = best_fit(cause, node.group, pack, vehicle, roll, speeds, band)
        link[index] = LINK_LEAST + (LINK_MOST - LINK_LEAST) * fit
    says = f"felt from {band.low_mph:.0f} to {band.high_mph:.0f} mph"
    return Finding(
        SYMPTOM,
        None,
        "present",
        link[network.state_node],
        LEAK,
        says=says,
        origin="computed",
        aspect="speed_pattern",
    )


def best_fit(
    cause: Cause,
    group: str | None,
    pack: Pack,
    vehicle: Vehicle,
    roll: Rolling,
    speeds: Array,
    band: Reported,
) -> float:
    """Agreement of the cause's best-fitting excitation with the band, 0 to 1."""
    fits = [
        e.share * _fit(e, group, pack, vehicle, roll, speeds, band)
        for e in cause.excites
        if not (e.of == "shaft" and vehicle.axle_ratio is None)
    ]
    return max(fits) if fits else NEUTRAL


def _fit(
    excitation: Excitation,
    group: str | None,
    pack: Pack,
    vehicle: Vehicle,
    roll: Rolling,
    speeds: Array,
    band: Reported,
) -> float:
    if excitation.force == "any_speed":
        # felt everywhere: agrees as far as the reported band covers the speeds driven
        return min(1.0, (band.high_mph - band.low_mph) / float(speeds[-1] - speeds[0]))
    if excitation.of in ("none", "engine"):
        return NEUTRAL
    slope = excitation.order * wheel_hz_per_mph(roll.circumference_m)
    if excitation.of == "shaft":
        slope *= vehicle.axle_ratio or 1.0
    modes = modes_for(pack, vehicle, group, excitation)
    bands = tuple(Band(m.low_hz, m.high_hz, m.damping_ratio) for m in modes)
    force = "constant" if excitation.force == "self_excited" else excitation.force
    return _agreement(float(speeds[-1]), slope, force, bands, band)


@lru_cache(maxsize=20_000)
def _agreement(
    top_mph: float, slope: float, force: str, bands: tuple[Band, ...], band: Reported
) -> float:
    """Agreement of one felt-over-speed curve with one reported band; many causes share it."""
    speeds = _speeds(top_mph)
    felt = _felt(top_mph, slope, force, bands)
    return band_agreement(speeds, felt, band.low_mph, band.high_mph)


@lru_cache(maxsize=2_000)
def _felt(top_mph: float, slope: float, force: str, bands: tuple[Band, ...]) -> Array:
    return felt_over_speed(_speeds(top_mph), slope, force, list(bands))


def _speeds(top_mph: float) -> Array:
    return np.arange(LOWEST_MPH, top_mph + 0.5, 1.0)


def modes_for(
    pack: Pack, vehicle: Vehicle, group: str | None, excitation: Excitation
) -> list[ModeBand]:
    """Mode bands an excitation can stir: those of its axle group or of the whole vehicle."""
    modes = pack.vehicles[vehicle.type].modes
    if excitation.force == "self_excited":
        return [m for m in modes if "shimmy" in m.mode] or list(modes)
    return [m for m in modes if m.low_hz >= 3 and (m.group in (None, group) or group is None)]
