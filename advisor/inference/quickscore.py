"""Exact posteriors in a two-layer noisy-OR network.

Heckerman, "A tractable inference algorithm for diagnosing multiple diseases", UAI 1989 (arXiv
1304.1511): findings not seen factor over the causes; each finding seen (or half seen) doubles the
number of terms, whatever the number of causes. A cause with several positions is one factor whose
states are summed.

The terms alternate in sign. Where their cancellation would cost precision the same quantity is
computed without any subtraction (see covering.py).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from advisor.model.network import Array, Finding, Network

MOST_TERMS_AT_ONCE = 2**17  # slices that stay in the processor's cache: seven times as fast
WORST_CANCELLATION = 1e-10  # relative error at which the subtraction-free method takes over


@dataclass(frozen=True)
class Scored:
    """likelihood: probability of the evidence; present: (states,) joint probability with each
    state; none_of: for each run of neighboring nodes the joint probability that none of them is
    present; error: bound on the relative rounding error."""

    likelihood: float
    present: Array
    none_of: Array
    error: float


@dataclass(frozen=True)
class Problem:
    """Arrays of one inference problem. base: (states,) prior weight of each state times the
    factors of absent findings; absent: (nodes,) prior weight of absence; stay: (k, states)
    1 - link of the doubling findings; first/second: (k,) the two coefficients of each
    (first + second x not-shown); constant: factor of the absent findings' leaks."""

    network: Network
    base: Array
    absent: Array
    stay: Array
    first: Array
    second: Array
    constant: float


def pose(network: Network, findings: Iterable[Finding]) -> Problem:
    """Split the findings into factors and doubling terms."""
    base = network.prior[network.state_node] * network.share
    constant = 1.0
    stay, first, second = [], [], []
    for finding in findings:
        if finding.kind == "absent":
            base = base * (1 - finding.link) ** finding.power
            constant *= (1 - finding.leak) ** finding.power
            continue
        shown, hidden = (
            (1.0, 0.0) if finding.kind == "present" else (finding.lambda1, finding.lambda0)
        )
        stay.append(1 - finding.link)
        first.append(shown)
        second.append((hidden - shown) * (1 - finding.leak))
    states = len(network.state_node)
    return Problem(
        network,
        base,
        1 - network.prior,
        np.array(stay).reshape(len(stay), states),
        np.array(first),
        np.array(second),
        constant,
    )


def doubled(rows: Sequence[tuple[Array, float, float]], states: int) -> tuple[Array, Array]:
    """All 2^k products: stays (2^k, states) and coefficients (2^k,)."""
    stays = np.ones((1, states))
    coefficients = np.ones(1)
    for stay, first, second in rows:
        stays = np.concatenate((stays, stays * stay))
        coefficients = np.concatenate((coefficients * first, coefficients * second))
    return stays, coefficients


def score(problem: Problem, runs: NDArray[np.intp]) -> Scored:
    """Sum the 2^k signed terms, in slices that fit in memory.

    runs: index of the first node of each run; a run ends where the next begins.
    """
    network = problem.network
    rows = list(zip(problem.stay, problem.first, problem.second, strict=True))
    states = len(network.state_node)
    inner = min(len(rows), int(np.log2(MOST_TERMS_AT_ONCE / max(states, 1))))
    stays, coefficients = doubled(rows[:inner], states)
    outer_stays, outer_coefficients = doubled(rows[inner:], states)
    likelihood, magnitude = 0.0, 0.0
    present = np.zeros(states)
    none_of = np.zeros(len(runs))
    starts = network.first_state
    for outer_stay, outer in zip(outer_stays, outer_coefficients, strict=True):
        weights = stays * (outer_stay * problem.base)
        factors = np.add.reduceat(weights, starts, axis=1) + problem.absent
        terms = outer * coefficients * np.multiply.reduce(factors, axis=1)
        likelihood += terms.sum()
        magnitude += np.abs(terms).sum()
        np.divide(problem.absent, factors, out=factors)  # P(absent | term), reused as 1/factor
        weights *= (factors / problem.absent)[:, network.state_node]
        present += terms @ weights
        if len(runs):
            none_of += terms @ np.multiply.reduceat(factors, runs, axis=1)
    error = magnitude * 1e-16 * (len(rows) + 4) / likelihood if likelihood > 0 else np.inf
    scale = problem.constant
    return Scored(scale * likelihood, scale * present, scale * none_of, float(error))
