"""Unbalance as vectors: sums, forces, what may remain, static against couple, weight length.

One sign for all balancing modules: `unbalance` is the heavy side, every `add` is where mass goes.
"""

from __future__ import annotations

import math
from dataclasses import dataclass


def centrifugal_force_n(unbalance_kg_m: float, omega_rad_s: float) -> float:
    """U w^2. Source: ISO 21940-2 definition of unbalance (from memory)."""
    return unbalance_kg_m * omega_rad_s**2


def wheel_omega_rad_s(speed_m_s: float, circumference_m: float) -> float:
    """Wheel speed from road speed and rolling circumference."""
    if not circumference_m > 0:
        raise ValueError(f"circumference_m must be positive: {circumference_m}")
    return 2.0 * math.pi * speed_m_s / circumference_m


def permissible_residual_kg_m(grade_mm_s: float, mass_kg: float, omega_rad_s: float) -> float:
    """Residual unbalance a rigid rotor may keep: G m / w.

    grade_mm_s: balance quality grade, e.g. 40 for wheels of cars; omega_rad_s: highest service
    speed. Source: ISO 21940-11:2016, table 1 and its formula, quoted in secondary texts, not read.
    """
    if not (grade_mm_s > 0 and mass_kg > 0 and omega_rad_s > 0):
        raise ValueError("grade, mass and speed must be above zero")
    return grade_mm_s * 1e-3 * mass_kg / omega_rad_s


def quality_grade_mm_s(unbalance_kg_m: float, mass_kg: float, omega_rad_s: float) -> float:
    """The grade an unbalance amounts to at a speed; inverse of `permissible_residual_kg_m`."""
    if not mass_kg > 0:
        raise ValueError(f"mass_kg must be above zero: {mass_kg}")
    return unbalance_kg_m * omega_rad_s / mass_kg * 1e3


@dataclass(frozen=True)
class StaticCouple:
    """Two-plane unbalance said the other way.

    static_kg_m: sum of both planes. couple_kg_m: half their difference, acting at plane 1 and
    reversed at plane 2.
    """

    static_kg_m: complex
    couple_kg_m: complex

    def planes(self) -> tuple[complex, complex]:
        """Back to planes 1 and 2."""
        half = self.static_kg_m / 2.0
        return half + self.couple_kg_m, half - self.couple_kg_m

    def moment_n_m(self, plane_distance_m: float, omega_rad_s: float) -> float:
        """Moment of the couple: |couple| w^2 d. Source: statics (own derivation)."""
        return abs(self.couple_kg_m) * omega_rad_s**2 * plane_distance_m


def static_and_couple(plane_1_kg_m: complex, plane_2_kg_m: complex) -> StaticCouple:
    """Split a two-plane unbalance (or correction)."""
    return StaticCouple(plane_1_kg_m + plane_2_kg_m, (plane_1_kg_m - plane_2_kg_m) / 2.0)


@dataclass(frozen=True)
class WeightStrip:
    """length_m: along the flange; arc_rad: angle it covers; effect_share: its pull over that of
    the same mass in one point.
    """

    length_m: float
    arc_rad: float
    effect_share: float


def weight_strip(
    mass_kg: float, density_kg_m3: float, cross_section_m2: float, radius_m: float
) -> WeightStrip:
    """Length of a bent weight of constant section; radius to its center of section.

    A mass spread over an arc pulls sin(arc/2) / (arc/2) of what it would in one point (own
    derivation: centroid of an arc). Raises ValueError where the weight would close the circle.
    """
    if not (mass_kg >= 0 and density_kg_m3 > 0 and cross_section_m2 > 0 and radius_m > 0):
        raise ValueError("mass, density, cross-section and radius must be above zero")
    length = mass_kg / (density_kg_m3 * cross_section_m2)
    half_arc = length / radius_m / 2.0
    if half_arc >= math.pi:
        raise ValueError("a weight this thin would go right round the wheel")
    share = 1.0 if half_arc == 0 else math.sin(half_arc) / half_arc
    return WeightStrip(length, 2.0 * half_arc, share)
