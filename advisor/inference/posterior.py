"""Posterior of every cause, family and place; and what each finding contributed to it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import log10

import numpy as np
from numpy.typing import NDArray

from advisor.errors import ClashingEvidence
from advisor.inference.aspects import temper
from advisor.inference.covering import cover
from advisor.inference.quickscore import WORST_CANCELLATION, Problem, Scored, pose, score
from advisor.model.network import Finding, Network, Posterior

IMPOSSIBLE = 1e-290
DECIBAN_CAP = 60.0
ROUGH = 1e-6  # a bound; what is shown is rounded to a hundredth of a deciban
MOST_FINDINGS_COVERED = 18


@dataclass(frozen=True)
class Grouping:
    """Names of causes and families in node order, and the index of the first node of each."""

    causes: tuple[str, ...]
    cause_runs: NDArray[np.intp]
    families: tuple[str, ...]
    family_runs: NDArray[np.intp]

    @classmethod
    def of(cls, network: Network, family_of: Mapping[str, str]) -> Grouping:
        """Group a network's nodes; nodes of a cause, and causes of a family, stand together."""
        causes = [node.cause for node in network.nodes]
        families = [family_of[cause] for cause in causes]
        return cls(*_runs(causes), *_runs(families))


def _runs(names: Sequence[str]) -> tuple[tuple[str, ...], NDArray[np.intp]]:
    starts = [i for i, name in enumerate(names) if i == 0 or names[i - 1] != name]
    kept = tuple(names[i] for i in starts)
    if len(set(kept)) != len(kept):
        raise ValueError("nodes of one cause or family must be neighbors")
    return kept, np.array(starts, dtype=np.intp)


def infer(
    network: Network,
    findings: Sequence[Finding],
    grouping: Grouping,
    b: float,
    precision: float = WORST_CANCELLATION,
) -> Posterior:
    """Exact posterior after tempering. Raises ClashingEvidence, never returns NaN.

    precision: relative rounding error up to which the signed sum is accepted.
    """
    tempered = temper(findings, b)
    problem = pose(network, tempered)
    scored, method = _score(problem, grouping.cause_runs, precision)
    if not scored.likelihood > IMPOSSIBLE:
        raise ClashingEvidence(_clashing(network, tempered))
    state = np.clip(scored.present / scored.likelihood, 0.0, 1.0)
    node = np.clip(np.add.reduceat(state, network.first_state), 0.0, 1.0)
    cause = np.clip(1 - scored.none_of / scored.likelihood, 0.0, 1.0)
    return Posterior(
        node=node,
        state=state,
        cause=dict(zip(grouping.causes, map(float, cause), strict=True)),
        log10_likelihood=log10(scored.likelihood),
        method=method,
    )


def infer_families(
    network: Network, findings: Sequence[Finding], grouping: Grouping, b: float
) -> dict[str, float]:
    """Probability that some cause of each family is present."""
    problem = pose(network, temper(findings, b))
    scored, _ = _score(problem, grouping.family_runs, ROUGH)
    any_of = np.clip(1 - scored.none_of / scored.likelihood, 0.0, 1.0)
    return dict(zip(grouping.families, map(float, any_of), strict=True))


def _score(problem: Problem, runs: NDArray[np.intp], precision: float) -> tuple[Scored, str]:
    """The fast signed sum where it is precise, the subtraction-free one where it is not."""
    scored = score(problem, runs)
    if scored.error <= precision or len(problem.first) > MOST_FINDINGS_COVERED:
        return scored, "quickscore"
    return cover(problem, runs), "covering"


def _clashing(network: Network, findings: Sequence[Finding]) -> list[str]:
    """Findings without which the rest becomes possible; all of them if no single one does."""
    names = []
    for i, finding in enumerate(findings):
        rest = pose(network, [*findings[:i], *findings[i + 1 :]])
        if score(rest, np.zeros(0, dtype=np.intp)).likelihood > IMPOSSIBLE:
            names.append(finding.says or finding.key)
    return names or [f.says or f.key for f in findings]


@dataclass(frozen=True)
class Weighed:
    """decibans: cause -> 10 log10 of its odds with over without this finding (weight of evidence,
    Good 1950, from memory); first_without: the first cause when it is left out;
    log10_without: log10 likelihood of the evidence without it."""

    finding: Finding
    decibans: Mapping[str, float]
    first_without: str
    log10_without: float


def weigh(
    network: Network, findings: Sequence[Finding], grouping: Grouping, b: float, full: Posterior
) -> list[Weighed]:
    """Leave out each finding in turn. Implied findings go with the answer that implies them."""
    weighed = []
    for head in findings:
        if head.implied:
            continue
        rest = [f for f in findings if f.key != head.key and f.from_symptom != head.key]
        without = infer(network, rest, grouping, b, ROUGH)
        gains = {c: decibans(full.cause[c], without.cause[c]) for c in full.cause}
        weighed.append(Weighed(head, gains, first_cause(without), without.log10_likelihood))
    return weighed


def first_cause(posterior: Posterior) -> str:
    """The most probable cause; ties go by id."""
    return min(posterior.cause, key=lambda c: (-posterior.cause[c], c))


def decibans(after: float, before: float) -> float:
    """10 log10 of the odds ratio, within +/- 60."""
    value = 10 * (_log_odds(after) - _log_odds(before))
    return float(np.clip(value, -DECIBAN_CAP, DECIBAN_CAP))


def _log_odds(p: float) -> float:
    p = min(max(p, 1e-12), 1 - 1e-12)
    return log10(p / (1 - p))
