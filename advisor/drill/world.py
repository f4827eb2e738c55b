"""What is really wrong with a vehicle, and what a check would therefore show."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Literal

from advisor.evidence.network import groups_of
from advisor.evidence.tables import Tables
from advisor.model.case import Case, Confirmed, ConfirmedCause, InspectionDone, Vehicle
from advisor.model.pack import Inspection, Pack
from advisor.model.place import Place
from advisor.odds import Odds, meet

Outcome = Literal["found", "clear"]


@dataclass(frozen=True)
class Shown:
    """A result as it is told: from the case itself, or drawn from the rules where it is silent."""

    done: InspectionDone
    from_case: bool

    @property
    def found(self) -> bool:
        """Whether the check found something."""
        return self.done.outcome == "found"


class World:
    """A vehicle with its faults. seed: results drawn for the same check at the same place are the
    same for every order of asking. sure: the faults were found in the end, so their own
    confirming checks show them wherever nothing else is recorded. Raises ValueError for a fault
    that this vehicle cannot have."""

    def __init__(
        self,
        pack: Pack,
        vehicle: Vehicle,
        causes: Iterable[ConfirmedCause],
        seed: int,
        recorded: Iterable[InspectionDone] = (),
        sure: bool = False,
    ):
        self.pack = pack
        self.vehicle = vehicle
        self.causes = tuple(causes)
        self.seed = seed
        self.recorded = tuple(recorded)
        self.sure = sure
        self.groups = groups_of(pack, vehicle)
        self.tables = Tables(pack)  # every way through this vehicle shares them
        self.odds = Odds(pack, vehicle, [(c.id, c.place) for c in self.causes])

    def draw(self, symptom: str, place: Place | None) -> bool:
        """Whether a symptom shows, drawn once for all from its chance."""
        return _uniform(self.seed, f"{symptom}@{place or ''}") < self.odds.of(symptom, place)

    def inspect(self, kind: Inspection, place: Place | None) -> Shown:
        """The result of a check at a place."""
        told = self._recorded(kind.id, place)
        if told is not None:
            return Shown(told, from_case=True)
        must = self.sure and self._own_check(kind.id, place) is not None
        found = must or self.draw(f"found.{kind.id}", place)
        outcome: Outcome = "found" if found else "clear"
        return Shown(InspectionDone(kind.id, place, outcome), from_case=False)

    def _recorded(self, id_: str, place: Place | None) -> InspectionDone | None:
        """What the case says of this check here; a whole axle is clear only if both ends are."""
        here = [d for d in self.recorded if d.id == id_ and d.outcome != "skipped"]
        if place is None:
            return here[0] if here else None
        for done in here:
            if done.place is not None and done.place.covers(place):
                return replace(done, place=place)
        inside = [d for d in here if d.place is not None and place.covers(d.place)]
        if not inside:
            return None
        if not place.side and {d.place.side for d in inside if d.place} != {"left", "right"}:
            return None
        return _worst(inside, place)

    def confirms(self, kind: Inspection, shown: Shown) -> ConfirmedCause | None:
        """The fault that this result confirms: really there, and shown by its own check."""
        return self._own_check(kind.id, shown.done.place) if shown.found else None

    def _own_check(self, id_: str, place: Place | None) -> ConfirmedCause | None:
        """The fault there that this check is meant to confirm."""
        for cause in self.causes:
            if id_ in self.pack.causes[cause.id].confirmed_by and meet(cause.place, place):
                return cause
        return None

    def can_be_confirmed(self) -> bool:
        """Whether any check would confirm one of the faults."""
        for cause in self.causes:
            for id_ in self.pack.causes[cause.id].confirmed_by:
                kind = self.pack.inspections[id_]
                place = None if kind.at == "vehicle" else cause.place
                if kind.at != "vehicle" and place is None:
                    places: list[Place | None] = [Place(g.group) for g in self.groups]
                else:
                    places = [Place(place.group) if place else None]
                if any(self.confirms(kind, self.inspect(kind, p)) for p in places):
                    return True
        return False


def world_of(case: Case, pack: Pack, seed: int) -> World:
    """The world of a worked case: its confirmed causes and the results it records."""
    confirmed = case.confirmed or Confirmed((), "", None)
    recorded = [with_outcome(d, case, pack) for d in case.inspections]
    return World(pack, case.vehicle, confirmed.causes, seed, recorded, sure=True)


def with_outcome(done: InspectionDone, case: Case, pack: Pack) -> InspectionDone:
    """A measured result with found or clear beside its numbers."""
    from advisor.evidence.results import inspection_soft

    if done.outcome is not None:
        return done
    softs, _, _ = inspection_soft(replace(case, inspections=(done,)), pack)
    over = bool(softs) and softs[0].lambda1 > 0.5
    return replace(done, outcome="found" if over else "clear")


def _worst(inside: list[InspectionDone], place: Place) -> InspectionDone:
    """Results of several ends as one of the axle: found if one is, with the largest numbers."""
    found = any(d.outcome == "found" for d in inside)
    values: dict[str, float] = {}
    for done in inside:
        for key, value in done.values.items():
            values[key] = max(value, values.get(key, value), key=abs)
    return replace(inside[0], place=place, outcome="found" if found else "clear", values=values)


def _uniform(seed: int, name: str) -> float:
    """A number in [0, 1) that hangs only on seed and name, the same on every machine."""
    digest = hashlib.sha256(f"{seed}:{name}".encode()).digest()
    return int.from_bytes(digest[:7], "big") / 2**56
