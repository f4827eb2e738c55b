"""Conversions, and the only place a conversion factor stands.

Sources: international yard and pound definitions (exact; from memory, six figures seen in a naval
SI table, Appendix B). Hz always means turns or cycles a second, never radians.
"""

from __future__ import annotations

M_PER_IN = 0.0254
M_PER_MILE = 1609.344
M_S_PER_MPH = 0.44704
KG_PER_LB = 0.45359237
KG_PER_OZ = KG_PER_LB / 16
N_PER_LBF = 4.4482216152605
STANDARD_GRAVITY_M_S2 = 9.80665


def mph_to_m_s(speed_mph: float) -> float:
    """Miles per hour to meters per second."""
    return speed_mph * M_S_PER_MPH


def m_s_to_mph(speed_m_s: float) -> float:
    """Meters per second to miles per hour."""
    return speed_m_s / M_S_PER_MPH


def kmh_to_mph(speed_kmh: float) -> float:
    """Kilometers per hour to miles per hour."""
    return speed_kmh / (M_PER_MILE / 1000)


def in_to_m(length_in: float) -> float:
    """Inches to meters."""
    return length_in * M_PER_IN


def kg_to_oz(mass_kg: float) -> float:
    """Kilograms to avoirdupois ounces."""
    return mass_kg / KG_PER_OZ


def n_to_lbf(force_n: float) -> float:
    """Newtons to pounds force."""
    return force_n / N_PER_LBF
