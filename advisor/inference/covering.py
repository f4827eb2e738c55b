"""The same exact posteriors without a single subtraction, for evidence that is hard to explain.

Each cause present (and the leak) may bring on each finding by itself. Going through the causes one
by one, keep the probability of every set of findings brought on so far; all numbers are positive,
so nothing cancels. A backward pass gives the posterior of every state. Cost: causes x k x 2^k.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from advisor.inference.quickscore import Problem, Scored, coefficients
from advisor.model.network import Array


def cover(problem: Problem, runs: NDArray[np.intp]) -> Scored:
    """As quickscore.score."""
    k = len(problem.first)
    nodes = len(problem.network.nodes)
    # brought on by a cause: likelihood `first`; not brought on (leak included): `first + second`
    end = coefficients(problem.first + problem.second, problem.first)
    bounds = np.append(problem.network.first_state, len(problem.base))
    link = 1 - problem.stay
    forward = np.empty((nodes + 1, 2**k))
    forward[0] = 0.0
    forward[0, 0] = 1.0
    brought: list[Array] = []
    for n in range(nodes):
        states = slice(bounds[n], bounds[n + 1])
        spread = _bring(forward[n], link[:, states])
        brought.append(spread)
        forward[n + 1] = problem.absent[n] * forward[n] + problem.base[states] @ spread
    backward = np.empty((nodes + 1, 2**k))
    backward[nodes] = end
    for n in range(nodes - 1, -1, -1):
        states = slice(bounds[n], bounds[n + 1])
        back = _bring_back(backward[n + 1], link[:, states])
        backward[n] = problem.absent[n] * backward[n + 1] + problem.base[states] @ back
    likelihood = float(forward[nodes] @ end)
    shares = [
        problem.base[bounds[n] : bounds[n + 1]] * (brought[n] @ backward[n + 1])
        for n in range(nodes)
    ]
    ends = np.append(runs[1:], nodes)
    gone = np.multiply.reduceat(problem.absent, runs) if len(runs) else np.zeros(0)
    none_of = gone * np.einsum("rt,rt->r", forward[runs], backward[ends])
    scale = problem.constant
    return Scored(
        scale * likelihood, scale * np.concatenate(shares), scale * none_of, 1e-16 * (k + nodes)
    )


def _bring(table: Array, link: Array) -> Array:
    """Sets of findings after each state of a cause has had its say: (states, 2^k)."""
    out = np.repeat(table[None, :], link.shape[1], axis=0)
    for j, row in enumerate(link):
        if not row.any():
            continue  # most causes show few of the findings
        view = out.reshape(len(out), -1, 2, 2**j)
        view[:, :, 1] += row[:, None, None] * view[:, :, 0]
        view[:, :, 0] *= (1 - row)[:, None, None]
    return out


def _bring_back(table: Array, link: Array) -> Array:
    """The transpose of _bring."""
    out = np.repeat(table[None, :], link.shape[1], axis=0)
    for j, row in enumerate(link):
        if not row.any():
            continue  # most causes show few of the findings
        view = out.reshape(len(out), -1, 2, 2**j)
        view[:, :, 0] *= (1 - row)[:, None, None]
        view[:, :, 0] += row[:, None, None] * view[:, :, 1]
    return out
