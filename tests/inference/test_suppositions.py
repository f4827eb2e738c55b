"""The short way to suppose a further finding agrees with plain inference."""

from __future__ import annotations

from dataclasses import replace

import pytest

from advisor.inference.posterior import Grouping, infer
from advisor.inference.what_if import Suppositions
from tests.inference.conftest import make_finding, make_network


def test_supposing_agrees_with_inferring(rng):
    network = make_network(rng, 8, (1, 2))
    names = {node.cause: node.cause for node in network.nodes}
    grouping = Grouping.of(network, names)
    findings = [make_finding(rng, network, f"f{i}", "present") for i in range(4)]
    extra = make_finding(rng, network, "new", "present")
    supposed = Suppositions(network, findings, grouping, 0.5).both(
        [extra], [replace(extra, kind="absent")]
    )
    yes = infer(network, [*findings, extra], grouping, 0.5)
    no = infer(network, [*findings, replace(extra, kind="absent")], grouping, 0.5)
    base = infer(network, findings, grouping, 0.5)
    assert supposed.yes.state == pytest.approx(yes.state, abs=1e-9)
    assert supposed.no.state == pytest.approx(no.state, abs=1e-9)
    assert supposed.chance == pytest.approx(10 ** (yes.log10_likelihood - base.log10_likelihood))


def test_probability_is_conserved(rng):
    """P(cause) is the mean of P(cause | yes) and P(cause | no) by the chance of each."""
    network = make_network(rng, 8, (1,))
    names = {node.cause: node.cause for node in network.nodes}
    grouping = Grouping.of(network, names)
    findings = [make_finding(rng, network, f"f{i}", "present") for i in range(3)]
    extra = make_finding(rng, network, "new", "present")
    supposed = Suppositions(network, findings, grouping, 0.5).both(
        [extra], [replace(extra, kind="absent")]
    )
    base = infer(network, findings, grouping, 0.5)
    mixed = supposed.chance * supposed.yes.state + (1 - supposed.chance) * supposed.no.state
    assert mixed == pytest.approx(base.state, abs=1e-9)


def test_a_restating_answer_takes_the_long_way_with_the_same_tempering(rng):
    network = make_network(rng, 6, (1,))
    names = {node.cause: node.cause for node in network.nodes}
    grouping = Grouping.of(network, names)
    said = replace(make_finding(rng, network, "f", "present"), aspect="same")
    extra = replace(make_finding(rng, network, "g", "present"), aspect="same")
    supposed = Suppositions(network, [said], grouping, 0.5).both(
        [extra], [replace(extra, kind="absent")]
    )
    yes = infer(network, [said, extra], grouping, 0.5)
    assert supposed.yes.state == pytest.approx(yes.state, abs=1e-6)
