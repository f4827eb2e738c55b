"""Both inference methods against brute force over all subsets, and against a general-purpose
Bayesian-network library (pyagrum)."""

from __future__ import annotations

import numpy as np
import pytest

from advisor.inference.covering import cover
from advisor.inference.posterior import Grouping, infer
from advisor.inference.quickscore import pose, score
from advisor.model.network import Finding, Network, Node
from tests.inference.conftest import brute_force, make_finding, make_network

KINDS = [
    ["present"],
    ["present", "absent"],
    ["present"] * 3 + ["absent"] * 2 + ["soft"] * 2,
    ["soft"] * 4,
    ["absent"] * 4,
    [],
]


@pytest.mark.parametrize("kinds", KINDS, ids=lambda k: "-".join(k) or "nothing")
@pytest.mark.parametrize("positions", [(1,), (1, 2), (4, 1, 2)])
@pytest.mark.parametrize("method", [score, cover])
def test_agrees_with_brute_force(rng, kinds, positions, method):
    network = make_network(rng, 6, positions)
    findings = [make_finding(rng, network, f"f{i}", kind) for i, kind in enumerate(kinds)]
    likelihood, posterior = brute_force(network, findings)
    scored = method(pose(network, findings), np.arange(len(network.nodes)))
    assert scored.likelihood == pytest.approx(likelihood, rel=1e-9)
    assert scored.present / scored.likelihood == pytest.approx(posterior, abs=1e-9)


@pytest.mark.parametrize("method", [score, cover])
def test_probability_of_any_place_agrees_with_brute_force(rng, method):
    network = make_network(rng, 6, (1, 2))
    findings = [make_finding(rng, network, f"f{i}", "present") for i in range(3)]
    runs = np.array([0, 2, 4])
    scored = method(pose(network, findings), runs)
    likelihood, _ = brute_force(network, findings)
    for run, none in zip(runs, scored.none_of, strict=True):
        absent = network.prior.copy()
        absent[run : run + 2] = 0.0
        without = Network(network.nodes, absent, network.state_node, network.share, network.place)
        joint, _ = brute_force(without, findings)
        expected = joint * np.prod(1 - network.prior[run : run + 2])
        assert none == pytest.approx(expected, rel=1e-9)
    assert scored.likelihood == pytest.approx(likelihood, rel=1e-9)


def test_cancellation_is_noticed_and_avoided(rng):
    """Twelve unlikely findings with tiny leaks: the signed sum loses its digits, the covering
    method does not, and the switch sees it."""
    network = make_network(rng, 5, (1,))
    findings = []
    for i in range(12):
        finding = make_finding(rng, network, f"f{i}", "present", leak=1e-4)
        findings.append(Finding(finding.symptom, None, "present", finding.link * 0.02, 1e-4))
    problem = pose(network, findings)
    runs = np.arange(len(network.nodes))
    likelihood, posterior = brute_force(network, findings)
    assert score(problem, runs).error > 1e-6
    covered = cover(problem, runs)
    assert covered.likelihood == pytest.approx(likelihood, rel=1e-12)
    assert covered.present / covered.likelihood == pytest.approx(posterior, rel=1e-9)
    names = {node.cause: node.cause for node in network.nodes}
    posterior_used = infer(network, findings, Grouping.of(network, names), 0.5)
    assert posterior_used.method == "covering"


def test_agrees_with_a_general_purpose_library(rng):
    """pyagrum's exact inference on the same net, two-state causes, to 1e-9."""
    gum = pytest.importorskip("pyagrum")
    network = make_network(rng, 8, (1,))
    findings = [make_finding(rng, network, f"f{i}", k) for i, k in enumerate(["present"] * 4)]
    findings += [Finding("f9", None, "absent", findings[0].link[::-1].copy(), 0.1)]
    net = gum.BayesNet()
    for index, prior in enumerate(network.prior):
        net.add(gum.LabelizedVariable(f"c{index}", "", 2))
        net.cpt(f"c{index}").fillWith([1 - prior, prior])
    for finding in findings:
        net.addNoisyORNet(gum.LabelizedVariable(finding.symptom, "", 2), finding.leak)
        for index, link in enumerate(finding.link):
            if link > 0:
                net.addWeightedArc(f"c{index}", finding.symptom, float(link))
    engine = gum.LazyPropagation(net)
    engine.setEvidence({f.symptom: int(f.kind == "present") for f in findings})
    engine.makeInference()
    scored = score(pose(network, findings), np.arange(len(network.nodes)))
    for index in range(len(network.nodes)):
        expected = engine.posterior(f"c{index}")[1]
        assert scored.present[index] / scored.likelihood == pytest.approx(expected, abs=1e-9)


def test_order_of_findings_changes_nothing(rng):
    network = make_network(rng, 8, (1, 2))
    findings = [make_finding(rng, network, f"f{i}", "present") for i in range(5)]
    names = {node.cause: node.cause for node in network.nodes}
    grouping = Grouping.of(network, names)
    straight = infer(network, findings, grouping, 0.5)
    mixed = infer(network, findings[::-1], grouping, 0.5)
    assert (straight.state == mixed.state).all()


def test_nodes_of_a_cause_must_be_neighbors():
    network = Network(
        (Node("a", "x"), Node("b", "x"), Node("a", "y")),
        np.full(3, 0.1),
        np.arange(3),
        np.ones(3),
        (None, None, None),
    )
    with pytest.raises(ValueError, match="neighbors"):
        Grouping.of(network, {"a": "a", "b": "b"})
