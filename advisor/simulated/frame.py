"""Planted causes that do not sit at a wheel end -> sources on the frame, and shimmy."""

from __future__ import annotations

from math import radians

from advisor.model.pack import Pack, VehicleInfo
from advisor.physics.forward.frame_sources import (
    BentJoint,
    EngineShake,
    FrameMode,
    FrameSource,
    LoosePart,
    Ringing,
    ShaftImbalance,
)
from advisor.physics.forward.shimmy import Shimmy
from advisor.physics.units import KG_PER_OZ, M_PER_IN, mph_to_m_s
from advisor.simulated.planted import Planted

WHEEL_END_RINGS_HZ, RINGING_DAMPING = 65.0, 0.02  # within 45-200 Hz, from memory
FRAME_MODE_HZ, FRAME_DAMPING = 7.0, 0.04  # where the rules give no frame band; from memory
BUMPS_AT_S = (12.0, 50.0, 90.0)  # that set a loose steering off, invented
SHIMMY_STOPS_BELOW_MPH = 42.0  # assumed
SHIMMY_RAD_PER_IN = 0.006  # steer angle it settles at, per inch of lash, assumed


def frame_sources(
    planted: tuple[Planted, ...], pack: Pack, info: VehicleInfo
) -> tuple[FrameSource, ...]:
    """Sources in the order planted."""
    made: list[FrameSource] = []
    for one in planted:
        size = one.severity
        match one.cause:
            case "driveline_imbalance":
                made.append(ShaftImbalance(size * KG_PER_OZ * M_PER_IN))
            case "universal_joint":
                made.append(BentJoint(radians(size)))
            case "engine_or_mounts":
                excites = pack.causes[one.cause].excites
                made.append(EngineShake({e.order: size * e.share for e in excites}))
            case "wheel_end_ringing":
                made.append(Ringing(WHEEL_END_RINGS_HZ, RINGING_DAMPING, size))
            case "frame_or_cab_resonance":
                made.append(FrameMode(_frame_hz(info), FRAME_DAMPING, size))
            case "contact_or_loose_accessory":
                made.append(LoosePart(size))
    return tuple(made)


def shimmy_of(planted: tuple[Planted, ...], info: VehicleInfo) -> Shimmy | None:
    """Steering play makes a shimmy at the middle of the vehicle's shimmy band."""
    lash_in = max((p.severity for p in planted if p.cause == "steering_play"), default=0.0)
    if not lash_in:
        return None
    band = next((m for m in info.modes if m.mode == "shimmy"), None)
    hz = (band.low_hz + band.high_hz) / 2 if band else 6.0
    return Shimmy(hz, SHIMMY_RAD_PER_IN * lash_in, mph_to_m_s(SHIMMY_STOPS_BELOW_MPH), BUMPS_AT_S)


def _frame_hz(info: VehicleInfo) -> float:
    band = next((m for m in info.modes if m.mode == "frame-beaming"), None)
    return (band.low_hz + band.high_hz) / 2 if band else FRAME_MODE_HZ
