"""Rotation orders: which frequency each turning part makes at a road speed."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, sin, sqrt

from advisor.physics.units import M_S_PER_MPH


@dataclass(frozen=True)
class Line:
    """One order as a straight line through zero: hz = slope_hz_per_mph * mph."""

    of: str
    order: float
    name: str
    slope_hz_per_mph: float

    def at(self, speed_mph: float) -> float:
        """Frequency in Hz at a road speed in mph."""
        return self.slope_hz_per_mph * speed_mph


def wheel_hz_per_mph(circumference_m: float) -> float:
    """Wheel turns a second per mph of road speed."""
    return M_S_PER_MPH / circumference_m


def road_lines(circumference_m: float, axle_ratio: float | None) -> list[Line]:
    """Wheel orders 1 to 4 and, with an axle ratio, shaft orders 1 and 2."""
    turn = wheel_hz_per_mph(circumference_m)
    lines = [Line("wheel", n, f"wheel order {n}", n * turn) for n in (1, 2, 3, 4)]
    if axle_ratio:
        lines += [Line("shaft", n, f"shaft order {n}", n * axle_ratio * turn) for n in (1, 2)]
    return lines


def engine_lines(
    circumference_m: float, axle_ratio: float, gear_ratio: float, cylinders: int
) -> list[Line]:
    """Engine orders as they follow road speed in one gear (four-stroke)."""
    turn = wheel_hz_per_mph(circumference_m) * axle_ratio * gear_ratio
    return [
        Line("engine", order, name, order * turn)
        for order, name in engine_orders(cylinders).items()
    ]


def engine_orders(cylinders: int) -> dict[float, str]:
    """Half order (one weak cylinder), order 1 and the firing order (cylinders / 2)."""
    return {
        0.5: "engine order 0.5 (one weak cylinder)",
        1.0: "engine order 1",
        cylinders / 2: f"engine firing, order {cylinders / 2:g}",
    }


def near_order(axle_ratio: float, within_percent: float = 3.0) -> tuple[int, float] | None:
    """The wheel order that shaft order 1 sits on, and by how many percent it misses, or None.

    3.08 lies 2.6 % above wheel order 3, 4.10 lies 2.5 % above order 4: a short recording cannot
    tell them apart.
    """
    nearest = round(axle_ratio)
    off_percent = (axle_ratio / nearest - 1) * 100 if nearest else 100.0
    return (nearest, off_percent) if abs(off_percent) <= within_percent else None


def joint_speed_ratio(angle_rad: float, turn_rad: float) -> float:
    """Output over input speed of one universal joint.

    Mechanical Engineer's Data Handbook, p. 72.
    """
    return cos(angle_rad) / (1 - sin(angle_rad) ** 2 * cos(turn_rad) ** 2)


def joint_peak_acceleration(angle_rad: float, speed_rad_s: float) -> float:
    """Largest angular acceleration of the output in rad/s2 at constant input speed.

    The extreme of w^2 cos(b) sin^2(b) sin(2t) / (1 - sin^2(b) cos^2(t))^2. Differentiating with
    u = cos 2t and k = sin^2(b)/(2 - sin^2(b)) gives k u^2 + u - 2k = 0, solved here exactly; the
    textbook form cos 2t = 2 sin^2(b)/(2 - sin^2(b)) is its first approximation.
    """
    if angle_rad == 0 or speed_rad_s == 0:
        return 0.0
    s2 = sin(angle_rad) ** 2
    k = s2 / (2 - s2)
    u = (-1 + sqrt(1 + 8 * k * k)) / (2 * k)
    swing = sqrt(1 - u * u)
    return speed_rad_s**2 * cos(angle_rad) * s2 * swing / (1 - s2 * (1 + u) / 2) ** 2


def paired_joint_acceleration(
    first_rad: float, second_rad: float, speed_rad_s: float, in_phase: bool = True
) -> float:
    """Small-angle residual rad/s2 of two joints: w^2 |b1^2 - b2^2| in phase, the sum out of it."""
    other = -(second_rad**2) if in_phase else second_rad**2
    return speed_rad_s**2 * abs(first_rad**2 + other)
