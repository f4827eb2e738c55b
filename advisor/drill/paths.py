"""Ways through the inspections of one vehicle, and what each costs until a fault is confirmed."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from advisor.drill.world import Shown, World
from advisor.model.case import Case, ConfirmedCause
from advisor.model.pack import Inspection
from advisor.model.place import Place, parse_place
from advisor.plan.access import group_needed, kept_open, opening, rooms_of
from advisor.plan.inspections import ENDS_PER_AXLE
from advisor.standing import stand

WHEEL_OFF = "wheel_off"
# Rounding up to this share of a probability, by its bound; most of it is far less. A drill shows
# chances in words, and a way through the checks hangs on far coarser figures. Closer ones would
# need the sum without subtractions, at ten times the work.
GOOD_ENOUGH = 0.05
Target = tuple[str, str]  # inspection id, place in writing ("" for the whole vehicle)
Choose = Callable[["Walk"], Target | None]


@dataclass(frozen=True)
class Taken:
    """One check as it was done: rooms it opened, minutes with opening, and what it showed."""

    id: str
    place: str
    opens: tuple[str, ...]
    minutes: float
    shown: Shown
    confirms: ConfirmedCause | None


class Walk:
    """One way through a vehicle's checks, keeping the state of access and the bill."""

    def __init__(self, world: World, case: Case):
        self.world = world
        self.case = case
        self.taken: list[Taken] = []
        self.opened: frozenset[str] = frozenset()
        self.pulled: dict[str, bool] = {}
        self._costs = opening(world.pack, world.groups)

    @property
    def minutes(self) -> float:
        """Minutes spent so far."""
        return sum(t.minutes for t in self.taken)

    @property
    def confirmed(self) -> ConfirmedCause | None:
        """The fault confirmed so far, if any."""
        return next((t.confirms for t in self.taken if t.confirms), None)

    @property
    def pulled_for_nothing(self) -> int:
        """Wheels taken off where no check with the wheel off showed a fault that is there."""
        return ENDS_PER_AXLE * sum(not paid for paid in self.pulled.values())

    def price(self, target: Target) -> tuple[tuple[str, ...], float]:
        """(rooms to open, minutes with opening) of a check as things stand."""
        kind, place = self.world.pack.inspections[target[0]], parse_place(target[1])
        rooms = self._rooms(kind, place)
        to_open = tuple(r for r in rooms if r not in self.opened)
        ends = ENDS_PER_AXLE if kind.at == "wheel_end" and place and not place.side else 1
        return to_open, kind.minutes * ends + sum(self._costs[r] for r in to_open)

    def _rooms(self, kind: Inspection, place: Place | None) -> tuple[str, ...]:
        group = place.group if place else group_needed(self.world.pack, kind, self.world.groups)
        return rooms_of(self.world.pack, kind.access, group)

    def do(self, target: Target) -> Taken:
        """Carry out a check."""
        kind, place = self.world.pack.inspections[target[0]], parse_place(target[1])
        to_open, minutes = self.price(target)
        shown = self.world.inspect(kind, place)
        confirms = self.world.confirms(kind, shown)
        rooms = self._rooms(kind, place)
        wheel = next((r for r in rooms if r.startswith(WHEEL_OFF)), None)
        if wheel:
            self.pulled[wheel] = self.pulled.get(wheel, False) or self._pays(kind, shown)
        self.opened = kept_open(self.opened, rooms, kind.at == "wheel_end")
        taken = Taken(kind.id, target[1], to_open, minutes, shown, confirms)
        self.taken.append(taken)
        self.case = replace(self.case, inspections=(*self.case.inspections, shown.done))
        return taken

    def _pays(self, kind: Inspection, shown: Shown) -> bool:
        """Whether a find was of something that is there: more than a false alarm."""
        if not shown.found:
            return False
        return self.world.odds.beyond_chance(f"found.{kind.id}", shown.done.place)


def follow(walk: Walk, choose: Choose, most: int = 400) -> Walk:
    """Go on choosing until a fault is confirmed or nothing is left."""
    while walk.confirmed is None and len(walk.taken) < most:
        target = choose(walk)
        if target is None:
            break
        walk.do(target)
    return walk


def every_check(world: World) -> list[Target]:
    """Every check of this vehicle at every axle where it can be done, in the order of the pack."""
    return [(k.id, place) for k in world.pack.inspections.values() for place in axles(world, k)]


def axles(world: World, kind: Inspection) -> list[str]:
    """Where a check is done: each axle group it applies to, or "" for the whole vehicle; nowhere
    if it is not for this type of vehicle."""
    if kind.vehicles and world.vehicle.type not in kind.vehicles:
        return []
    if kind.at == "vehicle":
        return [""]
    return [g.group for g in world.groups if not kind.groups or g.group in kind.groups]


def safety_first(world: World) -> list[Target]:
    """The safety checks at every axle."""
    return [t for t in every_check(world) if world.pack.inspections[t[0]].safety]


def in_order(targets: Sequence[Target]) -> Choose:
    """A fixed list, whatever the results."""

    def choose(walk: Walk) -> Target | None:
        done = {(t.id, t.place) for t in walk.taken}
        return next((t for t in targets if t not in done), None)

    return choose


def checklist_order(world: World, ids: Iterable[str]) -> list[Target]:
    """The checklist at every axle, item by item, then whatever it leaves out."""
    left = every_check(world)
    listed = [t for id_ in ids for t in left if t[0] == id_]
    return [*listed, *(t for t in left if t not in set(listed))]


def random_order(world: World, seed: int) -> list[Target]:
    """Every check in an order drawn from the seed."""
    targets = every_check(world)
    order = np.random.default_rng(seed).permutation(len(targets))
    return [targets[i] for i in order]


def checklist_walked(world: World, case: Case, ids: Iterable[str]) -> Walk:
    """The safety checks, then the checklist."""
    listed = [*safety_first(world), *checklist_order(world, ids)]
    return follow(Walk(world, case), in_order(listed))


def advised(walk: Walk) -> Target | None:
    """What the advisor says next: safety checks, then the planner's first after each result; None
    where it would look no further."""
    done = {(t.id, t.place) for t in walk.taken}
    for target in safety_first(walk.world):
        if target not in done:
            return target
    world = walk.world
    standing = stand(walk.case, world.pack, walk.opened, world.tables, GOOD_ENOUGH)
    steps = standing.planner.order(most=1)
    return (steps[0].check.id, steps[0].check.place) if steps else None


def planned(walk: Walk) -> Target | None:
    """As advised, then whatever is left, so that ways can be compared by where they end."""
    done = {(t.id, t.place) for t in walk.taken}
    return advised(walk) or next((t for t in every_check(walk.world) if t not in done), None)
