"""A case with its posterior: what the planner may ask and the composer shows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from advisor.evidence.findings import Evidence, from_answer
from advisor.evidence.network import groups_of
from advisor.inference.posterior import Grouping, infer
from advisor.model.case import Answer, Case
from advisor.model.network import Array, Finding, Network, Posterior
from advisor.model.pack import Pack, Rule
from advisor.model.place import Place

QUICK = 1e-6  # precision that is enough to compare suppositions


@dataclass
class Assessment:
    """A case with its posterior, open to suppositions (see plan.assess.Assess)."""

    pack: Pack
    case: Case
    evidence: Evidence
    grouping: Grouping
    now: Posterior
    _rules: dict[str, Rule] = field(default_factory=dict)

    @property
    def network(self) -> Network:
        """Causes at places."""
        return self.evidence.network

    @property
    def findings(self) -> Sequence[Finding]:
        """Everything said and measured."""
        return self.evidence.findings

    @property
    def bound(self) -> float:
        """How far restatements count."""
        return float(self.pack.info.restatement_bound)

    def suppose(self, symptom: str, state: str, places: Sequence[Place | None]) -> Posterior:
        """Posterior if the symptom were answered so at these places as well."""
        groups = len(groups_of(self.pack, self.case.vehicle))
        extra = [
            from_answer(Answer(symptom, state, place), self.evidence.links, groups)  # type: ignore[arg-type]
            for place in places
        ]
        return infer(self.network, [*self.findings, *extra], self.grouping, self.bound, QUICK)

    def chance(self, symptom: str, place: Place | None) -> float:
        """Probability of a yes: one minus the chance that no cause and no accident shows it.

        Causes are taken as independent after the evidence too; used for planning only.
        """
        link, leak = self.links(symptom, place)
        per_node = np.add.reduceat(self.now.state * link, self.network.first_state)
        return float(1 - (1 - leak) * np.prod(1 - np.clip(per_node, 0, 1)))

    def links(self, symptom: str, place: Place | None) -> tuple[Array, float]:
        """(states,) links and background of a symptom at a place."""
        made = self.evidence.links.of(symptom, place)
        return made.link, made.leak

    def rule(self, id_: str) -> Rule:
        """A rule by its id."""
        if not self._rules:
            self._rules.update({rule.id: rule for rule in self.pack.rules})
        return self._rules[id_]
