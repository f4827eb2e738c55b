"""A vehicle type and its planted causes -> the rig of the forward model."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import pi

import numpy as np

from advisor.errors import AdvisorError, did_you_mean, one_of
from advisor.evidence.network import groups_of
from advisor.model.case import Vehicle
from advisor.model.choose import rolling
from advisor.model.pack import Pack, VehicleInfo
from advisor.model.place import SIDES, Place
from advisor.physics import tire as tires
from advisor.physics.forward.pattern import Pattern
from advisor.physics.forward.quarter_car import Corner
from advisor.physics.forward.rig import Axle, Rig, WheelEnd
from advisor.physics.forward.sources import Imbalance, OffCenter, OutOfRound, Swing
from advisor.physics.forward.steer_axle import SteerAxle
from advisor.physics.forward.unsteady_sources import DrumRunout, LooseFit
from advisor.physics.forward.wheel_end import Wheel, WheelFault
from advisor.physics.units import M_PER_IN
from advisor.simulated.frame import frame_sources, shimmy_of
from advisor.simulated.knowledge import AxleShare, Knowledge
from advisor.simulated.parts import EndParts, sound_parts, with_fault
from advisor.simulated.planted import Planted

PARTS = 11  # stream of random numbers
TYPICAL_AXLE_RATIO = 3.55  # where the case names none, invented
TOP_GEAR_RATIO = 0.78  # engine turns per shaft turn, invented
MASS_AT_HALF_METER_KG = (
    90.0  # tire and wheel of 0.5 m rolling radius, grows as radius cubed: assumed
)
TIRE_SPREAD = 0.002  # of rolling circumference from tire to tire, assumed


@dataclass(frozen=True)
class Built:
    """parts: by group and side; wheel: by group."""

    rig: Rig
    parts: Mapping[Place, EndParts]
    wheels: Mapping[str, Wheel]
    circumference_m: float


def build(
    pack: Pack, vehicle: Vehicle, planted: tuple[Planted, ...], seed: int, knowledge: Knowledge
) -> Built:
    """Raises AdvisorError for a vehicle type without a forward model."""
    info = model_of(pack, vehicle.type)
    circumference_m = rolling(vehicle, pack).circumference_m
    axles: dict[str, Axle] = {}
    wheels: dict[str, Wheel] = {}
    ends: list[WheelEnd] = []
    parts: dict[Place, EndParts] = {}
    worn = max((p.severity for p in planted if p.cause == "shock_or_suspension_wear"), default=0.0)
    for g, group in enumerate(groups_of(pack, vehicle)):
        share = knowledge.axles[group.group]
        wheel = _wheel(pack, vehicle, info, share, circumference_m)
        axles[group.group] = _axle(info, share, 1 - 0.95 * worn / 100)
        wheels[group.group] = wheel
        for s, side in enumerate(SIDES):
            rng = np.random.default_rng([seed, PARTS, g, s])
            place = Place(group.group, side)
            turned_m = circumference_m * (1 + TIRE_SPREAD * rng.normal())
            here = [p for p in planted if p.place and place.covers(p.place)]
            here += [p for p in planted if p.cause == "normal_condition"]
            parts[place] = _parts(here, pack, knowledge, wheel.rim_radius_m, rng)
            faults = faults_of(parts[place], wheel)
            ends.append(WheelEnd(group.group, side, wheel, turned_m, faults))
    rig = Rig(
        axles,
        tuple(ends),
        vehicle.axle_ratio or TYPICAL_AXLE_RATIO,
        vehicle.gear_ratio or TOP_GEAR_RATIO,
        frame=frame_sources(planted, pack, info),
        shimmy=shimmy_of(planted, info),
    )
    return Built(rig, parts, wheels, circumference_m)


def model_of(pack: Pack, vehicle_type: str) -> VehicleInfo:
    """The vehicle type, or an error that lists those with a forward model."""
    known = [v.id for v in pack.vehicles.values() if v.model]
    if vehicle_type not in known:
        hint = did_you_mean(vehicle_type, known)
        raise AdvisorError(
            f'--vehicle: "{vehicle_type}" has no forward model; allowed: {one_of(known)}'
            + (f"; {hint}" if hint else "")
        )
    return pack.vehicles[vehicle_type]


def faults_of(parts: EndParts, wheel: Wheel) -> tuple[WheelFault, ...]:
    """What the parts of a wheel end do while it rolls."""
    faults: list[WheelFault] = [
        OutOfRound(parts.wheel),
        OutOfRound(parts.tire),
        OffCenter(parts.hub + parts.seat, wheel.mass_kg),
        Imbalance(parts.assembly + parts.drum),
        Swing(parts.bend),
        *parts.dips,
    ]
    if parts.tilt:
        faults.append(Swing(Pattern((parts.tilt,))))
    if parts.medium:
        faults.append(Imbalance(parts.medium, wanders=True))
    if parts.loose_m:
        faults.append(LooseFit(parts.loose_m, wheel.mass_kg))
    if parts.bearing_m:
        faults.append(LooseFit(parts.bearing_m, wheel.mass_kg))
    if parts.drum_runout_m:
        faults.append(DrumRunout(parts.drum_runout_m))
    return tuple(faults)


def _parts(
    planted: list[Planted],
    pack: Pack,
    knowledge: Knowledge,
    rim_radius_m: float,
    rng: np.random.Generator,
) -> EndParts:
    parts = sound_parts(knowledge, rim_radius_m, rng)
    for one in planted:
        parts = with_fault(parts, one, pack, rim_radius_m, rng)
    return parts


def _wheel(
    pack: Pack, vehicle: Vehicle, info: VehicleInfo, share: AxleShare, circumference_m: float
) -> Wheel:
    """One tire; the trailer's model is given for the two tires of a side."""
    size = tires.parse_size(vehicle.tire or info.typical_tires[0])
    rim_radius_m = (size.rim_in if size else 22.5) * M_PER_IN / 2 + 0.006  # flange height, assumed
    radius_m = circumference_m / (2 * pi)
    tires_in_model = share.tires if info.id == "trailer" else 1
    return Wheel(
        radius_m,
        info.model["kt_n_per_m"] / tires_in_model,
        info.model["wheel_spin_inertia_kg_m2"] / tires_in_model,
        MASS_AT_HALF_METER_KG * (radius_m / 0.5) ** 3,
        rim_radius_m,
    )


def _axle(info: VehicleInfo, share: AxleShare, damping_left: float) -> Axle:
    model = dict(info.model)
    own = info.id == "trailer"  # its corner is that of its own axle already
    corner = Corner(
        model["ms_kg"] * (1 if own else share.sprung),
        model["mu_kg"] * (1 if own else share.unsprung),
        model["kt_n_per_m"] * (1 if own else share.tire),
        model["ks_n_per_m"] * (1 if own else share.spring),
        model["cs_n_s_per_m"] * (1 if own else share.damper) * damping_left,
    )
    steer = None
    if share.group == "steer" and "steer_inertia_kg_m2" in model:
        steer = SteerAxle(
            corner.unsprung_kg,
            corner.tire_n_per_m,
            corner.spring_n_per_m,
            corner.damper_n_s_per_m,
            model["half_track_m"],
            model["spring_half_base_m"],
            model["axle_roll_inertia_kg_m2"],
            model["wheel_spin_inertia_kg_m2"],
            model["steering_stiffness_nm_per_rad"],
            model["steer_inertia_kg_m2"],
        )
    return Axle(share.group, corner, share.up, share.sideways, share.forward, steer)
