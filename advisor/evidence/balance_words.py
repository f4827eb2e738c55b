"""Lines about a mass to add: where, how far it pulls, what it is made of, where it can go."""

from __future__ import annotations

import cmath
import math

from advisor.evidence.reading_result import Said, Shop
from advisor.evidence.reading_words import force, limit, mass, mass_in, spot
from advisor.model.choose import rolling
from advisor.model.reading import ZERO_WORDS, Balance
from advisor.physics import tire as tires
from advisor.physics.balance import (
    centrifugal_force_n,
    permissible_residual_kg_m,
    quality_grade_mm_s,
    weight_strip,
    wheel_omega_rad_s,
)
from advisor.physics.placing import place
from advisor.physics.units import M_PER_IN, m_s_to_mph, mph_to_m_s

USUAL_SPEED_MPH = 65.0
USUAL_RIM_IN = 22.5
GRADE = "balance-grade-car-wheels"
HIDES = (
    "If the wheel runs out of true, a weight only hides it at one speed, and on an off-center "
    "wheel it makes the push worse. Read the runout first."
)
SIGN = "Every position below is where to ADD weight, seen from outside, clockwise from the"


def radius_m(reading: Balance, shop: Shop) -> tuple[float, bool]:
    """Radius the weights sit at, and whether it was given: else half the rim diameter."""
    if reading.weight_radius_m is not None:
        return reading.weight_radius_m, True
    size = tires.parse_size(shop.vehicle.tire) if shop.vehicle.tire else None
    return (size.rim_in if size else USUAL_RIM_IN) / 2 * M_PER_IN, False


def speed_m_s(reading: Balance, shop: Shop) -> float:
    """The speed asked about, else 65 mph or the vehicle's top speed."""
    if reading.speed_m_s:
        return reading.speed_m_s
    return mph_to_m_s(min(USUAL_SPEED_MPH, shop.pack.vehicles[shop.vehicle.type].top_speed_mph))


def omega_rad_s(reading: Balance, shop: Shop) -> float:
    """Wheel speed at that road speed."""
    return wheel_omega_rad_s(
        speed_m_s(reading, shop), rolling(shop.vehicle, shop.pack).circumference_m
    )


def say_sign(said: Said, reading: Balance) -> None:
    """The one sign convention, on every sheet."""
    said.lines.append(f"{SIGN} {ZERO_WORDS[reading.counted_from]}.")


def say_add(reading: Balance, add: complex, what: str, sd_kg: float | None = None) -> str:
    """'ADD 8.0 oz (227 g) at 4 o'clock ...'."""
    give = f" (+/- {mass(sd_kg, reading.unit)})" if sd_kg else ""
    at = spot(cmath.phase(add), ZERO_WORDS[reading.counted_from])
    return f"{what}: ADD {mass(abs(add), reading.unit)}{give} at {at}."


def say_force(said: Said, reading: Balance, kg: float, shop: Shop) -> None:
    """What the imbalance pulls at road speed, and the grade it amounts to."""
    radius, given = radius_m(reading, shop)
    omega = omega_rad_s(reading, shop)
    mph = m_s_to_mph(speed_m_s(reading, shop))
    pull = centrifugal_force_n(kg * radius, omega)
    at = "" if given else f", weights at half the rim diameter ({radius / M_PER_IN:.1f} in) assumed"
    said.lines.append(f"It pulls {force(pull)} once a turn at {mph:.0f} mph{at}.")
    said.numbers["force_n"] = round(pull, 1)
    said.numbers["force_at_mph"] = round(mph, 1)
    if reading.assembly_mass_kg is None:
        return
    figure = shop.pack.limits[GRADE]
    said.held_against(figure)
    grade = quality_grade_mm_s(kg * radius, reading.assembly_mass_kg, omega)
    may = permissible_residual_kg_m(figure.value, reading.assembly_mass_kg, omega) / radius
    said.lines.append(
        f"As a balance quality grade that is G {grade:.0f} at {mph:.0f} mph. For comparison only: "
        f"{limit(figure, shop.pack)} is what the table gives for wheels of cars, and would leave "
        f"{mass(may, reading.unit)} here."
    )
    said.numbers["grade_mm_s"] = round(grade, 1)


def say_placing(said: Said, reading: Balance, add: complex, shop: Shop) -> None:
    """The mass on two places that can be reached, and the length of the weights."""
    zero = ZERO_WORDS[reading.counted_from]
    pieces = [(cmath.phase(add), abs(add))]
    if reading.reachable_rad:
        placed = place(add, reading.reachable_rad, step=reading.weight_step_kg)
        pieces = list(placed.masses)
        said.lines.append(
            "On the places that can be reached: "
            + (
                " and ".join(
                    f"{mass(m, reading.unit)} at {spot(angle, zero)}" for angle, m in pieces
                )
                or "nothing is better than any weight"
            )
            + f"; {mass(abs(placed.residual), reading.unit)} stays."
        )
        said.numbers["placed"] = [
            {"at_deg": round(math.degrees(angle) % 360, 1), reading.unit: mass_in(m, reading.unit)}
            for angle, m in pieces
        ]
        said.numbers[f"not_reached_{reading.unit}"] = mass_in(abs(placed.residual), reading.unit)
    say_lengths(said, reading, [m for _, m in pieces], shop)


def say_lengths(said: Said, reading: Balance, kgs: list[float], shop: Shop) -> None:
    """Length of each weight along the rim, by material."""
    section = reading.cross_section_m2
    weight = shop.pack.weights.get(reading.material)
    if weight is None or not kgs:
        return
    basis = "the cross-section given"
    if section is None:
        fixing = reading.fixing or next(iter(weight.sections_mm2))
        section = weight.sections_mm2[fixing] * 1e-6
        basis = f"{fixing.replace('_', '-')}, {section * 1e6:.0f} mm2 (judgement: measure yours)"
    radius, _ = radius_m(reading, shop)
    told = []
    for kg in kgs:
        try:
            strip = weight_strip(kg, weight.density_kg_m3, section, radius)
        except ValueError:
            told.append(f"{mass(kg, reading.unit)} does not fit round the rim in one row")
            continue
        told.append(
            f"{mass(kg, reading.unit)} is {strip.length_m / M_PER_IN:.1f} in long and pulls "
            f"{strip.effect_share:.1%} of what it would in one spot"
        )
    said.lines.append(f"In {weight.name}, {basis}: {'; '.join(told)}.")
    said.beside(weight.cautions)
    said.cite([weight.source, weight.sections_source])
