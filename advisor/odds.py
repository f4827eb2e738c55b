"""How often a symptom shows on a vehicle whose faults are known: the rules asked the other way."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from advisor.evidence.links import LinkTable
from advisor.evidence.network import build_network
from advisor.model.case import Vehicle
from advisor.model.pack import Pack
from advisor.model.place import Place


class Odds:
    """Chance of each symptom with these causes present, and no others.

    causes: (id, place) of each, None for no place in particular; apart: places told apart even if
    no cause sits there; chatter: share of the rules' background (leak) that is kept, 1 as the
    ranking counts on it. Raises ValueError for a cause that this vehicle cannot have.
    """

    def __init__(
        self,
        pack: Pack,
        vehicle: Vehicle,
        causes: Iterable[tuple[str, Place | None]],
        apart: Iterable[Place] = (),
        chatter: float = 1.0,
    ):
        chosen = tuple(causes)
        self.apart = tuple(apart)
        self._chatter = chatter
        network = build_network(pack, vehicle, [*self.apart, *(p for _, p in chosen if p)])
        self._links = LinkTable(pack, vehicle, network)
        self._states = [self._state(*one) for one in chosen]

    def _state(self, cause: str, place: Place | None) -> int:
        """The state of the network that is this cause at this place: the first that fits."""
        network = self._links.network
        for index, here in enumerate(network.place):
            if network.nodes[network.state_node[index]].cause == cause and meet(here, place):
                return index
        raise ValueError(f"{cause} at {place or 'no place'} cannot be on this vehicle")

    def of(self, symptom: str, place: Place | None = None, looked_at: int = 1) -> float:
        """1 - (1 - leak) x product of (1 - link) over the causes present.

        looked_at: places the question covers; the leak is that of one report, so it is shared.
        """
        made = self._links.of(symptom, place)
        stay = np.prod(1 - made.link[self._states])
        return float(1 - (1 - self._chatter * made.leak / looked_at) * stay)

    def beyond_chance(self, symptom: str, place: Place | None) -> bool:
        """Whether one of the causes shows it there more often than a false alarm does."""
        made = self._links.of(symptom, place)
        return bool(made.link[self._states].max(initial=0.0) > made.leak)


def meet(a: Place | None, b: Place | None) -> bool:
    """Whether one place lies within the other; no place in particular meets every place."""
    return a is None or b is None or a.covers(b) or b.covers(a)
