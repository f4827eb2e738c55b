"""Whether the findings fit together at all.

Findings of one fault support each other: together they are likelier than the product of each alone.
Where they are less likely together, either something rare happened, or an answer is wrong, or the
fault is none of the list. conflict = log10(product of P(each) / P(all)), given that there is a
complaint (the data-conflict measure of Jensen and others, 1990; from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from advisor.inference.aspects import temper
from advisor.inference.quickscore import pose, score
from advisor.model.network import Finding, Network, Posterior

NO_RUNS = np.zeros(0, dtype=np.intp)


@dataclass(frozen=True)
class Conflict:
    """log10_ratio above zero: the findings speak against each other. odd: the finding without
    which they fit best, and by how much better."""

    log10_ratio: float
    odd: str
    relief: float


def conflict(
    network: Network,
    findings: Sequence[Finding],
    base: Finding,
    bound: float,
    full: Posterior,
    without: dict[str, float],
) -> Conflict:
    """base: the finding given in any case; without: log10 likelihood of the evidence with each
    finding (by key) left out."""
    start = _log10(network, [base])
    tempered = {f.key: f for f in temper(findings, bound)}
    alone = {
        f.key: _log10(network, [base, tempered[f.key]]) - start
        for f in findings
        if f.key in tempered and f.key != base.key and not f.implied
    }
    implied = [f for f in tempered.values() if f.implied]
    rest = sum(_log10(network, [base, f]) - start for f in implied)
    ratio = sum(alone.values()) + rest - (full.log10_likelihood - start)
    odd, relief = "", 0.0
    for key, single in alone.items():
        gain = single - (full.log10_likelihood - without.get(key, full.log10_likelihood))
        if gain > relief:
            odd, relief = key, gain
    return Conflict(ratio, odd, relief)


def _log10(network: Network, findings: Sequence[Finding]) -> float:
    likelihood = score(pose(network, findings), NO_RUNS).likelihood
    return float(np.log10(max(likelihood, 1e-300)))
