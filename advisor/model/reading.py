"""Numbers from the bay as they were written down, in SI units and one way of counting.

Angles are radians clockwise as seen from outside the wheel, whatever way the file counted; a mass
is a complex number in kilograms, its angle counted from the mark and its direction where to ADD.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from advisor.model.place import Place

Direction = Literal["radial", "lateral"]
CountedFrom = Literal["valve", "stud", "hub_mark", "tire_mark", "mark"]
Method = Literal["measured", "single_plane", "four_run", "two_plane", "two_speed"]

# What stands at zero, in words.
ZERO_WORDS: dict[str, str] = {
    "valve": "valve stem",
    "stud": "marked stud",
    "hub_mark": "mark on the hub",
    "tire_mark": "mark on the tire",
    "mark": "mark",
}


@dataclass(frozen=True)
class DialPlace:
    """Where the dial stood: words, direction, and the parts that turn it (hub always does).

    carries: "whole" has tire and wheel in it, "wheel" the wheel, "drum" the drum, "hub" neither.
    """

    words: str
    direction: Direction
    carries: Literal["whole", "wheel", "drum", "hub"]


DIAL_PLACES: dict[str, DialPlace] = {
    "tread": DialPlace("tread", "radial", "whole"),
    "sidewall": DialPlace("tire sidewall", "lateral", "whole"),
    "rim": DialPlace("rim beside the bead, wheel on the hub", "radial", "wheel"),
    "rim_side": DialPlace("side of the rim", "lateral", "wheel"),
    "wheel_face": DialPlace("wheel face", "lateral", "wheel"),
    "bead_seat_inner": DialPlace("inner bead seat, bare wheel", "radial", "wheel"),
    "bead_seat_outer": DialPlace("outer bead seat, bare wheel", "radial", "wheel"),
    "hub_pilot": DialPlace("hub pilots", "radial", "hub"),
    "hub_face": DialPlace("hub face", "lateral", "hub"),
    "drum": DialPlace("drum", "radial", "drum"),
    "rotor_face": DialPlace("rotor face", "lateral", "drum"),
}


@dataclass(frozen=True, kw_only=True)
class Reading:
    """What every reading has. place: None where the file does not say; name: the shop's own word
    for it, or empty."""

    place: Place | None = None
    name: str = ""


@dataclass(frozen=True, kw_only=True)
class DialSetUp:
    """One turn round the part. angle_rad, reading_m: (N,), in the order taken, NaN where a position
    was missed. wheel_turn_rad: wheel (or drum) on the hub, tire_turn_rad: tire on the wheel, both
    clockwise from the same first marks.
    """

    angle_rad: tuple[float, ...]
    reading_m: tuple[float, ...]
    wheel_turn_rad: float = 0.0
    tire_turn_rad: float = 0.0


@dataclass(frozen=True, kw_only=True)
class Runout(Reading):
    """Dial readings of one part, in one or several set-ups.

    of: key of DIAL_PLACES; unit: the file's, for showing ("in" or "mm"); dial_turn_m: travel of one
    turn of the needle, where turns were not counted; pilot_clearance_m: across the diameter.
    """

    of: str
    unit: Literal["in", "mm"]
    counted_from: CountedFrom
    set_ups: tuple[DialSetUp, ...]
    studs: int | None = None
    dial_turn_m: float | None = None
    reading_sd_m: float | None = None
    pilot_clearance_m: float | None = None

    @property
    def dial(self) -> DialPlace:
        """Where the dial stood."""
        return DIAL_PLACES[self.of]


@dataclass(frozen=True, kw_only=True)
class MassReading:
    """What a balancer asked for. of: assembly, on_vehicle, hub_and_drum, tire or wheel; plane:
    inner, outer, or empty for one plane; add_kg: complex, or real where no angle was read."""

    of: str
    plane: str
    add_kg: complex
    has_angle: bool = True


@dataclass(frozen=True, kw_only=True)
class VibrationRun:
    """Vibration with one trial mass in place (none: the original run).

    trial_kg: complex; plane: where it was; at_point: point -> vector in the vibration's unit, real
    where no phase was read.
    """

    trial_kg: complex
    plane: str
    at_point: tuple[tuple[str, complex], ...]


@dataclass(frozen=True, kw_only=True)
class NullingRun:
    """The mass that quiets the wheel at one road speed; add_kg as in MassReading."""

    speed_m_s: float
    add_kg: complex
    sd_kg: float | None


@dataclass(frozen=True, kw_only=True)
class Balance(Reading):
    """Balance readings of one wheel end; which of masses, runs and nulling is filled follows from
    method. unit: of the weights, for showing.

    reachable_rad: places where weight can be put (empty: anywhere); weight_on_kg: already on the
    wheel; material, fixing: ids of the rule pack's weights, or empty.
    """

    method: Method
    unit: Literal["oz", "g"]
    counted_from: CountedFrom
    masses: tuple[MassReading, ...] = ()
    runs: tuple[VibrationRun, ...] = ()
    nulling: tuple[NullingRun, ...] = ()
    nulling_has_angle: bool = False
    vibration_unit: str = ""
    vibration_sd: float = 0.0
    reading_sd_kg: float | None = None
    speed_m_s: float | None = None
    weight_radius_m: float | None = None
    assembly_mass_kg: float | None = None
    plane_distance_m: float | None = None
    weight_on_kg: float | None = None
    reachable_rad: tuple[float, ...] = ()
    weight_step_kg: float | None = None
    material: str = ""
    fixing: str = ""
    cross_section_m2: float | None = None
