"""One balance reading -> what it says. Masses read off a balancer; other methods see trial_result
and two_speed_result."""

from __future__ import annotations

import math
from collections.abc import Sequence

from advisor.evidence.balance_limits import CHECK_OF, PartBalance, parts_of, say_limits
from advisor.evidence.balance_words import (
    HIDES,
    omega_rad_s,
    radius_m,
    say_add,
    say_force,
    say_placing,
    say_sign,
)
from advisor.evidence.reading_result import Result, Said, Shop
from advisor.evidence.reading_words import degrees, limit, mass, mass_in, way, where
from advisor.evidence.trial_result import say_trials
from advisor.evidence.two_speed_result import say_two_speed
from advisor.model.choose import limit_for
from advisor.model.reading import Balance, MassReading
from advisor.physics.balance import static_and_couple
from advisor.physics.matchmount import match_mount
from advisor.physics.units import kg_to_oz
from advisor.physics.vector import UncertainVector

WORDS = {
    "assembly": "tire and wheel off the vehicle",
    "on_vehicle": "wheel end on the vehicle, hub and drum included",
    "hub_and_drum": "hub and drum without the wheel",
    "tire": "tire",
    "wheel": "bare wheel",
}
TITLES = {
    "measured": "Balance",
    "single_plane": "Balance with a trial weight",
    "four_run": "Balance by runs without phase",
    "two_plane": "Balance in two planes",
    "two_speed": "Two-speed test",
}
WHEEL_LIMITS = ("wheel-balance-steel", "wheel-balance-aluminum")
# Two readings of one assembly that differ by more: the clamping, not the wheel (judgement).
REPEAT_OZ = 2.0


def balance_result(reading: Balance, shop: Shop) -> Result:
    """What a balance reading says about this vehicle."""
    title = f"{TITLES[reading.method]}{where(reading.place)}"
    said = Said("balance", f"{title} ({reading.name})" if reading.name else title, reading.place)
    if reading.method == "two_speed":
        say_two_speed(said, reading, shop)
    elif reading.method == "measured":
        _say_measured(said, reading, shop)
    else:
        say_trials(said, reading, shop)
    return said.result()


def _say_measured(said: Said, reading: Balance, shop: Shop) -> None:
    say_sign(said, reading)
    parts = parts_of(reading, shop)
    if "on_vehicle" in parts:
        said.lines.append(HIDES)
    for part in parts.values():
        _repeats(said, reading, [m for m in reading.masses if m.of == part.of])
        _say_part(said, reading, part, shop)
    if "tire" in parts and "wheel" in parts:
        _tire_against_wheel(said, reading, parts, shop)
    if "assembly" in parts and "on_vehicle" in parts:
        _on_against_off(said, reading, parts, shop)
    main = next(
        (parts[of] for of in ("on_vehicle", "assembly", "hub_and_drum") if of in parts), None
    )
    if main is not None:
        say_force(said, reading, main.worst_kg, shop)
        if main.known:
            for plane, add in main.planes.items():
                if abs(add) > 0:
                    _plane_placing(said, reading, plane, add, shop)


def _plane_placing(said: Said, reading: Balance, plane: str, add: complex, shop: Shop) -> None:
    before = len(said.lines)
    say_placing(said, reading, add, shop)
    if plane:
        said.lines[before:] = [f"{plane.capitalize()} plane: {t}" for t in said.lines[before:]]


def _repeats(said: Said, reading: Balance, rows: Sequence[MassReading]) -> None:
    """The same thing read twice must agree."""
    for plane in dict.fromkeys(m.plane for m in rows):
        same = [m.add_kg for m in rows if m.plane == plane]
        apart = max(abs(a - b) for a in same for b in same)
        if len(same) > 1 and kg_to_oz(apart) > REPEAT_OZ:
            said.problems.append(
                f"Two readings of the {WORDS[rows[0].of]} differ by {mass(apart, reading.unit)}: "
                "the clamping is off, not the wheel. Still known: their mean, if the second was "
                "half a turn round on the machine. Measure again: centered on what centers it in "
                "use, clamped clean."
            )


def _say_part(said: Said, reading: Balance, part: PartBalance, shop: Shop) -> None:
    """What one part asks for, against its limits."""
    name = WORDS[part.of].capitalize()
    for plane, add in part.planes.items():
        at_plane = f"{name}, {plane} plane" if plane else name
        if part.known:
            said.lines.append(say_add(reading, add, at_plane, part.sd_kg))
        else:
            said.lines.append(f"{at_plane}: {mass(abs(add), reading.unit)}, position not given.")
    said.numbers[part.of] = {
        f"worst_{reading.unit}": mass_in(part.worst_kg, reading.unit),
        **({f"static_{reading.unit}": mass_in(abs(part.static), reading.unit),
            "static_at_deg": degrees(math.atan2(part.static.imag, part.static.real))}
           if part.known else {}),
    }  # fmt: skip
    if part.known and len(part.planes) == 2:
        _static_and_couple(said, reading, part, shop)
    if part.of in CHECK_OF:
        say_limits(said, reading, part, CHECK_OF[part.of], shop)
    elif part.of == "wheel":
        held = limit_for(WHEEL_LIMITS, shop.pack, shop.vehicle, reading.place)
        if held:
            over = "over" if kg_to_oz(part.worst_kg) > held.value else "within"
            said.held_against(held)
            said.lines.append(f"Bare wheel against {limit(held, shop.pack)}: {over}.")


def _static_and_couple(said: Said, reading: Balance, part: PartBalance, shop: Shop) -> None:
    """Static hops, couple wobbles."""
    split = static_and_couple(part.planes["outer"], part.planes["inner"])
    text = (
        f"Static part {mass(abs(split.static_kg_m), reading.unit)} (hop); couple "
        f"{mass(abs(split.couple_kg_m), reading.unit)} in each plane, opposed (wobble)"
    )
    if reading.plane_distance_m:
        radius, _ = radius_m(reading, shop)
        scaled = static_and_couple(part.planes["outer"] * radius, part.planes["inner"] * radius)
        moment = scaled.moment_n_m(reading.plane_distance_m, omega_rad_s(reading, shop))
        text += f", a moment of {moment:.0f} N m at speed"
        said.numbers["couple_moment_n_m"] = round(moment, 1)
    said.lines.append(f"{text}.")


def _tire_against_wheel(
    said: Said, reading: Balance, parts: dict[str, PartBalance], shop: Shop
) -> None:
    """Tire and wheel as vectors: their sum, and the turn that makes it least."""
    tire, wheel = parts["tire"], parts["wheel"]
    if not (tire.known and wheel.known):
        said.lines.append("Tire and wheel can be added up only with both positions.")
        return
    total = tire.static + wheel.static
    said.lines.append(say_add(reading, total, "Tire and wheel added up as vectors"))
    best = match_mount(
        UncertainVector.with_sd(wheel.static, wheel.sd_kg),
        UncertainVector.with_sd(tire.static, tire.sd_kg),
    )
    said.lines.append(
        f"Turning the tire on the wheel {way(best.turn_rad)} leaves "
        f"{mass(best.residual_m, reading.unit)} of {mass(best.now_m, reading.unit)}; half a turn "
        f"at best {mass(best.half_turn_m, reading.unit)}."
    )
    said.numbers["tire_on_wheel"] = {
        "turn_deg": round(math.degrees(best.turn_rad), 1),
        f"left_{reading.unit}": mass_in(best.residual_m, reading.unit),
    }
    said.beside(shop.pack.inspections["reindex-tire"].cautions)
    if "assembly" not in parts:
        sd = math.hypot(tire.sd_kg, wheel.sd_kg)
        summed = PartBalance("assembly", {"": total}, True, sd)
        said.numbers["assembly"] = {}
        say_limits(said, reading, summed, "balance-check", shop)


def _on_against_off(
    said: Said, reading: Balance, parts: dict[str, PartBalance], shop: Shop
) -> None:
    """What is asked for on the vehicle less what is asked for off it belongs to hub and drum."""
    on, off = parts["on_vehicle"], parts["assembly"]
    if not (on.known and off.known):
        return
    rest = on.static - off.static
    sd = math.hypot(on.sd_kg, off.sd_kg)
    said.lines.append(
        f"On the vehicle less off it: {mass(abs(rest), reading.unit)} (+/- "
        f"{mass(sd, reading.unit)}) belongs to hub, drum and mounting."
    )
    said.numbers[f"hub_and_drum_{reading.unit}"] = mass_in(abs(rest), reading.unit)
