"""Look-ups on a pack that more than one step needs: which limit fits, how fast a tire turns."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from advisor.model.case import Vehicle
from advisor.model.pack import AxleGroup, Limit, Pack
from advisor.model.place import Place
from advisor.physics import tire as tires
from advisor.physics.units import M_PER_IN

WIDE_BASE_FROM_MM = 385.0


@dataclass(frozen=True)
class Rolling:
    """Rolling circumference of a vehicle's tires in meters, how well it is known, and from what."""

    circumference_m: float
    tolerance_percent: float
    says: str
    assumed: bool = False


def rolling(vehicle: Vehicle, pack: Pack) -> Rolling:
    """Measured revolutions per mile, else the tire table, else the size formula, else the type's
    typical tire (then marked as assumed, with a wider tolerance)."""
    if vehicle.revs_per_mile:
        length = tires.circumference_from_revs_per_mile(vehicle.revs_per_mile)
        return Rolling(length, 1.0, f"measured {vehicle.revs_per_mile:g} revolutions per mile")
    if vehicle.tire:
        return of_size(vehicle.tire, pack)
    info = pack.vehicles[vehicle.type]
    typical = of_size(tires.normalize(info.typical_tires[0]), pack)
    says = (
        f"{info.typical_tires[0]} assumed (typical tire of a {info.name}; the size was not given)"
    )
    return Rolling(typical.circumference_m, 8.0, says, assumed=True)


def of_size(designation: str, pack: Pack) -> Rolling:
    """Rolling circumference of a size that is in the table or can be computed."""
    entry = pack.tires.get(designation)
    if entry and entry.revs_per_mile:
        length = tires.circumference_from_revs_per_mile(entry.revs_per_mile)
        return Rolling(length, entry.tolerance_percent, f"{designation}, tire table")
    if entry:
        length = tires.circumference_from_diameter(entry.overall_diameter_in * M_PER_IN)
        return Rolling(length, entry.tolerance_percent, f"{designation}, diameter from the table")
    size = tires.parse_size(designation)
    if size is None or size.diameter_m is None:
        raise ValueError(f"designation={designation!r} must be in the table or computable")
    length = tires.circumference_from_diameter(size.diameter_m)
    return Rolling(
        length, tires.DEFAULT_TOLERANCE_PERCENT, f"{designation}, computed from the size"
    )


def tire_class(vehicle: Vehicle) -> str:
    """standard, rim_19_5 or wide_base, from the designation; standard where it is unknown."""
    size = tires.parse_size(vehicle.tire) if vehicle.tire else None
    if size is None:
        return "standard"
    if size.rim_in == 19.5:
        return "rim_19_5"
    return "wide_base" if size.width_mm >= WIDE_BASE_FROM_MM else "standard"


def groups_of(pack: Pack, vehicle: Vehicle) -> list[AxleGroup]:
    """Axle groups of this vehicle; a towed unit drops out when the case says there is none."""
    groups = pack.vehicles[vehicle.type].axle_groups
    return [g for g in groups if not (g.attached and vehicle.has_trailer is False)]


def limit_for(
    ids: Iterable[str], pack: Pack, vehicle: Vehicle, place: Place | None
) -> Limit | None:
    """The most specific of these limits that fits vehicle, duty, axle, wheel and tire."""
    best: tuple[int, int] | None = None
    chosen: Limit | None = None
    for position, id_ in enumerate(ids):
        limit = pack.limits[id_]
        matched = _matched(limit, vehicle, place)
        if matched is not None and (best is None or (-matched, position) < best):
            best, chosen = (-matched, position), limit
    return chosen


def _matched(limit: Limit, vehicle: Vehicle, place: Place | None) -> int | None:
    """How many conditions of a limit are met, or None when one is not."""
    group = place.group if place else None
    wanted: list[tuple[list[str], str | None]] = [
        (list(limit.groups), group),
        (list(limit.vehicles), vehicle.type),
        (list(limit.duty), vehicle.duty),
        (list(limit.wheel), vehicle.wheel),
        (list(limit.tire_class), tire_class(vehicle)),
    ]
    count = 0
    for allowed, actual in wanted:
        if not allowed:
            continue
        if actual not in allowed:
            return None
        count += 1
    return count
