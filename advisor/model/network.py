"""The two-layer network a case becomes: causes at places on top, findings below."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from advisor.model.place import Place

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Node:
    """A cause, at an axle group for causes at a wheel end."""

    cause: str
    group: str | None

    def __str__(self) -> str:
        return f"{self.cause}@{self.group}" if self.group else self.cause


@dataclass(frozen=True)
class Network:
    """Causes with independent priors; a present wheel-end cause is at exactly one position of its
    axle group. Positions are the states of a node, equally likely before evidence.

    prior: (nodes,); state_node: (states,) index of the node; share: (states,) probability of the
    position given that the node is present; place: of each state, None for unplaced causes.
    States of one node stand together, and so do nodes of one cause.
    """

    nodes: tuple[Node, ...]
    prior: Array
    state_node: NDArray[np.intp]
    share: Array
    place: tuple[Place | None, ...]

    @cached_property
    def first_state(self) -> NDArray[np.intp]:
        """(nodes,) index of each node's first state."""
        return np.searchsorted(self.state_node, np.arange(len(self.nodes)))

    @cached_property
    def place_names(self) -> tuple[str, ...]:
        """Of each state; empty for unplaced causes."""
        return tuple("" if place is None else str(place) for place in self.place)

    @cached_property
    def nodes_of(self) -> Mapping[str, range]:
        """The nodes of each cause, in their order."""
        at: dict[str, list[int]] = {}
        for index, node in enumerate(self.nodes):
            at.setdefault(node.cause, []).append(index)
        return {cause: range(nodes[0], nodes[-1] + 1) for cause, nodes in at.items()}

    def states_of(self, cause: str) -> range:
        """The states of a cause."""
        nodes = self.nodes_of[cause]
        after = nodes.stop == len(self.nodes)
        stop = len(self.state_node) if after else int(self.first_state[nodes.stop])
        return range(int(self.first_state[nodes.start]), stop)


@dataclass(frozen=True)
class Finding:
    """One piece of evidence: a noisy-OR of the causes present, seen, not seen, or half seen.

    P(shown | causes) = 1 - (1 - leak) x product of (1 - link) over the states present.
    kind: present and absent are certain; soft weighs `shown` by lambda1 and `not shown` by
    lambda0. power: exponent of an absent finding that restates another (1 = in full).
    link: (states,); rules: rule id by node index, for the explanation.
    """

    symptom: str
    place: Place | None
    kind: Literal["present", "absent", "soft"]
    link: Array
    leak: float
    lambda1: float = 1.0
    lambda0: float = 0.0
    power: float = 1.0
    implied: bool = False
    says: str = ""
    origin: str = "asked"
    aspect: str = ""
    rules: Mapping[int, str] = field(default_factory=dict)
    from_symptom: str = ""

    @cached_property
    def strongest(self) -> float:
        """The largest link."""
        return float(self.link.max(initial=0.0))

    @property
    def key(self) -> str:
        """symptom@place, unique within a case."""
        return f"{self.symptom}@{self.place}" if self.place else self.symptom


@dataclass(frozen=True)
class Posterior:
    """What inference returns. node: (nodes,) probability of presence; state: (states,);
    cause: probability that the cause is present at any place; log10_likelihood: of all evidence
    together; method: which exact algorithm was used."""

    node: Array
    state: Array
    cause: Mapping[str, float]
    log10_likelihood: float
    method: str
