"""How strongly each cause at each place shows a symptom, from the rules in force."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass, field

import numpy as np

from advisor.model.case import Vehicle
from advisor.model.network import Array, Finding, Network
from advisor.model.pack import Pack, Rule
from advisor.model.place import Place

MOST_KEPT = 256


@dataclass(frozen=True)
class Links:
    """link: (states,) P(shown | only this cause, here); leak: background; rules: id by node."""

    link: Array
    leak: float
    rules: dict[int, str] = field(default_factory=dict)


class LinkTable:
    """Links of every symptom for one vehicle and network, made when first asked for."""

    def __init__(self, pack: Pack, vehicle: Vehicle, network: Network):
        self.pack = pack
        self.vehicle = vehicle
        self.network = network
        self._rules: dict[str, list[Rule]] = {}
        for rule in pack.rules:
            if rule.status != "retired" and self._applies(rule):
                self._rules.setdefault(rule.symptom, []).append(rule)
        self._made: dict[tuple[str, Place | None], Links] = {}
        self._kept: dict[Hashable, Finding | None] = {}
        self._stacked: tuple[dict[str, int], Array, Array] = ({}, np.zeros((0, 0)), np.zeros(0))

    def _applies(self, rule: Rule) -> bool:
        given, vehicle = rule.given, self.vehicle
        return (
            (not given.vehicle or vehicle.type in given.vehicle)
            and (not given.duty or vehicle.duty in given.duty)
            and (not given.wheel or vehicle.wheel in given.wheel)
        )

    def of(self, symptom: str, place: Place | None = None) -> Links:
        """Links of a symptom reported at a place (None: anywhere)."""
        key = (symptom, place)
        if key not in self._made:
            self._made[key] = self._make(symptom, place)
        return self._made[key]

    def each(self, symptoms: Sequence[str]) -> tuple[Array, Array]:
        """(symptoms, states) links and (symptoms,) backgrounds of symptoms reported anywhere."""
        rows, links, leaks = self._stacked
        if any(symptom not in rows for symptom in symptoms):
            rows = {s: n for n, s in enumerate(dict.fromkeys([*rows, *symptoms]))}
            made = [self.of(symptom) for symptom in rows]
            links, leaks = np.array([m.link for m in made]), np.array([m.leak for m in made])
            self._stacked = rows, links, leaks  # at once: several threads may ask
        at = [rows[symptom] for symptom in symptoms]
        return links[at], leaks[at]

    def kept(self, key: Hashable, make: Callable[[], Finding | None]) -> Finding | None:
        """A finding computed from the vehicle, the network and what the key says."""
        try:
            return self._kept[key]
        except KeyError:
            pass
        if len(self._kept) >= MOST_KEPT:
            self._kept.clear()
        made = self._kept[key] = make()
        return made

    def background(self, symptom: str) -> float:
        """How often the symptom is reported without any of its causes."""
        rules = self._rules.get(symptom, [])
        word = next((r.otherwise for r in rules if r.otherwise), None)
        return float(self.pack.info.scale[word or self.pack.symptoms[symptom].background])

    def _make(self, symptom: str, place: Place | None) -> Links:
        strength = np.zeros(len(self.network.nodes))
        chosen: dict[int, tuple[tuple[int, int], str]] = {}
        for rule in self._rules.get(symptom, []):
            if place is not None and rule.given.place and place.group not in rule.given.place:
                continue
            for node, rank, p in self._statements(rule):
                if node not in chosen or rank > chosen[node][0]:
                    chosen[node] = (rank, rule.id)
                    strength[node] = p
        link = strength[self.network.state_node]
        if place is not None:
            link = link * self._reaches(place)
        rules = {node: rule_id for node, (_, rule_id) in sorted(chosen.items())}
        return Links(link, self.background(symptom), rules)

    def _statements(self, rule: Rule) -> list[tuple[int, tuple[int, int], float]]:
        """(node, how specific, probability) of everything a rule says."""
        given = rule.given
        narrow = sum(map(bool, (given.vehicle, given.duty, given.wheel, given.place)))
        said = []
        for word, names in rule.shows.items():
            p = float(self.pack.info.scale[word])
            for name in names:
                rank = (narrow, int(name in self.pack.causes))
                for cause in self.pack.causes_named(name):
                    for node in self.network.nodes_of.get(cause, ()):
                        group = self.network.nodes[node].group
                        if not given.place or group is None or group in given.place:
                            said.append((node, rank, p))
        return said

    def _reaches(self, place: Place) -> Array:
        """(states,) 1 where a cause at the state can show at the place, else 0."""
        return np.array(
            [
                1.0 if here is None or place.covers(here) or here.covers(place) else 0.0
                for here in self.network.place
            ]
        )
