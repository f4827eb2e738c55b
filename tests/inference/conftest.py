"""Small random networks whose posteriors can be checked by going through every combination."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping

import numpy as np
import pytest

from advisor.model.network import Finding, Network, Node


def make_network(rng: np.random.Generator, causes: int, positions: tuple[int, ...]) -> Network:
    nodes, state_node, share, place = [], [], [], []
    for index in range(causes):
        count = positions[index % len(positions)]
        nodes.append(Node(f"cause-{index // 2}", f"group-{index % 2}"))
        state_node += [index] * count
        share += list(rng.dirichlet(np.ones(count)))
        place += [None] * count
    prior = rng.uniform(0.01, 0.3, causes)
    return Network(tuple(nodes), prior, np.array(state_node), np.array(share), tuple(place))


def make_finding(
    rng: np.random.Generator, network: Network, name: str, kind: str, leak: float = 0.05
) -> Finding:
    linked = rng.random(len(network.state_node)) < 0.6
    link = rng.uniform(0.05, 0.95, len(network.state_node)) * linked
    soft = (float(rng.uniform(0.2, 1)), float(rng.uniform(0, 0.5)))
    lambda1, lambda0 = soft if kind == "soft" else (1.0, 0.0)
    power = float(rng.choice([1.0, 0.5])) if kind == "absent" else 1.0
    return Finding(name, None, kind, link, leak, lambda1, lambda0, power)


def every_combination(
    network: Network, findings: list[Finding]
) -> Iterator[tuple[float, list[int]]]:
    """(joint probability with the findings, states present) of every combination of causes."""
    per_node = [[None, *np.flatnonzero(network.state_node == i)] for i in range(len(network.nodes))]
    for combination in itertools.product(*per_node):
        p = 1.0
        for node, state in enumerate(combination):
            prior = network.prior[node]
            p *= 1 - prior if state is None else prior * network.share[state]
        on = [state for state in combination if state is not None]
        for finding in findings:
            hidden = (1 - finding.leak) * np.prod(1 - finding.link[on])
            p *= {
                "present": 1 - hidden,
                "absent": hidden**finding.power,
                "soft": finding.lambda1 * (1 - hidden) + finding.lambda0 * hidden,
            }[finding.kind]
        yield p, on


def brute_force(network: Network, findings: list[Finding]) -> tuple[float, np.ndarray]:
    """Likelihood and (states,) posterior by summing over every combination of causes."""
    total, present = 0.0, np.zeros(len(network.state_node))
    for p, on in every_combination(network, findings):
        total += p
        present[on] += p
    return total, present / total


def chance_of_any(
    network: Network, findings: list[Finding], names: Mapping[str, str]
) -> dict[str, float]:
    """Posterior that any cause of each name (cause -> name) is present, by every combination."""
    total, found = 0.0, dict.fromkeys(names.values(), 0.0)
    for p, on in every_combination(network, findings):
        total += p
        for name in {names[network.nodes[network.state_node[state]].cause] for state in on}:
            found[name] += p
    return {name: p / total for name, p in found.items()}


@pytest.fixture
def rng() -> np.random.Generator:
    return np.random.default_rng(20310412)
