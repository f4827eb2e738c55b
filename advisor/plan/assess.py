"""What the planner may ask of the rest: what would follow if one more thing were known."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from advisor.model.network import Finding, Network, Posterior
from advisor.model.place import Place


class Assess(Protocol):
    """The case as it stands, open to suppositions."""

    @property
    def network(self) -> Network:
        """Causes at places."""
        ...

    @property
    def findings(self) -> Sequence[Finding]:
        """Everything said and measured."""
        ...

    @property
    def now(self) -> Posterior:
        """As things stand."""
        ...

    def suppose(self, symptom: str, state: str, places: Sequence[Place | None]) -> Posterior:
        """Posterior if the symptom were answered yes or no at these places as well."""
        ...

    def chance(self, symptom: str, place: Place | None) -> float:
        """Probability that the symptom would be answered yes at a place."""
        ...

    def links(self, symptom: str, place: Place | None) -> tuple[object, float]:
        """(states,) links of a symptom at a place, and its background."""
        ...
