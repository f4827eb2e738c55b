"""The causes of one vehicle as a network: which can be there, where, and how often."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from advisor.model.case import Vehicle
from advisor.model.choose import groups_of
from advisor.model.network import Network, Node
from advisor.model.pack import AxleGroup, Cause, Pack
from advisor.model.place import DUALS, SIDES, Place


def build_network(pack: Pack, vehicle: Vehicle, places: Iterable[Place] = ()) -> Network:
    """Nodes for every cause with a prior on this vehicle type.

    Axle groups are split into sides (and duals) only where `places` of the evidence need it.
    """
    mentioned = list(places)
    nodes: list[Node] = []
    prior: list[float] = []
    state_node: list[int] = []
    share: list[float] = []
    where: list[Place | None] = []
    for cause in _in_family_order(pack):
        for group, p in _priors(cause, pack, vehicle):
            positions = _positions(group, mentioned) if group else [None]
            nodes.append(Node(cause.id, group.group if group else None))
            prior.append(p)
            state_node += [len(nodes) - 1] * len(positions)
            share += [1 / len(positions)] * len(positions)
            where += positions
    return Network(
        tuple(nodes), np.array(prior), np.array(state_node), np.array(share), tuple(where)
    )


def _in_family_order(pack: Pack) -> list[Cause]:
    """Causes of one family stand together, which the inference relies on."""
    order = list(pack.families)
    return sorted(pack.causes.values(), key=lambda c: (order.index(c.family), c.id))


def _priors(cause: Cause, pack: Pack, vehicle: Vehicle) -> list[tuple[AxleGroup | None, float]]:
    prior = cause.prior_by_vehicle.get(vehicle.type, cause.prior)  # type: ignore[call-overload]
    if not cause.at_wheel_end:
        return [(None, prior.vehicle)] if prior.vehicle else []
    made: list[tuple[AxleGroup | None, float]] = []
    for group in groups_of(pack, vehicle):
        p = getattr(prior, group.group)
        if p and (group.dual or not cause.needs_dual):
            made.append((group, p))
    return made


def _positions(group: AxleGroup, mentioned: list[Place]) -> list[Place | None]:
    """The positions of an axle group that the evidence tells apart."""
    here = [place for place in mentioned if place.group == group.group]
    if group.dual and any(place.dual for place in here):
        return [Place(group.group, side, dual) for side in SIDES for dual in DUALS]
    if any(place.side for place in here):
        return [Place(group.group, side) for side in SIDES]
    return [Place(group.group)]
