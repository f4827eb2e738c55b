"""A recording: acceleration at the seat rail and the steering-wheel rim while a rig is driven."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from advisor.physics.forward.drive import WALKING_M_S, Drive, gps_log, road_height
from advisor.physics.forward.frame_sources import Running
from advisor.physics.forward.quarter_car import shake
from advisor.physics.forward.rig import Axle, Rig, WheelEnd
from advisor.physics.forward.steer_axle import shake_axle
from advisor.physics.forward.wheel_end import Loads, Turning
from advisor.physics.units import STANDARD_GRAVITY_M_S2

Array = NDArray[np.float64]
# Seats of random numbers, so that one more fault does not change the road under the others.
ROAD, FAULTS, FRAME, SENSOR, GPS = range(5)
ROAD_FORWARD_SHARE = 0.2  # of the road's force up that comes fore-aft, assumed


@dataclass(frozen=True)
class Recorded:
    """Accelerations in m/s2, arrays (n,): up with gravity, sideways, forward, at the seat rail;
    rim: along the steering-wheel rim. gps_time_s, gps_speed_m_s: (k,) once a second."""

    rate_hz: float
    up: Array
    sideways: Array
    forward: Array
    rim: Array
    gps_time_s: Array
    gps_speed_m_s: Array

    @property
    def time_s(self) -> Array:
        return np.arange(len(self.up)) / self.rate_hz


def record(rig: Rig, drive: Drive, seed: int) -> Recorded:
    """Drive a rig. The same arguments give the same bytes.

    Axle ends are added up linearly: each through the two-mass corner of its group into the seat
    rail, and at the steer axle through the coupled axle into sideways motion and the rim. Road
    noise comes in under every axle end. Assumed: the shares of `Axle`, both sides felt alike, no
    delay between axles.
    """
    n = len(drive.speed_m_s)
    seat = np.zeros((3, n))
    rim = np.zeros(n)
    for group in sorted(rig.axles):
        axle = rig.axles[group]
        ends = [(j, end) for j, end in enumerate(rig.ends) if end.group == group]
        loads = [_end_loads(rig, drive, end, seed, j) for j, end in ends]
        turning, sides = turning_of(ends[0][1], drive), [end.side for _, end in ends]
        seat_part, rim_part = _axle_shake(rig, axle, loads, sides, turning, drive.rate_hz)
        seat += seat_part
        rim += rim_part
    _add_shimmy(rig, drive, seat, rim)
    running = _running(rig, drive, seat[0])
    for k, source in enumerate(rig.frame):
        rng = np.random.default_rng([seed, FRAME, k])
        seat += np.outer((1.0, 0.3, 0.3), source.acceleration(running, rng))  # shares assumed
    noise = np.random.default_rng([seed, SENSOR])
    seat += rig.sensor_m_s2 * noise.normal(size=seat.shape)
    rim += rig.sensor_m_s2 * noise.normal(size=n)
    gps = gps_log(drive, np.random.default_rng([seed, GPS]))
    return Recorded(drive.rate_hz, seat[0] + STANDARD_GRAVITY_M_S2, seat[1], seat[2], rim, *gps)


def turning_of(end: WheelEnd, drive: Drive) -> Turning:
    """How a wheel end turns along a drive."""
    turn = 2 * np.pi / end.circumference_m
    return Turning(
        drive.distance_m * turn,
        drive.speed_m_s * turn,
        drive.distance_m,
        drive.run,
        drive.braking,
        drive.rate_hz,
    )


def _end_loads(rig: Rig, drive: Drive, end: WheelEnd, seed: int, index: int) -> Loads:
    """Faults and road at one axle end."""
    turning = turning_of(end, drive)
    road = road_height(drive, np.random.default_rng([seed, ROAD, index]), rig.roughness_m3)
    total = Loads.none(len(road))
    nothing = np.zeros_like(road)
    tire = rig.axles[end.group].corner.tire_n_per_m
    total += Loads(tire * road, ROAD_FORWARD_SHARE * tire * road, nothing, nothing)
    for k, fault in enumerate(end.faults):
        rng = np.random.default_rng([seed, FAULTS, index, k])
        total += fault.loads(turning, end.wheel, rng)
    return total


def _axle_shake(
    rig: Rig, axle: Axle, loads: list[Loads], sides: list[str], turning: Turning, rate_hz: float
) -> tuple[Array, Array]:
    """((3, n) at the seat rail, (n,) at the rim) of one axle group."""
    up_n = np.sum([load.up_n for load in loads], axis=0)
    forward_n = np.sum([load.forward_n for load in loads], axis=0)
    body, _ = shake(axle.corner, up_n, rate_hz)
    forward = axle.forward * forward_n / axle.corner.sprung_kg
    if axle.steer is None:
        return np.stack([axle.up * body, axle.sideways * body, forward]), np.zeros_like(body)
    moments = _moments(loads, sides, axle.steer.half_track_m)
    moved = shake_axle(axle.steer, np.column_stack([up_n, *moments]), turning.spin_rad_s, rate_hz)
    sideways = axle.sideways * axle.steer.half_track_m * moved[:, 1]
    return np.stack([axle.up * body, sideways, forward]), rig.rim_m_per_rad * moved[:, 2]


def _moments(loads: list[Loads], sides: list[str], half_track_m: float) -> tuple[Array, Array]:
    """(roll, steer) moments of both ends about the middle of the axle."""
    roll, steer = np.zeros_like(loads[0].up_n), np.zeros_like(loads[0].up_n)
    for load, side in zip(loads, sides, strict=True):
        sign = 1.0 if side == "left" else -1.0
        roll = roll + load.roll_n_m + sign * half_track_m * load.up_n
        steer = steer + sign * load.steer_n_m
    return roll, steer


def _add_shimmy(rig: Rig, drive: Drive, seat: Array, rim: Array) -> None:
    if rig.shimmy is None:
        return
    angle = rig.shimmy.steer_rad(drive.speed_m_s, drive.rate_hz)
    swing = -((2 * np.pi * rig.shimmy.hz) ** 2) * angle
    rim += rig.rim_m_per_rad * swing
    seat[1] += 0.02 * swing  # sideways share at the seat in m per rad, assumed


def _running(rig: Rig, drive: Drive, shaken: Array) -> Running:
    """Shaft and engine; the shaft turns with the first drive axle end, else the first end."""
    end = next((e for e in rig.ends if e.group == "drive"), rig.ends[0])
    wheel = turning_of(end, drive)
    shaft = rig.axle_ratio * wheel.angle_rad
    engine_hz = np.where(
        drive.engaged,
        np.maximum(rig.axle_ratio * rig.gear_ratio * wheel.spin_rad_s / (2 * np.pi), rig.idle_hz),
        rig.idle_hz,
    )
    engine = 2 * np.pi * np.cumsum(engine_hz) / drive.rate_hz
    moving = drive.speed_m_s > WALKING_M_S
    return Running(
        shaft, rig.axle_ratio * wheel.spin_rad_s, engine, drive.power, moving, shaken, drive.rate_hz
    )
