"""The short way to suppose a further finding agrees with plain inference."""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest

from advisor.inference import terms
from advisor.inference.posterior import Grouping, infer
from advisor.inference.what_if import Candidate, Suppositions
from tests.inference.conftest import make_finding, make_network


def test_supposing_agrees_with_inferring(rng):
    network = make_network(rng, 8, (1, 2))
    names = {node.cause: node.cause for node in network.nodes}
    grouping = Grouping.of(network, names)
    findings = [make_finding(rng, network, f"f{i}", "present") for i in range(4)]
    extra = make_finding(rng, network, "new", "present")
    candidate = Candidate([extra], [replace(extra, kind="absent")])
    (supposed,) = Suppositions(network, findings, grouping, 0.5).each([candidate])
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
    candidate = Candidate([extra], [replace(extra, kind="absent")])
    (supposed,) = Suppositions(network, findings, grouping, 0.5).each([candidate])
    base = infer(network, findings, grouping, 0.5)
    mixed = supposed.chance * supposed.yes.state + (1 - supposed.chance) * supposed.no.state
    assert mixed == pytest.approx(base.state, abs=1e-9)


@pytest.mark.parametrize("kinds", [*itertools.product(("present", "absent", "soft"), repeat=3)])
def test_a_restating_answer_agrees_with_inferring(rng, kinds):
    """Up to four of one aspect, in every kind: earlier ones count less, or not at all any more."""
    network = make_network(rng, 6, (1, 2))
    grouping = Grouping.of(network, {node.cause: node.cause for node in network.nodes})
    said = [make_finding(rng, network, f"f{i}", kind) for i, kind in enumerate(kinds)]
    said = [replace(f, aspect="same", power=1.0) for f in said]
    said.append(make_finding(rng, network, "other", "present"))
    extra = replace(make_finding(rng, network, "g", "present"), aspect="same")
    no = replace(extra, kind="absent")
    (supposed,) = Suppositions(network, said, grouping, 0.5).each([Candidate([extra], [no])])
    for found, new in ((supposed.yes, extra), (supposed.no, no)):
        plain = infer(network, [*said, new], grouping, 0.5)
        assert found.state == pytest.approx(plain.state, abs=1e-9)
        assert found.log10_likelihood == pytest.approx(plain.log10_likelihood, abs=1e-9)
        assert found.method == "supposed"


def test_many_candidates_at_once_are_each_alone(rng, monkeypatch):
    """Restating or not, in whatever slices."""
    network = make_network(rng, 6, (1, 2))
    grouping = Grouping.of(network, {node.cause: node.cause for node in network.nodes})
    said = [make_finding(rng, network, f"f{i}", "present") for i in range(3)]
    new = [make_finding(rng, network, f"new{i}", "present") for i in range(5)]
    new[2] = replace(new[2], aspect="f1")
    candidates = [Candidate([f], [replace(f, kind="absent")]) for f in new]
    alone = [Suppositions(network, said, grouping, 0.5).each([c])[0] for c in candidates]
    for most in (1, 200, 2**14):
        monkeypatch.setattr(terms, "MOST_TERMS_AT_ONCE", most)
        together = Suppositions(network, said, grouping, 0.5).each(candidates)
        for one, other in zip(alone, together, strict=True):
            assert other.yes.state == pytest.approx(one.yes.state, abs=1e-12)
            assert other.no.cause == pytest.approx(one.no.cause, abs=1e-12)
            assert other.chance == pytest.approx(one.chance, abs=1e-12)
