"""What would follow if one more thing were known, for many candidate things, cheaply.

The terms of the evidence so far are made once. A further finding not seen multiplies each cause's
factor; a further finding seen is everything less that. Where it restates what was said, earlier
findings count in another share, which is another coefficient of the same terms. So a candidate
costs a pass over the terms or two instead of a new inference.
"""

from __future__ import annotations

import functools
import operator
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import log10

import numpy as np

from advisor.inference.aspects import aspect_of, restated, temper
from advisor.inference.posterior import IMPOSSIBLE, Grouping, infer
from advisor.inference.quickscore import (
    MOST_TERMS_AT_ONCE,
    coefficients,
    doubled,
    pose,
    seen_as,
)
from advisor.inference.terms import Pass, Sums, Terms
from advisor.model.network import Array, Finding, Network, Posterior

MOST_TERMS = 2**11  # beyond this the candidates are weighed from the posterior alone
QUICK = 1e-6  # precision that is enough to compare suppositions


@dataclass(frozen=True)
class Candidate:
    """yes: findings (usually one) if answered yes; no: findings if answered no."""

    yes: Sequence[Finding]
    no: Sequence[Finding]


@dataclass(frozen=True)
class Supposed:
    """Posteriors if a symptom were answered yes or no, and the chance of yes."""

    yes: Posterior
    no: Posterior
    chance: float


@dataclass(frozen=True)
class Told:
    """Of several candidates: (candidates,) chance of yes, and (candidates, causes) probabilities if
    answered yes or no, in the order of the causes."""

    chance: Array
    yes: Array
    no: Array


class Suppositions:
    """One body of evidence, open to candidates."""

    def __init__(
        self, network: Network, findings: Sequence[Finding], grouping: Grouping, bound: float
    ):
        self.network, self.grouping, self.bound = network, grouping, bound
        self.findings = list(findings)
        self._said: dict[tuple[str, str], list[Finding]] = {}
        for finding in self.findings:
            self._said.setdefault(aspect_of(finding), []).append(finding)
        tempered = temper(self.findings, bound)
        self._problem = pose(network, tempered)
        self._few = len(self._problem.first) <= int(np.log2(MOST_TERMS))
        self._seat = {f.key: n for n, f in enumerate(f for f in tempered if f.kind != "absent")}

    @functools.cached_property
    def _terms(self) -> Terms:
        p, network = self._problem, self.network
        weights = doubled(p.stay, len(network.state_node)) * p.base[:, None]
        return Terms(weights, p.absent, network, self.grouping.cause_runs)

    @functools.cached_property
    def _coefficients(self) -> Array:
        return coefficients(self._problem.first, self._problem.second)

    @functools.cached_property
    def _all(self) -> Sums:
        p = self._problem
        return self._terms.sums([Pass(p.constant * self._coefficients, np.ones(len(p.base)))])[0]

    @functools.cached_property
    def _now(self) -> Posterior:
        if self._few:
            return self._posterior(self._all)
        return infer(self.network, self.findings, self.grouping, self.bound, QUICK)

    def now(self, precision: float) -> Posterior:
        """The posterior as things stand, as `infer` gives it; from the terms that candidates need
        anyhow, where these are few and precise enough."""
        terms = len(self._problem.base) * 2 ** len(self._problem.first)
        if terms <= MOST_TERMS_AT_ONCE and self._all.precise(precision, IMPOSSIBLE):
            return replace(self._posterior(self._all), method="quickscore")
        return infer(self.network, self.findings, self.grouping, self.bound, precision)

    def each(self, candidates: Sequence[Candidate]) -> list[Supposed]:
        """What would follow from each candidate, in their order."""
        if not self._few:
            return [self._roughly(c) for c in candidates]
        sums = self._sums(candidates, True)
        return [self._supposed(c, *pair) for c, pair in zip(candidates, sums, strict=True)]

    def causes(self, candidates: Sequence[Candidate]) -> Told:
        """The same of the causes alone, as arrays, which costs less."""
        sums = self._sums(candidates, False) if self._few else []
        if not all(_sure(one) for pair in sums for one in pair) or not sums:
            return _told(self.each(candidates))
        chance = [self._chance(c, yes) for c, (yes, _) in zip(candidates, sums, strict=True)]
        yes, no = (np.array([s.share_none for s in side if s]) for side in zip(*sums, strict=True))
        return Told(np.array(chance), np.clip(1 - yes, 0.0, 1.0), np.clip(1 - no, 0.0, 1.0))

    def _sums(
        self, candidates: Sequence[Candidate], states: bool
    ) -> list[tuple[Sums | None, Sums | None]]:
        """Of every candidate's yes and no; None where the short way does not go."""
        now = self._all if states else self._all.without_states()
        # a fresh yes is everything less its no, and takes no passes of its own
        ways = [([] if self._rest(c) else self._with(c.yes), self._with(c.no)) for c in candidates]
        passes = [p for pair in ways for way in pair for p in way or ()]
        sums = iter(self._terms.sums(passes, states))
        made: list[tuple[Sums | None, Sums | None]] = []
        for yes, no in ways:
            shown, hidden = _total(sums, yes), _total(sums, no)
            if yes == [] and hidden is not None:
                shown = now - hidden
            made.append((shown, hidden))
        return made

    def _supposed(self, candidate: Candidate, yes: Sums | None, no: Sums | None) -> Supposed:
        if yes is None or no is None or not (_sure(yes) and _sure(no)):
            return self._slowly(candidate)
        chance = self._chance(candidate, yes)
        return Supposed(self._posterior(yes), self._posterior(no), chance)

    def _fresh(self, candidate: Candidate) -> bool:
        """Whether a yes is one finding that restates nothing."""
        return len(candidate.yes) == 1 and aspect_of(candidate.yes[0]) not in self._said

    def _rest(self, candidate: Candidate) -> bool:
        """Whether the yes is all that its no is not."""
        return self._fresh(candidate) and _same(candidate.yes[0], candidate.no)

    def _with(self, new: Sequence[Finding]) -> list[Pass] | None:
        """Passes for these findings too; None where that takes other terms than there are."""
        shares: dict[int, tuple[float, float]] = {}
        factor, scale = np.ones(len(self.network.state_node)), self._problem.constant
        doubling: list[Finding] = []
        for before, after in self._moved(new):
            finding = after or before
            if finding is None:
                return None
            power = _power(after) - _power(before)
            if power < 0 and finding.link.max() >= 1:
                return None
            if power:
                stay = 1 - finding.link
                factor = factor * (stay if power == 1 else stay**power)
                scale *= (1 - finding.leak) ** power
            elif before is not None and before.kind != "absent":
                shares[self._seat[finding.key]] = seen_as(after) if after else (1.0, 0.0)
            elif before is None:
                doubling.append(finding)
        passes = [Pass(scale * self._counted(shares), factor)]
        for finding in doubling:
            shown, hidden = seen_as(finding)
            stay = 1 - finding.link
            passes = [
                *(Pass(p.given * shown, p.factor) for p in passes),
                *(Pass(p.given * hidden, p.factor * stay) for p in passes),
            ]
        return passes

    def _counted(self, shares: Mapping[int, tuple[float, float]]) -> Array:
        """(terms,) coefficients when findings at these seats count otherwise than before."""
        if not shares:
            return self._coefficients
        first, second = self._problem.first.copy(), self._problem.second.copy()
        for seat, (shown, hidden) in shares.items():
            first[seat], second[seat] = shown, hidden
        return coefficients(first, second)

    def _moved(self, new: Sequence[Finding]) -> Iterator[tuple[Finding | None, Finding | None]]:
        """(as it counts, as it would count) of every finding the new ones change, themselves too.
        (None, None) where two findings go by one name."""
        fresh: dict[tuple[str, str], list[Finding]] = {}
        for finding in new:
            fresh.setdefault(aspect_of(finding), []).append(finding)
        for aspect, more in fresh.items():
            said = self._said.get(aspect, [])
            if not said and len(more) == 1:
                yield None, more[0]
                continue
            if len({f.key for f in [*said, *more]}) < len(said) + len(more):
                yield None, None
                return
            before = {f.key: f for f in restated(said, self.bound)}
            after = {f.key: f for f in restated([*said, *more], self.bound)}
            for key in dict.fromkeys([*before, *after]):
                yield before.get(key), after.get(key)

    def _posterior(self, sums: Sums) -> Posterior:
        state = np.clip(sums.present / sums.likelihood, 0.0, 1.0)
        node = np.clip(np.add.reduceat(state, self.network.first_state), 0.0, 1.0)
        cause = np.clip(1 - sums.none / sums.likelihood, 0.0, 1.0)
        by_cause = dict(zip(self.grouping.causes, cause.tolist(), strict=True))
        return Posterior(node, state, by_cause, log10(sums.likelihood), "supposed")

    def _slowly(self, candidate: Candidate) -> Supposed:
        """The same by plain inference, where the short way does not go or is not precise."""
        with_yes, with_no = (
            infer(self.network, [*self.findings, *new], self.grouping, self.bound, QUICK)
            for new in (candidate.yes, candidate.no)
        )
        return Supposed(with_yes, with_no, self._chance(candidate, None))

    def _chance(self, candidate: Candidate, yes: Sums | None) -> float:
        """Chance of yes, the new finding in full whatever it restates. yes: its sums."""
        if yes is not None and self._fresh(candidate):
            return yes.likelihood / self._all.likelihood
        keep = 1.0
        for finding in candidate.yes:
            shown = np.add.reduceat(self._now.state * finding.link, self.network.first_state)
            keep *= (1 - finding.leak) * float(np.prod(1 - np.clip(shown, 0, 1)))
        return 1 - keep

    def _roughly(self, candidate: Candidate) -> Supposed:
        """For very rich evidence: causes taken as independent after it. Only the plan sees this,
        never the ranking."""
        now = self._now
        fresh = Network(
            self.network.nodes,
            np.clip(now.node, 1e-12, 1 - 1e-12),
            self.network.state_node,
            now.state / np.maximum(now.node, 1e-12)[self.network.state_node],
            self.network.place,
        )
        with_yes, with_no = (
            infer(fresh, new, self.grouping, self.bound, QUICK)
            for new in (candidate.yes, candidate.no)
        )
        return Supposed(with_yes, with_no, self._chance(candidate, None))


def _total(sums: Iterator[Sums], passes: Sequence[Pass] | None) -> Sums | None:
    """The sum of the next ones, as many as there are passes."""
    return functools.reduce(operator.add, [next(sums) for _ in passes]) if passes else None


def _told(supposed: Sequence[Supposed]) -> Told:
    yes, no = (
        np.array([list(side.cause.values()) for side in sides])
        for sides in ([s.yes for s in supposed], [s.no for s in supposed])
    )
    return Told(np.array([s.chance for s in supposed]), yes, no)


def _sure(sums: Sums | None) -> bool:
    return sums is not None and sums.precise(QUICK, IMPOSSIBLE)


def _power(finding: Finding | None) -> float:
    """The exponent of a finding not seen; 0 for others."""
    return finding.power if finding is not None and finding.kind == "absent" else 0.0


def _same(yes: Finding, no: Sequence[Finding]) -> bool:
    """Whether "no" is just "yes" not shown, so that its sums are known already."""
    if len(no) != 1 or (yes.kind, no[0].kind) != ("present", "absent"):
        return False
    if (no[0].power, no[0].leak) != (1.0, yes.leak):
        return False
    return np.array_equal(yes.link, no[0].link)
