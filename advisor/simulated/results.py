"""What each inspection would find on the simulated vehicle."""

from __future__ import annotations

from math import hypot, pi, sqrt

import numpy as np

from advisor.evidence.network import groups_of
from advisor.model.case import InspectionDone, Vehicle
from advisor.model.pack import Inspection, Measure, Pack
from advisor.model.place import SIDES, Place
from advisor.odds import Odds
from advisor.physics.units import KG_PER_OZ, mph_to_m_s
from advisor.simulated.build import Built
from advisor.simulated.knowledge import Knowledge
from advisor.simulated.parts import EndParts
from advisor.simulated.planted import Planted
from advisor.simulated.readings import nulling_kg, total_runout_in

RESULTS = 21  # stream of random numbers
ON_VEHICLE_MPH = 50.0  # at which a wheel is balanced on the vehicle, assumed
FROM_PARTS = {"tread-runout": "tread", "rim-runout": "rim", "lateral-runout": "rim_side"}


def all_results(
    pack: Pack,
    vehicle: Vehicle,
    planted: tuple[Planted, ...],
    built: Built,
    knowledge: Knowledge,
    odds: Odds,
    seed: int,
) -> tuple[InspectionDone, ...]:
    """Every inspection this vehicle allows, at every place it is done at.

    A number follows from the parts and severities, with the reading error of the rules. Without a
    number: found where a planted cause is confirmed by the inspection, otherwise drawn from the
    rules' own odds, misses and false alarms included.
    """
    done = []
    for k, kind in enumerate(pack.inspections.values()):
        if kind.vehicles and vehicle.type not in kind.vehicles:
            continue
        for n, place in enumerate(places_for(kind, pack, vehicle)):
            rng = np.random.default_rng([seed, RESULTS, k, n])
            here = tuple(p for p in planted if _within(p.place, place))
            values = _values(kind, place, here, built, knowledge, rng)
            outcome = None
            if not values:
                sure = any(kind.id in pack.causes[p.cause].confirmed_by for p in here)
                chance = 1.0 if sure else odds.of(f"found.{kind.id}", place)
                outcome = "found" if rng.random() < chance else "clear"
            done.append(InspectionDone(kind.id, place, outcome, values))  # type: ignore[arg-type]
    return tuple(done)


def places_for(kind: Inspection, pack: Pack, vehicle: Vehicle) -> list[Place | None]:
    """Where an inspection is done: None for the vehicle, axle groups, or their sides."""
    if kind.at == "vehicle":
        return [None]
    groups = [
        g.group for g in groups_of(pack, vehicle) if not kind.groups or g.group in kind.groups
    ]
    if kind.at == "axle":
        return [Place(group) for group in groups]
    return [Place(group, side) for group in groups for side in SIDES]


def _within(planted: Place | None, place: Place | None) -> bool:
    return place is None or planted is None or place.covers(planted)


def _values(
    kind: Inspection,
    place: Place | None,
    here: tuple[Planted, ...],
    built: Built,
    knowledge: Knowledge,
    rng: np.random.Generator,
) -> dict[str, float]:
    """Numbers by key; empty where the rules of simulation know none."""
    made = {}
    for measure in kind.measures:
        true = _from_parts(kind, place, built)
        if true is None:
            true = _from_severities(kind, measure, here, knowledge)
        if true is not None:
            read = abs(true + measure.repeatability * rng.normal())
            made[measure.key] = round(read, 3 if measure.unit == "in" else 1)
    return made


def _from_parts(kind: Inspection, place: Place | None, built: Built) -> float | None:
    """True number of what is read off a wheel end itself."""
    if place is None or place not in built.parts:
        return None
    parts, wheel = built.parts[place], built.wheels[place.group]
    if kind.id in FROM_PARTS:
        return total_runout_in(parts, FROM_PARTS[kind.id])
    if kind.id == "bare-wheel-runout":
        bare = EndParts(wheel=parts.wheel, bend=parts.bend)
        return max(total_runout_in(bare, "rim"), total_runout_in(bare, "rim_side"))
    if kind.id == "balance-check":
        moment = hypot(abs(parts.assembly), abs(parts.medium))
        return moment / wheel.rim_radius_m / KG_PER_OZ
    if kind.id == "on-vehicle-balance":
        spin = 2 * pi * mph_to_m_s(ON_VEHICLE_MPH) / built.circumference_m
        return abs(nulling_kg(parts, wheel, spin)) / KG_PER_OZ
    return None


def _from_severities(
    kind: Inspection, measure: Measure, here: tuple[Planted, ...], knowledge: Knowledge
) -> float | None:
    """A sound reading and what the planted causes add to it, as random directions add."""
    sound = knowledge.healthy.get((kind.id, measure.key))
    if sound is None:
        return None
    total = sound**2
    for one in here:
        for shown in knowledge.severities[one.cause].shows:
            if (shown.inspection, shown.key) == (kind.id, measure.key):
                total += (one.severity * shown.per_unit) ** 2
    return sqrt(total)
