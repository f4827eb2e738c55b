"""Exact posteriors in a two-layer noisy-OR network.

Heckerman, "A tractable inference algorithm for diagnosing multiple diseases", UAI 1989 (arXiv
1304.1511): findings not seen factor over the causes; each finding seen (or half seen) doubles the
number of terms, whatever the number of causes. A cause with several positions is one factor whose
states are summed.

The terms alternate in sign. Where their cancellation would cost precision the same quantity is
computed without any subtraction (see covering.py).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from advisor.inference.runs import run_products, run_sums
from advisor.model.network import Array, Finding, Network

# Numbers in a slice: what stays in the processor's cache, and need not be fetched from the system
# as new memory, is up to four times as fast.
MOST_TERMS_AT_ONCE = 2**14
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
        stay.append(1 - finding.link)
        shown, not_shown = seen_as(finding)
        first.append(shown)
        second.append(not_shown)
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


def seen_as(finding: Finding) -> tuple[float, float]:
    """The two coefficients of a finding that is seen or half seen: shown, and times not shown."""
    shown, hidden = (1.0, 0.0) if finding.kind == "present" else (finding.lambda1, finding.lambda0)
    return shown, (hidden - shown) * (1 - finding.leak)


def doubled(rows: Iterable[Array], states: int) -> Array:
    """(states, 2^k): the product of every choice of k rows. States come first, so that a node's
    states are summed over whole rows, which is several times as fast."""
    made = np.ones((states, 1))
    for row in rows:
        made = np.concatenate((made, made * row[:, None]), axis=1)
    return made


def coefficients(first: Array, second: Array) -> Array:
    """(2^k,): the product of every choice of the first or the second, in the order of doubled."""
    made = np.ones(1)
    for one, other in zip(first, second, strict=True):
        made = np.concatenate((made * one, made * other))
    return made


def score(problem: Problem, runs: NDArray[np.intp]) -> Scored:
    """Sum the 2^k signed terms, in slices that fit in memory.

    runs: index of the first node of each run; a run ends where the next begins.
    """
    network = problem.network
    states, count = len(network.state_node), len(problem.first)
    inner = min(count, int(np.log2(MOST_TERMS_AT_ONCE / max(states, 1))))
    stays, outer_stays = (doubled(r, states) for r in np.split(problem.stay, [inner]))
    within = coefficients(problem.first[:inner], problem.second[:inner])
    outside = coefficients(problem.first[inner:], problem.second[inner:])
    likelihood, magnitude = 0.0, 0.0
    present = np.zeros(states)
    none_of = np.zeros(len(runs))
    starts = network.first_state
    absent = problem.absent[:, None]
    for outer_stay, outer in zip(outer_stays.T, outside, strict=True):
        weights = stays * (outer_stay * problem.base)[:, None]
        factors = run_sums(weights, starts) + absent
        terms = outer * within * np.multiply.reduce(factors, axis=0)
        likelihood += terms.sum()
        magnitude += np.abs(terms).sum()
        inverse = np.divide(1.0, factors, out=factors)
        weights *= inverse[network.state_node]
        present += weights @ terms
        if len(runs):
            inverse *= absent  # P(absent | term)
            none_of += run_products(inverse, runs) @ terms
    error = magnitude * 1e-16 * (count + 4) / likelihood if likelihood > 0 else np.inf
    scale = problem.constant
    return Scored(scale * likelihood, scale * present, scale * none_of, float(error))
