"""Candidates at the edges of the short way: many at once, names taken, hardly possible, certain."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from advisor.inference.posterior import Grouping
from advisor.inference.what_if import Candidate, Suppositions
from advisor.model.network import Finding
from tests.inference.conftest import brute_force, chance_of_any, make_finding, make_network


def told_by_hand(network, names, grouping, findings):
    every = chance_of_any(network, findings, names)
    return pytest.approx([every[cause] for cause in grouping.causes], abs=1e-9)


def test_the_causes_alone_are_what_every_combination_says(rng):
    network = make_network(rng, 6, (4, 1, 2))
    names = {node.cause: node.cause for node in network.nodes}
    grouping = Grouping.of(network, names)
    said = [make_finding(rng, network, f"f{i}", k) for i, k in enumerate(("present", "soft"))]
    new = [make_finding(rng, network, f"new{i}", "present") for i in range(3)]
    candidates = [Candidate([f], [replace(f, kind="absent")]) for f in new]
    told = Suppositions(network, said, grouping, 0.5).causes(candidates)
    before = brute_force(network, said)[0]
    for row, f in enumerate(new):
        shown = brute_force(network, [*said, f])[0]
        assert told.chance[row] == pytest.approx(shown / before, abs=1e-9)
        for side, kind in ((told.yes, "present"), (told.no, "absent")):
            rest = [*said, replace(f, kind=kind)]
            assert side[row] == told_by_hand(network, names, grouping, rest)


def test_one_candidate_that_goes_no_short_way_moves_no_other(rng):
    """Its name is taken. What it says again is tempered: 1/2 + 1/2 P(seen), or half a denial."""
    network = make_network(rng, 6, (4, 1, 2))
    names = {node.cause: node.cause for node in network.nodes}
    grouping = Grouping.of(network, names)
    said = [make_finding(rng, network, name, "present") for name in ("f0", "f1")]
    new = make_finding(rng, network, "new", "present")
    again = replace(said[0], link=said[0].link / 9)
    candidates = [Candidate([f], [replace(f, kind="absent")]) for f in (new, again)]
    together = Suppositions(network, said, grouping, 0.5)
    told, alone = together.causes(candidates), together.causes(candidates[:1])
    for found, expected in zip(
        (told.yes, told.no, told.chance), (alone.yes, alone.no, alone.chance), strict=True
    ):
        assert found[0] == pytest.approx(expected[0], abs=1e-9)
    half = replace(again, kind="soft", lambda1=1.0, lambda0=0.5)
    assert told.yes[1] == told_by_hand(network, names, grouping, [*said, half])
    half = replace(again, kind="absent", power=0.5)
    assert told.no[1] == told_by_hand(network, names, grouping, [*said, half])
    assert 0 < told.chance[1] < 1


@pytest.mark.parametrize("beside", [False, True])
def test_what_would_drown_in_rounding_goes_the_long_way(rng, beside):
    """One in 10^12, whatever the causes: it says nothing about them. Everything less "not seen"
    would leave four digits."""
    network = make_network(rng, 6, (4, 1, 2))
    grouping = Grouping.of(network, {node.cause: node.cause for node in network.nodes})
    said = [make_finding(rng, network, f"f{i}", "present") for i in range(2)]
    other = [make_finding(rng, network, "other", "present")] if beside else []
    rare = Finding("rare", None, "present", np.zeros(len(network.state_node)), 1e-12)
    candidate = Candidate([rare, *other], [replace(rare, kind="absent")])
    (found,) = Suppositions(network, said, grouping, 0.5).each([candidate])
    assert found.yes.state == pytest.approx(brute_force(network, [*said, *other])[1], abs=1e-7)
    assert found.yes.method != "supposed"


def test_a_certain_denial_that_counts_less_from_now_on(rng):
    """It followed from something else; what is said itself goes first, and the denial by halves."""
    network = make_network(rng, 6, (4, 1, 2))
    grouping = Grouping.of(network, {node.cause: node.cause for node in network.nodes})
    link = np.where(np.arange(len(network.state_node)) == 0, 1.0, 0.3)
    denial = Finding("denial", None, "absent", link, 0.05, aspect="a", implied=True)
    extra = replace(make_finding(rng, network, "new", "present"), aspect="a")
    no = replace(extra, kind="absent")
    (found,) = Suppositions(network, [denial], grouping, 0.5).each([Candidate([extra], [no])])
    half = replace(denial, power=0.5)
    for side, new in ((found.yes, extra), (found.no, no)):
        assert side.state == pytest.approx(brute_force(network, [half, new])[1], abs=1e-9)


def test_a_yes_of_two_findings_is_that_either_is_seen(rng):
    """Of two causes that nothing ties together each has its own finding."""
    network = make_network(rng, 2, (1,))
    grouping = Grouping.of(network, {"cause-0": "x"})
    one, other = (Finding(f"y{i}", None, "present", 0.8 * np.eye(2)[i], 0.05) for i in range(2))
    no = [replace(f, kind="absent") for f in (one, other)]
    (found,) = Suppositions(network, [], grouping, 0.5).each([Candidate([one, other], no)])
    assert found.chance == pytest.approx(1 - brute_force(network, no)[0], abs=1e-12)
