"""The terms of the signed sum, kept so that other coefficients and factors cost one pass each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from advisor.inference.quickscore import MOST_TERMS_AT_ONCE
from advisor.inference.runs import run_products, run_sums
from advisor.model.network import Array, Network

ROUNDING = 2e-15  # of a term, with some to spare


@dataclass(frozen=True)
class Sums:
    """likelihood; present: (states,) joint with each state, empty where nobody asked for it; none:
    (causes,) joint with no node of the cause; size: of all terms without their signs, which the
    rounding error hangs on."""

    likelihood: float
    present: Array
    none: Array
    size: float

    def __add__(self, other: Sums) -> Sums:
        return Sums(
            self.likelihood + other.likelihood,
            self.present + other.present,
            self.none + other.none,
            self.size + other.size,
        )

    def __sub__(self, other: Sums) -> Sums:
        return Sums(
            self.likelihood - other.likelihood,
            self.present - other.present,
            self.none - other.none,
            self.size + other.size,
        )

    def without_states(self) -> Sums:
        """The same, but for the states."""
        return replace(self, present=np.zeros(0))

    @property
    def share_none(self) -> Array:
        """(causes,) probability that the cause is not present."""
        return self.none / self.likelihood

    def precise(self, to: float, least: float) -> bool:
        """Whether more than `least` is left of what cancels, with a relative error below `to`."""
        return self.likelihood > least and self.size * ROUNDING <= to * self.likelihood


@dataclass(frozen=True)
class Pass:
    """One sum over the terms. given: (terms,) coefficients; factor: (states,) of each weight."""

    given: Array
    factor: Array


@dataclass(frozen=True)
class Terms:
    """weights: (states, terms); absent: (nodes,) prior weight of absence; cause_runs: first node of
    each cause."""

    weights: Array
    absent: Array
    network: Network
    cause_runs: NDArray[np.intp]

    def sums(self, passes: Sequence[Pass], states: bool = True) -> list[Sums]:
        """What each pass comes to. Many at once, as far as they stay in the processor's cache.
        states: False where causes are enough, which is half the work."""
        at_once = max(1, MOST_TERMS_AT_ONCE // max(1, self.weights.size))
        made: list[Sums] = []
        for start in range(0, len(passes), at_once):
            made += self._together(passes[start : start + at_once], states)
        return made

    def _together(self, passes: Sequence[Pass], states: bool) -> list[Sums]:
        """Arrays are (states or nodes or causes, passes, terms)."""
        factor = np.array([p.factor for p in passes]).T
        weights = self.weights[:, None, :] * factor[:, :, None]
        absent = self.absent[:, None, None]
        factors = run_sums(weights, self.network.first_state)
        factors += absent
        terms = np.array([p.given for p in passes]) * np.multiply.reduce(factors, axis=0)
        present = np.zeros((len(passes), 0))
        if states:
            weights /= factors[self.network.state_node]
            present = np.einsum("spt,pt->ps", weights, terms)
        gone = np.divide(absent, factors, out=factors)
        none = np.einsum("cpt,pt->pc", run_products(gone, self.cause_runs), terms)
        likelihood, size = terms.sum(axis=1).tolist(), np.abs(terms).sum(axis=1).tolist()
        return [Sums(*one) for one in zip(likelihood, present, none, size, strict=True)]
