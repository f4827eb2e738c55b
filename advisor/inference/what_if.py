"""What would follow if one more thing were known, for many candidate things, cheaply.

The terms of the evidence so far are made once. A further finding not seen multiplies each cause's
factor; a further finding seen is everything less that. So a candidate costs one pass over the terms
instead of a new inference.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import log10

import numpy as np

from advisor.inference.aspects import temper
from advisor.inference.posterior import IMPOSSIBLE, Grouping, infer
from advisor.inference.quickscore import doubled, pose
from advisor.model.network import Array, Finding, Network, Posterior

MOST_TERMS = 2**11  # beyond this the candidates are weighed from the posterior alone
QUICK = 1e-6  # precision that is enough to compare suppositions


@dataclass(frozen=True)
class Supposed:
    """Posteriors if a symptom were answered yes or no, and the chance of yes."""

    yes: Posterior
    no: Posterior
    chance: float


class Suppositions:
    """One body of evidence, open to candidates."""

    def __init__(
        self, network: Network, findings: Sequence[Finding], grouping: Grouping, bound: float
    ):
        self.network, self.grouping, self.bound = network, grouping, bound
        self.findings = list(findings)
        self._aspects = {(f.aspect or f.symptom, str(f.place)) for f in findings}
        problem = pose(network, temper(findings, bound))
        self._plain: Posterior | None = None
        self._few = len(problem.first) <= int(np.log2(MOST_TERMS))
        if not self._few:
            return
        rows = list(zip(problem.stay, problem.first, problem.second, strict=True))
        stays, self._coefficients = doubled(rows, len(network.state_node))
        self._weights = stays * problem.base
        self._absent = problem.absent
        self._scale = problem.constant
        self._all = self._sums(self._weights, 1.0)

    def _sums(self, weights: Array, scale: float) -> tuple[float, Array, Array]:
        """(likelihood, joint of each state, joint of no node of each cause) over the terms."""
        network = self.network
        factors = np.add.reduceat(weights, network.first_state, axis=1) + self._absent
        terms = (self._scale * scale) * self._coefficients * np.multiply.reduce(factors, axis=1)
        inverse = 1 / factors
        present = terms @ (weights * inverse[:, network.state_node])
        gone = np.multiply.reduceat(self._absent * inverse, self.grouping.cause_runs, axis=1)
        return float(terms.sum()), present, terms @ gone

    def both(self, yes: Sequence[Finding], no: Sequence[Finding]) -> Supposed:
        """yes: findings (usually one) if answered yes; no: findings if answered no."""
        restates = any((f.aspect or f.symptom, str(f.place)) in self._aspects for f in [*yes, *no])
        if not self._few:
            return self._roughly(yes, no)
        if restates or len(yes) != 1:
            return self._slowly(yes, no)
        hidden = self._without([yes[0]])
        shown = (
            self._all[0] - hidden[0],
            self._all[1] - hidden[1],
            self._all[2] - hidden[2],
        )
        chance = shown[0] / self._all[0]
        not_shown = hidden if _same(yes[0], no) else self._without(no)
        if min(shown[0], not_shown[0]) <= IMPOSSIBLE:
            return self._slowly(yes, no)
        return Supposed(self._posterior(*shown), self._posterior(*not_shown), chance)

    def _without(self, findings: Sequence[Finding]) -> tuple[float, Array, Array]:
        """Sums with these findings not seen."""
        factor, scale = np.ones(len(self.network.state_node)), 1.0
        for finding in findings:
            factor = factor * (1 - finding.link) ** finding.power
            scale *= (1 - finding.leak) ** finding.power
        return self._sums(self._weights * factor, scale)

    def _posterior(self, likelihood: float, present: Array, none: Array) -> Posterior:
        state = np.clip(present / likelihood, 0.0, 1.0)
        node = np.clip(np.add.reduceat(state, self.network.first_state), 0.0, 1.0)
        cause = np.clip(1 - none / likelihood, 0.0, 1.0)
        by_cause = dict(zip(self.grouping.causes, map(float, cause), strict=True))
        return Posterior(node, state, by_cause, log10(likelihood), "supposed")

    def _slowly(self, yes: Sequence[Finding], no: Sequence[Finding]) -> Supposed:
        """The same by plain inference, where restatement or size forbids the short way."""
        with_yes = infer(self.network, [*self.findings, *yes], self.grouping, self.bound, QUICK)
        with_no = infer(self.network, [*self.findings, *no], self.grouping, self.bound, QUICK)
        return Supposed(with_yes, with_no, self._chance(yes))

    def _chance(self, yes: Sequence[Finding]) -> float:
        """Chance of yes, the new finding in full whatever it restates."""
        keep = 1.0
        for finding in yes:
            shown = np.add.reduceat(self._now().state * finding.link, self.network.first_state)
            keep *= (1 - finding.leak) * float(np.prod(1 - np.clip(shown, 0, 1)))
        return 1 - keep

    def _now(self) -> Posterior:
        if self._few:
            return self._posterior(*self._all)
        if self._plain is None:
            self._plain = infer(self.network, self.findings, self.grouping, self.bound, QUICK)
        return self._plain

    def _roughly(self, yes: Sequence[Finding], no: Sequence[Finding]) -> Supposed:
        """For very rich evidence: causes taken as independent after it. Only the plan sees this,
        never the ranking."""
        now = self._now()
        fresh = Network(
            self.network.nodes,
            np.clip(now.node, 1e-12, 1 - 1e-12),
            self.network.state_node,
            now.state / np.maximum(now.node, 1e-12)[self.network.state_node],
            self.network.place,
        )
        with_yes = infer(fresh, yes, self.grouping, self.bound, QUICK)
        with_no = infer(fresh, no, self.grouping, self.bound, QUICK)
        return Supposed(with_yes, with_no, self._chance(yes))


def _same(yes: Finding, no: Sequence[Finding]) -> bool:
    """Whether "no" is just "yes" not shown, so that its sums are known already."""
    if len(no) != 1 or (no[0].power, no[0].leak) != (1.0, yes.leak):
        return False
    return np.array_equal(yes.link, no[0].link)
