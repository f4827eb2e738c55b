"""Planted causes as a user writes them: cause@place:severity."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from advisor.errors import AdvisorError, did_you_mean, one_of
from advisor.evidence.network import groups_of
from advisor.model.case import Vehicle
from advisor.model.pack import Pack
from advisor.model.place import DUALS, SIDES, Place, parse_place
from advisor.physics.units import KG_PER_LB, KG_PER_OZ, M_PER_IN
from advisor.simulated.knowledge import Knowledge, Severity

NOT_PLANTED = ("none_of_these",)  # there is nothing to simulate
# Written unit -> (unit of the rules, factor to it).
UNITS = {
    "in": ("in", 1.0),
    "inch": ("in", 1.0),
    "mm": ("in", 0.001 / M_PER_IN),
    "oz": ("oz", 1.0),
    "g": ("oz", 0.001 / KG_PER_OZ),
    "lb": ("oz", KG_PER_LB / KG_PER_OZ),
    "oz-in": ("oz-in", 1.0),
    "deg": ("deg", 1.0),
    "m/s2": ("m/s2", 1.0),
    "times": ("times", 1.0),
    "x": ("times", 1.0),
    "percent": ("percent", 1.0),
    "%": ("percent", 1.0),
}
_SEVERITY = re.compile(r"^\s*(\d+(?:\.\d*)?|\.\d+)\s*([a-z%/][a-z0-9/-]*|%)?\s*$", re.I)


@dataclass(frozen=True)
class Planted:
    """A cause at a place (None for one that is not at a wheel end); severity in its own unit."""

    cause: str
    place: Place | None
    severity: float
    unit: str

    def __str__(self) -> str:
        where = f"@{self.place}" if self.place else ""
        return f"{self.cause}{where}:{self.severity:g}{self.unit}"


def parse_all(
    texts: Iterable[str], pack: Pack, vehicle: Vehicle, knowledge: Knowledge
) -> tuple[Planted, ...]:
    """Each 'cause@place:severity'; a cause at one place only once. Raises AdvisorError."""
    made = tuple(parse_planted(text, pack, vehicle, knowledge) for text in texts)
    keys = [(one.cause, one.place) for one in made]
    twice = next((str(p) for p, key in zip(made, keys, strict=True) if keys.count(key) > 1), None)
    if twice:
        raise AdvisorError(f"--cause: {twice}: the same cause at the same place is given twice")
    return made


def parse_planted(text: str, pack: Pack, vehicle: Vehicle, knowledge: Knowledge) -> Planted:
    """'out_of_round_tire@steer_left:0.12in' -> Planted; the severity may be left out."""
    rest, _, size = text.partition(":")
    cause, _, where = (part.strip() for part in rest.partition("@"))
    known = [c for c in pack.causes if c in knowledge.severities and c not in NOT_PLANTED]
    if cause not in known:
        raise _refused(text, f'"{cause}" cannot be planted', one_of(known, 40), cause, known)
    entry = knowledge.severities[cause]
    place = _place(text, cause, where, pack, vehicle)
    return Planted(cause, place, _severity(text, size, entry), entry.unit)


def places_of(cause: str, pack: Pack, vehicle: Vehicle) -> list[Place]:
    """Every place a wheel-end cause can be planted at on this vehicle; empty for other causes."""
    entry = pack.causes[cause]
    if not entry.at_wheel_end:
        return []
    prior = entry.prior_by_vehicle.get(vehicle.type, entry.prior)  # type: ignore[call-overload]
    found = []
    for group in groups_of(pack, vehicle):
        if not getattr(prior, group.group) or (entry.needs_dual and not group.dual):
            continue
        found += [Place(group.group, side) for side in SIDES]
        if group.dual and not entry.needs_dual:
            found += [Place(group.group, side, dual) for side in SIDES for dual in DUALS]
    return found


def _place(text: str, cause: str, where: str, pack: Pack, vehicle: Vehicle) -> Place | None:
    entry, name = pack.causes[cause], pack.vehicles[vehicle.type].name.lower()
    prior = entry.prior_by_vehicle.get(vehicle.type, entry.prior)  # type: ignore[call-overload]
    if not entry.at_wheel_end:
        if where:
            raise _refused(text, f"{cause} has no place", "", "", [])
        if not prior.vehicle:
            raise _refused(text, f"{cause} is not found on a {name}", "", "", [])
        return None
    allowed = [str(place) for place in places_of(cause, pack, vehicle)]
    if not allowed:
        raise _refused(text, f"{cause} is not found on a {name}", "", "", [])
    place = parse_place(where) if where else None
    if place is None or str(place) not in allowed:
        what = f'"{where}" is no place for it on a {name}' if where else "it needs @place"
        raise _refused(text, what, one_of(allowed, 20), where, allowed)
    return place


def _severity(text: str, size: str, entry: Severity) -> float:
    if not size.strip():
        return entry.usual
    match = _SEVERITY.match(size)
    written = (match[2] or entry.unit).lower() if match else ""
    unit, factor = UNITS.get(written, ("", 0.0))
    if match is None or unit != entry.unit:
        allowed = sorted(u for u, (ours, _) in UNITS.items() if ours == entry.unit)
        what = f'"{size}" is no size of it ({entry.what})'
        raise _refused(text, what, f"a number with {one_of(allowed)}", "", [])
    value = float(match[1]) * factor
    if not 0 < value <= entry.most:
        what = f"{value:g} {entry.unit} is outside what makes sense"
        raise _refused(text, what, f"above 0, to {entry.most:g} {entry.unit}", "", [])
    return value


def _refused(text: str, what: str, allowed: str, word: str, choices: list[str]) -> AdvisorError:
    said = f"--cause: {text}: {what}"
    said += f"; allowed: {allowed}" if allowed else ""
    hint = did_you_mean(word, choices) if word else ""
    return AdvisorError(f"{said}; {hint}" if hint else said)
