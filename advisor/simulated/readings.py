"""Dial and balance readings of a wheel end, from its parts: what a careful tech writes down."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import degrees, pi, radians

import numpy as np

from advisor.physics.forward.pattern import Pattern, dip_height
from advisor.physics.forward.wheel_end import Wheel
from advisor.physics.units import KG_PER_OZ, M_PER_IN, mph_to_m_s
from advisor.simulated.build import faults_of
from advisor.simulated.parts import EndParts

DIAL_STEP_IN, DIAL_SD_IN = 0.001, 0.001  # graduation; reading error of a careful hand, assumed
SCALE_SD_OZ = 0.5  # of a balancer or a nulling weight, assumed
SURFACES = ("tread", "rim", "rim_side")  # where the dial stands, as reading files name it


@dataclass(frozen=True)
class SetUp:
    """One mounting: wheel turned on hub and tire turned on wheel, degrees from the starting
    marks; remounted: the wheel came off before it."""

    wheel_turn_deg: float = 0.0
    tire_turn_deg: float = 0.0
    remounted: bool = True


# As found, the same again, wheel half a turn on, tire half a turn on: settles hub, wheel and tire.
SET_UPS = (SetUp(remounted=False), SetUp(), SetUp(180.0), SetUp(0.0, 180.0))


@dataclass(frozen=True)
class DialReading:
    """One number off the dial; set_up counts from 1; + is toward the dial; angle on the hub."""

    set_up: int
    surface: str
    wheel_turn_deg: float
    tire_turn_deg: float
    angle_deg: float
    reading_in: float


@dataclass(frozen=True)
class BalanceReading:
    """Where to ADD how much at the rim. of: assembly (tire and wheel on a balancer, speed 0) or
    on_vehicle (the weight that quiets the wheel at a road speed)."""

    of: str
    speed_mph: float
    add_oz: float
    angle_deg: float


def dial_readings(
    parts: EndParts,
    rng: np.random.Generator,
    set_ups: Sequence[SetUp] = SET_UPS,
    positions: int = 12,
) -> tuple[DialReading, ...]:
    """Readings at equal steps of the hub, surface by surface, set-up by set-up.

    A remounted wheel takes a new seat anywhere within its reach.
    """
    angle = 2 * pi * np.arange(positions) / positions
    made = []
    for number, set_up in enumerate(set_ups, start=1):
        if set_up.remounted:
            parts = reseated(parts, rng)
        for surface in SURFACES:
            if surface != "tread" and set_up.tire_turn_deg:
                continue  # turning the tire does not move the rim
            true_in = surface_height(parts, surface, angle, set_up) / M_PER_IN
            read_in = true_in - true_in[0] + DIAL_SD_IN * rng.normal(size=positions)
            for a, value in zip(angle, _rounded(read_in, DIAL_STEP_IN), strict=True):
                turns = (set_up.wheel_turn_deg, set_up.tire_turn_deg)
                made.append(DialReading(number, surface, *turns, round(degrees(a), 3), value))
    return tuple(made)


def surface_height(
    parts: EndParts, surface: str, angle_rad: np.ndarray, set_up: SetUp = SET_UPS[0]
) -> np.ndarray:
    """True height in m over the hub angle (n,): tread, rim (bead seat) or rim_side."""
    wheel_turn = radians(set_up.wheel_turn_deg)
    tire_turn = wheel_turn + radians(set_up.tire_turn_deg)
    if surface == "rim_side":
        tilt = Pattern((parts.tilt,)).height(angle_rad)
        return tilt + parts.bend.turned(wheel_turn).height(angle_rad)
    rim = Pattern((parts.hub + parts.seat,)).height(angle_rad)
    rim = rim + parts.wheel.turned(wheel_turn).height(angle_rad)
    if surface == "rim":
        return rim
    tread = rim + parts.tire.turned(tire_turn).height(angle_rad)
    for dip in parts.dips:
        sign = 1.0 if parts.bulges else -1.0
        at = angle_rad - tire_turn
        tread = tread + sign * dip.depth_m * dip_height(at, dip.center_rad, dip.share_of_turn)
    return tread


def total_runout_in(parts: EndParts, surface: str) -> float:
    """True total indicated runout over a full turn, inches."""
    angle = np.linspace(0, 2 * pi, 720, endpoint=False)
    return float(np.ptp(surface_height(parts, surface, angle))) / M_PER_IN


def reseated(parts: EndParts, rng: np.random.Generator) -> EndParts:
    """The wheel taken off and put back: a seat anywhere in its reach."""
    size = parts.seat_reach_m * float(np.sqrt(rng.random()))
    return replace(parts, seat=size * complex(np.exp(1j * rng.uniform(0, 2 * pi))))


def balance_readings(
    parts: EndParts,
    wheel: Wheel,
    circumference_m: float,
    rng: np.random.Generator,
    speeds_mph: Sequence[float] = (45.0, 65.0),
) -> tuple[BalanceReading, ...]:
    """Two spins on a balancer that centers the true bore, and one nulling weight a speed.

    A clumped medium lies elsewhere at each spin. On the vehicle the weight answers whatever lifts
    the axle once a turn, runout as well as mass.
    """
    made = []
    for _ in range(2):
        moment = parts.assembly + _moved(parts.medium, rng)
        made.append(_reading("assembly", 0.0, -moment / wheel.rim_radius_m, rng))
    for speed in speeds_mph:
        spin = 2 * pi * mph_to_m_s(speed) / circumference_m
        now = replace(parts, medium=_moved(parts.medium, rng))
        made.append(_reading("on_vehicle", speed, nulling_kg(now, wheel, spin), rng))
    return tuple(made)


def nulling_kg(parts: EndParts, wheel: Wheel, spin_rad_s: float) -> complex:
    """Mass at the rim, complex, whose pull cancels all that lifts the axle at order 1."""
    lift = sum(f.lifts(spin_rad_s, wheel).get(1.0, 0j) for f in faults_of(parts, wheel))
    return lift / (wheel.rim_radius_m * spin_rad_s**2)


def _moved(moment: complex, rng: np.random.Generator) -> complex:
    return moment * complex(np.exp(1j * rng.uniform(0, 2 * pi))) if moment else 0j


def _reading(
    of: str, speed_mph: float, add_kg: complex, rng: np.random.Generator
) -> BalanceReading:
    error = complex(*(SCALE_SD_OZ * rng.normal(size=2)))
    add_oz = add_kg / KG_PER_OZ + error
    angle_deg = round(degrees(np.angle(add_oz)) % 360.0, 1) % 360.0
    return BalanceReading(of, speed_mph, round(abs(add_oz) * 4) / 4, angle_deg)


def _rounded(values: np.ndarray, step: float) -> list[float]:
    return [round(step * round(float(v) / step), 6) + 0.0 for v in values]
