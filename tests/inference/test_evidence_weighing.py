"""Properties of the posterior: what must not move it, what must, and what is refused."""

from __future__ import annotations

import math

import numpy as np
import pytest

from advisor.errors import ClashingEvidence
from advisor.inference.aspects import bound, temper
from advisor.inference.posterior import Grouping, decibans, infer, weigh
from advisor.model.network import Finding, Network, Node
from tests.inference.conftest import make_finding, make_network


def two_causes() -> tuple[Network, Grouping]:
    network = Network(
        (Node("a", None), Node("b", None)),
        np.array([0.1, 0.1]),
        np.arange(2),
        np.ones(2),
        (None, None),
    )
    return network, Grouping.of(network, {"a": "a", "b": "b"})


def says(name: str, link_a: float, aspect: str = "", kind: str = "present") -> Finding:
    return Finding(name, None, kind, np.array([link_a, 0.0]), 0.05, aspect=aspect)


def test_bayes_by_hand():
    """One cause, one finding: P(a|f) = 0.1 (1 - 0.95 x 0.15) / (that + 0.9 x 0.05)."""
    network, grouping = two_causes()
    posterior = infer(network, [says("f", 0.85)], grouping, 0.5)
    shown = 1 - 0.95 * 0.15
    assert posterior.cause["a"] == pytest.approx(0.1 * shown / (0.1 * shown + 0.9 * 0.05))
    assert posterior.cause["b"] == pytest.approx(0.1)


@pytest.mark.parametrize("times", [2, 3, 10])
def test_restating_moves_odds_less_than_the_stated_bound(times):
    network, grouping = two_causes()
    once = infer(network, [says("f0", 0.85, "same")], grouping, 0.5).cause["a"]
    many = [says(f"f{i}", 0.85, "same") for i in range(times)]
    again = infer(network, many, grouping, 0.5).cause["a"]
    ratio = (again / (1 - again)) / (once / (1 - once))
    assert 1 <= ratio <= bound(0.5)
    assert bound(0.5) == pytest.approx(1 / (0.5 * 0.75))


def test_other_aspects_count_in_full():
    network, grouping = two_causes()
    once = infer(network, [says("f0", 0.85, "one")], grouping, 0.5).cause["a"]
    twice = infer(network, [says("f0", 0.85, "one"), says("f1", 0.85, "two")], grouping, 0.5)
    ratio = (twice.cause["a"] / (1 - twice.cause["a"])) / (once / (1 - once))
    assert ratio == pytest.approx((1 - 0.95 * 0.15) / 0.05, rel=1e-9)


def test_restated_denials_are_weakened():
    tempered = temper([says(f"f{i}", 0.5, "same", "absent") for i in range(5)], 0.5)
    assert sorted(f.power for f in tempered) == [0.25, 0.5, 1.0]


def test_a_link_of_nothing_changes_nothing(rng):
    network = make_network(rng, 8, (1, 2))
    names = {node.cause: node.cause for node in network.nodes}
    grouping = Grouping.of(network, names)
    findings = [make_finding(rng, network, "f", "present")]
    before = infer(network, findings, grouping, 0.5)
    nothing = Finding("empty", None, "present", np.zeros(len(network.state_node)), 0.3)
    after = infer(network, [*findings, nothing], grouping, 0.5)
    assert after.state == pytest.approx(before.state, abs=1e-12)


def test_impossible_evidence_names_what_clashes():
    network, grouping = two_causes()
    sure = Finding("cannot be", None, "present", np.zeros(2), 0.0, says="it cannot be")
    with pytest.raises(ClashingEvidence, match="it cannot be"):
        infer(network, [says("f", 0.85), sure], grouping, 0.5)


def test_weight_of_evidence_by_hand():
    """Good (1950, from memory): decibans = 10 log10 of the likelihood ratio of the finding."""
    network, grouping = two_causes()
    findings = [says("f", 0.85)]
    full = infer(network, findings, grouping, 0.5)
    weighed = weigh(network, findings, grouping, 0.5, full)[0]
    expected = 10 * math.log10((1 - 0.95 * 0.15) / 0.05)
    assert weighed.decibans["a"] == pytest.approx(expected, abs=1e-6)
    assert weighed.decibans["b"] == pytest.approx(0.0, abs=1e-6)
    assert decibans(1.0, 0.0) == 60.0
