"""What the planner may ask of the rest: what would follow if one more thing were known."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from advisor.model.network import Array, Finding, Network, Posterior
from advisor.model.place import Place


class Supposed(Protocol):
    """Posteriors if something were answered yes or no, and the chance of yes."""

    @property
    def yes(self) -> Posterior:
        """If yes."""
        ...

    @property
    def no(self) -> Posterior:
        """If no."""
        ...

    @property
    def chance(self) -> float:
        """Chance of yes."""
        ...


class Told(Protocol):
    """(candidates,) chance of yes; (candidates, causes) probabilities if answered yes or no."""

    @property
    def chance(self) -> Array:
        """Chance of yes."""
        ...

    @property
    def yes(self) -> Array:
        """If yes."""
        ...

    @property
    def no(self) -> Array:
        """If no."""
        ...


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

    @property
    def bound(self) -> float:
        """How far restatements count."""
        ...

    def suppose(self, symptom: str, places: Sequence[Place | None]) -> Supposed:
        """Posteriors if the symptom were answered yes or no, and the chance of yes."""
        ...

    def suppose_causes(self, symptoms: Sequence[str]) -> Told:
        """What each of several answers, anywhere, would do to the causes."""
        ...

    def links(self, symptom: str, place: Place | None) -> tuple[object, float]:
        """(states,) links of a symptom at a place, and its background."""
        ...

    def links_each(self, symptoms: Sequence[str]) -> tuple[Array, Array]:
        """(symptoms, states) links and (symptoms,) backgrounds, at no place in particular."""
        ...
