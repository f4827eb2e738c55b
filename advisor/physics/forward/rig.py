"""A vehicle put together for the forward model: corners, wheel ends with faults, frame sources."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from advisor.physics.forward.frame_sources import FrameSource
from advisor.physics.forward.quarter_car import Corner
from advisor.physics.forward.shimmy import Shimmy
from advisor.physics.forward.steer_axle import SteerAxle
from advisor.physics.forward.wheel_end import Wheel, WheelFault


@dataclass(frozen=True)
class Axle:
    """One axle group. up, sideways, forward: share of the frame's acceleration over this axle that
    reaches the seat rail in each direction (assumed). steer: the coupled axle, where it steers."""

    group: str
    corner: Corner
    up: float = 1.0
    sideways: float = 0.15
    forward: float = 0.5
    steer: SteerAxle | None = None


@dataclass(frozen=True)
class WheelEnd:
    """One end of an axle group; side: left or right; circumference_m: of this tire."""

    group: str
    side: str
    wheel: Wheel
    circumference_m: float
    faults: tuple[WheelFault, ...] = ()


@dataclass(frozen=True)
class Rig:
    """axle_ratio: shaft turns per wheel turn; gear_ratio: engine turns per shaft turn; idle_hz:
    engine when uncoupled; rim_m_per_rad: how far the steering-wheel rim (m) moves per rad of road
    wheel; the column gives way, assumed; roughness_m3: see `drive`; sensor_m_s2: its noise."""

    axles: Mapping[str, Axle]
    ends: tuple[WheelEnd, ...]
    axle_ratio: float = 3.5
    gear_ratio: float = 1.0
    idle_hz: float = 11.0
    frame: tuple[FrameSource, ...] = ()
    shimmy: Shimmy | None = None
    rim_m_per_rad: float = 0.2
    roughness_m3: float = 4e-6
    sensor_m_s2: float = 0.01
