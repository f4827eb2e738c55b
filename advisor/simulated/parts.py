"""The parts of one wheel end with the faults planted in them: where every reading comes from."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np

from advisor.model.pack import Pack
from advisor.physics.forward.pattern import Pattern
from advisor.physics.forward.unsteady_sources import Dip
from advisor.physics.units import KG_PER_OZ, M_PER_IN
from advisor.simulated.knowledge import Knowledge
from advisor.simulated.planted import Planted

DRUM_RADIUS_M = 0.21  # where a drum carries its imbalance; outside of a 16.5 in drum, from memory
PILOT_CLEARANCE_M = 0.1e-3  # of a sound wheel on its hub, invented
STANDING_FADES = ((0.6, 2000.0), (0.4, 8000.0))  # flat from standing: half gone in m, assumed
SEPARATION_GROWS_PER_KM = 0.02  # assumed
SIDE_TO_OFFSET = 0.25  # radial offset that dirt under the disc brings with its side runout, assumed


@dataclass(frozen=True)
class EndParts:
    """One wheel end, SI. Vectors are complex first harmonics, angles counted on the hub.

    hub: offset of the seat that stays with the hub; seat: offset of this mounting, drawn anew at
    the next within seat_reach_m; wheel, tire: radial shapes (tire on true bead seats); tilt: side
    motion that stays with the hub; bend: that of the wheel; assembly, drum: imbalance moments in
    kg m of tire and wheel, of hub and drum; loose_m: clearance; bearing_m: end play.
    """

    hub: complex = 0j
    seat: complex = 0j
    seat_reach_m: float = PILOT_CLEARANCE_M / 2
    wheel: Pattern = field(default_factory=Pattern)
    tire: Pattern = field(default_factory=Pattern)
    dips: tuple[Dip, ...] = ()
    bulges: bool = False
    tilt: complex = 0j
    bend: Pattern = field(default_factory=Pattern)
    assembly: complex = 0j
    medium: complex = 0j
    drum: complex = 0j
    drum_runout_m: tuple[complex, ...] = ()
    loose_m: float = 0.0
    bearing_m: float = 0.0


def sound_parts(knowledge: Knowledge, rim_radius_m: float, rng: np.random.Generator) -> EndParts:
    """A wheel end without faults: small runout and imbalance at any angle."""

    def vector(inspection: str, key: str, to_si: float) -> complex:
        return knowledge.healthy[(inspection, key)] * to_si * _side(rng)

    radial = M_PER_IN / 2
    ounce = KG_PER_OZ * rim_radius_m
    return EndParts(
        seat=PILOT_CLEARANCE_M / 2 * float(np.sqrt(rng.random())) * _side(rng),
        wheel=Pattern((vector("rim-runout", "tir_in", radial),)),
        tire=Pattern((vector("tread-runout", "tir_in", radial),)),
        bend=Pattern((vector("lateral-runout", "tir_in", radial),)),
        assembly=vector("balance-check", "balance_oz", ounce),
        drum=vector("hub-and-drum-balance", "balance_oz", KG_PER_OZ * DRUM_RADIUS_M),
    )


def with_fault(
    parts: EndParts, planted: Planted, pack: Pack, rim_radius_m: float, rng: np.random.Generator
) -> EndParts:
    """The same wheel end with one planted cause more; causes that do not turn change nothing."""
    at, size = _side(rng), planted.severity
    amplitude = size * M_PER_IN / 2 * at  # of a severity given as total runout
    mass = size * KG_PER_OZ * at
    match planted.cause:
        case "imbalance" | "packed_debris":
            return replace(parts, assembly=parts.assembly + mass * rim_radius_m)
        case "balancing_media":
            return replace(parts, medium=mass * rim_radius_m)
        case "hub_or_drum_imbalance":
            return replace(parts, drum=parts.drum + mass * DRUM_RADIUS_M)
        case "out_of_round_tire" | "bead_not_seated":
            return replace(parts, tire=_added(parts.tire, amplitude, planted.cause, pack, rng))
        case "out_of_round_wheel":
            return replace(parts, wheel=_added(parts.wheel, amplitude, planted.cause, pack, rng))
        case "off_center_mounting" | "wrong_or_mixed_parts":
            return replace(parts, seat=amplitude, seat_reach_m=abs(amplitude))
        case "bent_wheel":
            return replace(parts, bend=_added(parts.bend, amplitude, planted.cause, pack, rng))
        case "tilted_mounting":
            return replace(parts, tilt=amplitude)
        case "foreign_material_on_mounting_face":
            return replace(parts, tilt=amplitude, hub=SIDE_TO_OFFSET * amplitude)
    return _with_change(parts, planted, pack, float(np.angle(at)), rng)


def _with_change(
    parts: EndParts, planted: Planted, pack: Pack, angle_rad: float, rng: np.random.Generator
) -> EndParts:
    """Faults that move, fade, grow or act only under the brake."""
    size_m = planted.severity * M_PER_IN
    match planted.cause:
        case "flat_spot":
            return replace(parts, dips=(*parts.dips, Dip(size_m, angle_rad)))
        case "tire_separation":
            dip = Dip(size_m, angle_rad, 0.12, grows_per_km=SEPARATION_GROWS_PER_KM)
            return replace(parts, dips=(*parts.dips, dip), bulges=True)
        case "normal_condition":
            return replace(parts, dips=(*parts.dips, Dip(size_m, angle_rad, fades=STANDING_FADES)))
        case "loose_fastening":
            return replace(parts, loose_m=size_m, seat_reach_m=size_m / 2)
        case "wheel_bearing":
            return replace(parts, bearing_m=size_m)
        case "brake_drum_or_rotor":
            amplitude = size_m / 2 * np.exp(1j * angle_rad)
            lobes = _added(Pattern(), complex(amplitude), planted.cause, pack, rng)
            return replace(parts, drum_runout_m=lobes.vectors)
    return parts


def _added(
    pattern: Pattern, first: complex, cause: str, pack: Pack, rng: np.random.Generator
) -> Pattern:
    """The pattern with a first harmonic more, and the higher ones the rules give the cause."""
    shares = {int(e.order): e.share for e in pack.causes[cause].excites if e.of == "wheel"}
    top = max([len(pattern.vectors), *shares])
    vectors = list(pattern.vectors) + [0j] * (top - len(pattern.vectors))
    vectors[0] += first
    for order, share in sorted(shares.items()):
        if order > 1:
            vectors[order - 1] += share * abs(first) * _side(rng)
    return Pattern(tuple(vectors))


def _side(rng: np.random.Generator) -> complex:
    """A direction at random, as a complex number of size 1."""
    return complex(np.exp(1j * rng.uniform(0, 2 * np.pi)))
