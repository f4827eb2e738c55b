"""The next inspections: safety first, then by the chance of finding the fault per minute."""

from __future__ import annotations

from collections.abc import Collection, Sequence

import numpy as np

from advisor.model.case import Case
from advisor.model.choose import limit_for
from advisor.model.diagnosis import LimitNote, Outlook, PlaceShare, PlannedInspection
from advisor.model.network import Array, Posterior
from advisor.model.pack import AxleGroup, Inspection, Pack
from advisor.model.place import Place
from advisor.plan import access
from advisor.plan.access import ON_THE_ROAD
from advisor.plan.assess import Assess
from advisor.plan.done import is_done
from advisor.plan.order import Check, Step, order_checks

EVERYWHERE = "all"
MOST_OUTLOOKS = 7
ENDS_PER_AXLE = 2


class Planner:
    """Plans one case. groups: the axle groups of this vehicle; opened: access states that are
    open already, as 'raised@steer'; may_drive: False under a stop finding, when nothing is done
    on the road; urgent: inspections that a safety finding asks for, which go before all others."""

    def __init__(
        self,
        pack: Pack,
        case: Case,
        assess: Assess,
        groups: Sequence[AxleGroup],
        opened: frozenset[str] = frozenset(),
        may_drive: bool = True,
        urgent: Collection[str] = (),
    ):
        self.pack = pack
        self.case = case
        self.assess = assess
        self.groups = groups
        self.opened = opened
        self.may_drive = may_drive
        self.urgent = urgent
        total = float(assess.now.node.sum())
        self.fault: Array = assess.now.node / max(total, 1e-12)

    def plan(self, most: int = 8, outlooks: int = MOST_OUTLOOKS) -> list[PlannedInspection]:
        """Safety checks not yet done, then the rest in order.

        outlooks: of how many, counted from the first, what either result would do is worked out.
        """
        steps: list[PlannedInspection] = []
        for kind, places, minutes in self.open_safety():
            steps.append(self._safety(kind, places, minutes, len(steps) < outlooks))
        ordered = self.order(most=most - len(steps) + 1)
        spared = max(0, outlooks - len(steps)) if outlooks < MOST_OUTLOOKS else outlooks
        for number, step in enumerate(ordered):
            steps.append(self._describe(step, number < spared))
        return steps

    def order(self, most: int) -> list[Step]:
        """The next checks after the safety checks, in order: urgent ones first."""
        opening = access.opening(self.pack, self.groups)
        checks = self.checks()
        first = [c for c in checks if c.id in self.urgent]
        steps = order_checks(first, self.fault, opening, self.opened, most=most, least_worth=0.0)
        if len(steps) >= most:
            return steps
        rest, opened, fault = (
            [c for c in checks if c.id not in self.urgent],
            self.opened,
            self.fault,
        )
        for step in steps:
            opened = access.kept_open(opened, step.check.rooms, step.check.at_wheel_end)
            fault = fault * (1 - step.check.detect)
        return [*steps, *order_checks(rest, fault, opening, opened, most=most - len(steps))]

    def checks(self) -> list[Check]:
        """Every inspection that is not done yet, at every place where it can find something."""
        made = []
        for kind in self.pack.inspections.values():
            if kind.safety or (kind.vehicles and self.case.vehicle.type not in kind.vehicles):
                continue
            if kind.access == ON_THE_ROAD and not self.may_drive:
                continue
            for place, ends in self._places(kind):
                if is_done(self.case, kind.id, place):
                    continue
                group = place.group if place else access.group_needed(self.pack, kind, self.groups)
                detect, leak = self.detect(kind.id, place)
                if detect.max(initial=0.0) > 0:
                    rooms = access.rooms_of(self.pack, kind.access, group)
                    minutes, end = kind.minutes * ends, kind.at == "wheel_end"
                    made.append(Check(kind.id, str(place or ""), detect, minutes, rooms, leak, end))
        return made

    def _places(self, kind: Inspection) -> list[tuple[Place | None, int]]:
        """Where a check can be done, and at how many wheel ends there."""
        if kind.at == "vehicle":
            return [(None, 1)]
        groups = [g for g in self.groups if not kind.groups or g.group in kind.groups]
        made: list[tuple[Place | None, int]] = []
        for group in groups:
            if kind.at == "axle":
                made.append((Place(group.group), 1))
                continue
            made += self._ends(group.group)
        return made

    def _ends(self, group: str) -> list[tuple[Place | None, int]]:
        """The sides of an axle where the evidence tells them apart, else both ends together."""
        sides = {p.side for p in self.assess.network.place if p is not None and p.group == group}
        if sides == {"left", "right"}:
            return [(Place(group, side), 1) for side in ("left", "right")]
        return [(Place(group), ENDS_PER_AXLE)]

    def detect(self, id_: str, place: Place | None) -> tuple[Array, float]:
        """(nodes,) chance that the check finds each fault beyond what it would say anyway, given
        where the fault may be; and its false alarms."""
        link, leak = self.assess.links(f"found.{id_}", place)
        network, now = self.assess.network, self.assess.now
        shown = np.add.reduceat(now.state * np.asarray(link), network.first_state)
        return np.maximum(0.0, shown / np.maximum(now.node, 1e-12) - leak), leak

    def open_safety(self) -> list[tuple[Inspection, list[Place], float]]:
        """Safety checks with the axles where they have not been done, and the minutes of these."""
        made = []
        for kind in self.pack.inspections.values():
            axles = [Place(g.group) for g in self.groups]
            left = [p for p in axles if not is_done(self.case, kind.id, p)] if kind.safety else []
            if left:
                ends = ENDS_PER_AXLE if kind.at == "wheel_end" else 1
                made.append((kind, left, kind.minutes * ends * len(left)))
        return made

    def _safety(
        self, kind: Inspection, places: list[Place], minutes: float, with_outlook: bool
    ) -> PlannedInspection:
        """A safety check at every axle where it has not been done."""
        place = ", ".join(map(str, places))
        if len(places) == len(self.groups) > 1:
            place = EVERYWHERE
        detect = 1 - np.prod([1 - self.detect(kind.id, p)[0] for p in places], axis=0)
        chance = float(self.fault @ detect)
        tells = self._outlooks(kind, list(places)) if with_outlook else []
        return self._entry(kind, place, (), minutes, chance, tells, places[0])

    def _describe(self, step: Step, with_outlook: bool) -> PlannedInspection:
        kind = self.pack.inspections[step.check.id]
        place = next((p for p, _ in self._places(kind) if str(p or "") == step.check.place), None)
        tells = self._outlooks(kind, [place]) if with_outlook else []
        made = self._entry(
            kind, step.check.place, step.opens, step.check.minutes, step.chance, tells, place
        )
        return made.model_copy(update={"minutes_with_access": step.minutes})

    def _outlooks(self, kind: Inspection, places: Sequence[Place | None]) -> list[Outlook]:
        symptom = f"found.{kind.id}"
        supposed = self.assess.suppose(symptom, places)
        return [
            _outlook("found", supposed.chance, kind.found_means, supposed.yes),
            _outlook("clear", 1 - supposed.chance, kind.clear_means, supposed.no),
        ]

    def _entry(
        self,
        kind: Inspection,
        place_text: str,
        opens: tuple[str, ...],
        minutes: float,
        chance: float,
        tells: list[Outlook],
        place: Place | None,
    ) -> PlannedInspection:
        pack = self.pack
        cautions = [c for room in opens for c in pack.access[room.split("@")[0]].cautions]
        return PlannedInspection(
            id=kind.id,
            name=kind.name,
            place=place_text,
            access=kind.access,
            opens=[room_words(pack, room) for room in opens],
            minutes=minutes,
            minutes_with_access=minutes,
            tool=kind.tool,
            how=list(kind.how),
            limit=self._limits(kind, place),
            fields=[f"{m.what} ({m.unit})" for m in kind.measures],
            tells=tells,
            chance=round(min(1.0, max(0.0, chance)), 6),
            finds=self._finds(kind.id, place),
            safety=kind.safety,
            cautions=list(dict.fromkeys([*cautions, *kind.cautions])),
            source=kind.source,
        )

    def _limits(self, kind: Inspection, place: Place | None) -> list[LimitNote]:
        """The limit of each number, and those that only inform, fit for vehicle and axle."""
        chosen = [limit_for(m.over, self.pack, self.case.vehicle, place) for m in kind.measures]
        chosen += [limit_for([id_], self.pack, self.case.vehicle, place) for id_ in kind.limits]
        notes: dict[str, LimitNote] = {}
        for limit in chosen:
            if limit is not None:
                notes[limit.id] = LimitNote(
                    id=limit.id,
                    text=limit.what,
                    value=limit.value,
                    low=limit.low,
                    unit=limit.unit,
                    source=limit.source,
                    seen=limit.seen,
                )
        return list(notes.values())

    def _finds(self, id_: str, place: Place | None) -> list[str]:
        """The likeliest causes among those the check finds."""
        detect, _ = self.detect(id_, place)
        gain: dict[str, float] = {}
        for node, value in zip(self.assess.network.nodes, self.fault * detect, strict=True):
            gain[node.cause] = gain.get(node.cause, 0.0) + float(value)
        best = sorted((c for c in gain if gain[c] > 0), key=lambda c: (-gain[c], c))
        return best[:3]


def _outlook(result: str, probability: float, means: str, after: Posterior) -> Outlook:
    ranked = sorted(after.cause, key=lambda c: (-after.cause[c], c))[:2]
    return Outlook(
        result=result,
        probability=round(min(1.0, max(0.0, probability)), 6),
        means=means,
        first=[PlaceShare(place=c, probability=round(after.cause[c], 6)) for c in ranked],
    )


def room_words(pack: Pack, room: str) -> str:
    """A room in plain words: 'One axle group raised, steer axle'."""
    state, _, group = room.partition("@")
    return f"{pack.access[state].name}, {group} axle" if group else pack.access[state].name
