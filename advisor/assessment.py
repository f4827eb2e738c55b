"""A case with its posterior: what the planner may ask and the composer shows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from advisor.evidence.findings import Evidence, from_answer
from advisor.evidence.network import groups_of
from advisor.inference.posterior import Grouping
from advisor.inference.what_if import Candidate, Supposed, Suppositions, Told
from advisor.model.case import Answer, Case
from advisor.model.diagnosis import ReadingNote
from advisor.model.network import Array, Finding, Network, Posterior
from advisor.model.pack import Pack, Rule
from advisor.model.place import Place


@dataclass
class Assessment:
    """A case with its posterior, open to suppositions (see plan.assess.Assess)."""

    pack: Pack
    case: Case
    evidence: Evidence
    grouping: Grouping
    now: Posterior
    suppositions: Suppositions
    notes: tuple[ReadingNote, ...] = ()
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

    def suppose(self, symptom: str, places: Sequence[Place | None]) -> Supposed:
        """Posteriors if the symptom were answered yes (somewhere, if at several places) or no (at
        all of them), and the chance of yes."""
        return self.suppose_each([symptom], places)[0]

    def suppose_each(
        self, symptoms: Sequence[str], places: Sequence[Place | None] = (None,)
    ) -> list[Supposed]:
        """The same for each of several symptoms, in one go."""
        return self.suppositions.each([self._candidate(s, places) for s in symptoms])

    def suppose_causes(self, symptoms: Sequence[str]) -> Told:
        """What each answer, anywhere, would do to the causes."""
        return self.suppositions.causes([self._candidate(s, (None,)) for s in symptoms])

    def _candidate(self, symptom: str, places: Sequence[Place | None]) -> Candidate:
        groups = len(groups_of(self.pack, self.case.vehicle))
        links = self.evidence.links
        somewhere = places[0] if len(places) == 1 else None
        yes = from_answer(Answer(symptom, "yes", somewhere), links, groups)
        no = [from_answer(Answer(symptom, "no", place), links, groups) for place in places]
        return Candidate([yes], no)

    def links(self, symptom: str, place: Place | None) -> tuple[Array, float]:
        """(states,) links and background of a symptom at a place."""
        made = self.evidence.links.of(symptom, place)
        return made.link, made.leak

    def links_each(self, symptoms: Sequence[str]) -> tuple[Array, Array]:
        """(symptoms, states) links and (symptoms,) backgrounds, at no place in particular."""
        return self.evidence.links.each(symptoms)

    def rule(self, id_: str) -> Rule:
        """A rule by its id."""
        if not self._rules:
            self._rules.update({rule.id: rule for rule in self.pack.rules})
        return self._rules[id_]
