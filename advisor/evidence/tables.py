"""Networks and links that many cases of a stack share, made once.

Both depend on the vehicle and on how finely the evidence tells positions apart, not on the answers.
"""

from __future__ import annotations

from collections.abc import Iterable

from advisor.evidence.links import LinkTable
from advisor.evidence.network import build_network
from advisor.model.case import Vehicle
from advisor.model.network import Network
from advisor.model.pack import Pack
from advisor.model.place import Place

MOST_KEPT = 128


class Tables:
    """Networks with their links for one pack. What it returns does not depend on what it was
    asked before."""

    def __init__(self, pack: Pack):
        self.pack = pack
        self._made: dict[tuple[Vehicle, frozenset[Place]], tuple[Network, LinkTable]] = {}

    def of(self, vehicle: Vehicle, places: Iterable[Place]) -> tuple[Network, LinkTable]:
        """Network and links of a vehicle whose evidence names these places."""
        # only the group and whether side or dual are told apart matter to the network
        detail = frozenset(
            Place(p.group, "left" if p.side else "", "outer" if p.dual else "") for p in places
        )
        key = (vehicle, detail)
        made = self._made.get(key)  # several threads may ask at once
        if made is None:
            if len(self._made) >= MOST_KEPT:
                self._made.clear()
            network = build_network(self.pack, vehicle, detail)
            made = self._made[key] = (network, LinkTable(self.pack, vehicle, network))
        return made
