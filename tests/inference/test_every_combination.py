"""Everything an inference returns, by whichever way it is computed, against going through every
combination of causes."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from advisor.errors import ClashingEvidence
from advisor.inference import posterior, quickscore, what_if
from advisor.inference.conflict import conflict
from advisor.inference.covering import cover
from advisor.inference.posterior import (
    Grouping,
    decibans,
    first_cause,
    infer,
    infer_families,
    weigh,
)
from advisor.inference.quickscore import pose, score
from advisor.inference.what_if import Candidate, Suppositions
from advisor.model.network import Finding, Posterior
from advisor.model.place import Place
from tests.inference.conftest import brute_force, chance_of_any, make_finding, make_network

KINDS = ["present", "present", "absent", "soft"]
FAMILY = {"cause-0": "x", "cause-1": "x", "cause-2": "y"}
EACH = {cause: cause for cause in FAMILY}
PLACE = Place("steer", "left")


@pytest.fixture
def problem(rng):
    """A network of three causes at two places each, and four findings."""
    network = make_network(rng, 6, (4, 1, 2))
    findings = [make_finding(rng, network, f"f{i}", kind) for i, kind in enumerate(KINDS)]
    return network, findings, Grouping.of(network, FAMILY)


def agrees(found: Posterior, network, findings: list[Finding], tolerance: float = 1e-9) -> None:
    """Every part of a posterior is what the combinations say."""
    likelihood, state = brute_force(network, findings)
    assert found.state == pytest.approx(state, abs=tolerance)
    assert found.node == pytest.approx(np.bincount(network.state_node, state), abs=tolerance)
    assert found.cause == pytest.approx(chance_of_any(network, findings, EACH), abs=tolerance)
    assert found.log10_likelihood == pytest.approx(math.log10(likelihood), abs=tolerance)


def test_the_whole_posterior(problem):
    network, findings, grouping = problem
    found = infer(network, findings, grouping, 0.5)
    agrees(found, network, findings)
    assert found.method == "quickscore"


def test_families(problem):
    network, findings, grouping = problem
    found = infer_families(network, findings, grouping, 0.5)
    assert found == pytest.approx(chance_of_any(network, findings, FAMILY), abs=1e-9)


@pytest.mark.parametrize("at_once", [14, 32, 10**6])
def test_slices_of_the_sum_add_up(problem, monkeypatch, at_once):
    """One term a slice, two, and all eight at once."""
    network, findings, grouping = problem
    whole = score(pose(network, findings), grouping.cause_runs)
    monkeypatch.setattr(quickscore, "MOST_TERMS_AT_ONCE", at_once)
    summed = score(pose(network, findings), grouping.cause_runs)
    likelihood, state = brute_force(network, findings)
    assert summed.likelihood == pytest.approx(likelihood, rel=1e-9)
    assert summed.present == pytest.approx(state * likelihood, rel=1e-9, abs=1e-15)
    none = {c: likelihood * (1 - p) for c, p in chance_of_any(network, findings, EACH).items()}
    assert summed.none_of == pytest.approx([none[c] for c in grouping.causes], rel=1e-9)
    assert summed.error / whole.error == pytest.approx(1.0) and 0 < summed.error < 1e-12


def test_a_restatement_is_tempered_whatever_is_asked(problem, rng):
    """The weaker of two of one aspect counts as 1/2 + 1/2 P(seen): by hand, then everything else
    against that."""
    network, findings, grouping = problem
    strong, other = (replace(f, kind="present", lambda1=1.0, lambda0=0.0) for f in findings[:2])
    strong, weak = (
        replace(strong, aspect="a", place=PLACE, link=np.minimum(strong.link * share, 0.95))
        for share in (1.0, 0.1)
    )
    weak = replace(weak, symptom="weak")
    by_hand = [strong, replace(weak, kind="soft", lambda0=0.5), other]
    told = [strong, weak, other]
    families = infer_families(network, told, grouping, 0.5)
    assert families == pytest.approx(chance_of_any(network, by_hand, FAMILY), abs=1e-9)
    full = infer(network, told, grouping, 0.5)
    agrees(full, network, by_hand)
    weighed = {w.finding.key: w for w in weigh(network, told, grouping, 0.5, full)}
    rest = math.log10(brute_force(network, by_hand[:2])[0])
    assert weighed[other.key].log10_without == pytest.approx(rest)
    extra = make_finding(rng, network, "new", "present")
    found = supposed(problem, extra, [replace(extra, kind="absent")], told)
    agrees(found.yes, network, [*by_hand, extra])
    again = supposed(problem, weak, [replace(weak, kind="absent")], [strong, other])
    agrees(again.yes, network, by_hand, 1e-6)  # it restates at the same place


@pytest.mark.parametrize(("most", "method"), [(3, "covering"), (2, "quickscore")])
def test_either_method_where_more_precision_is_asked_for(problem, monkeypatch, most, method):
    """The three doubling findings are covered up to the limit, and summed beyond it."""
    monkeypatch.setattr(posterior, "MOST_FINDINGS_COVERED", most)
    network, findings, grouping = problem
    found = infer(network, findings, grouping, 0.5, precision=0.0)
    agrees(found, network, findings)
    assert found.method == method


def test_the_stated_rounding_error_is_a_bound_and_no_alarm(rng):
    runs = np.arange(5)
    for count in (0, 1, 5, 9, 12):
        network = make_network(rng, 5, (1,))
        hard = [
            replace(f, link=f.link * 0.02)
            for i in range(count)
            for f in [make_finding(rng, network, f"f{i}", "present", leak=1e-3)]
        ]
        summed, exact = score(pose(network, hard), runs), cover(pose(network, hard), runs)
        off = abs(summed.likelihood / exact.likelihood - 1)
        assert off <= summed.error and exact.error < 1e-14
        easy = [replace(f, leak=0.5) for f in hard]
        assert 0 < score(pose(network, easy), runs).error < 1e-9


def test_what_clashes_is_named_and_nothing_else(problem):
    network, findings, grouping = problem
    never = Finding("never", None, "present", np.zeros(len(network.state_node)), 0.0)
    told = replace(never, symptom="told", says="it cannot be")
    with pytest.raises(ClashingEvidence) as caught:
        infer(network, [findings[0], never, findings[1]], grouping, 0.5)
    assert caught.value.clashing == ("never",)
    with pytest.raises(ClashingEvidence) as caught:  # neither alone would be enough to leave out
        infer(network, [never, told], grouping, 0.5)
    assert set(caught.value.clashing) == {"never", "it cannot be"}


def test_a_finding_is_weighed_by_leaving_it_out_with_what_it_implies(problem):
    network, findings, grouping = problem
    head, other, *_ = findings
    implied = replace(findings[2], implied=True, from_symptom=head.key)
    told = [implied, head, other]
    weighed = weigh(network, told, grouping, 0.5, infer(network, told, grouping, 0.5))
    assert [w.finding for w in weighed] == [head, other]
    for one, rest in zip(weighed, ([other], [implied, head]), strict=True):
        without = chance_of_any(network, rest, EACH)
        all_of = chance_of_any(network, told, EACH)
        assert one.log10_without == pytest.approx(math.log10(brute_force(network, rest)[0]))
        assert one.first_without == max(without, key=lambda c: without[c])
        for cause in EACH:
            odds = [p[cause] / (1 - p[cause]) for p in (all_of, without)]
            assert one.decibans[cause] == pytest.approx(10 * math.log10(odds[0] / odds[1]))


def test_the_first_cause_is_the_likeliest_and_ties_go_by_name():
    made = Posterior(np.zeros(0), np.zeros(0), {"c": 0.2, "b": 0.4, "a": 0.1, "ab": 0.4}, 0.0, "")
    assert first_cause(made) == "ab"


def test_decibans_end_at_sixty_either_way():
    assert (decibans(0.0, 1.0), decibans(1.0, 0.0)) == (-60.0, 60.0)
    assert decibans(0.5, 1 / 11) == pytest.approx(10.0)


def supposed(problem, extra: Finding, no: list[Finding], said: list[Finding]):
    network, _, grouping = problem
    return Suppositions(network, said, grouping, 0.5).each([Candidate([extra], no)])[0]


def denials(extra: Finding, more: Finding) -> dict[str, list[Finding]]:
    """What "no" may be told by, beside the very finding that tells "yes"."""
    same = replace(extra, kind="absent")
    return {
        "the same": [same],
        "other links": [replace(same, link=extra.link[::-1].copy())],
        "half": [replace(same, power=0.5)],
        "another background": [replace(same, leak=0.3)],
        "two": [same, replace(more, kind="absent", power=0.5)],
        "nothing": [],
    }


@pytest.mark.parametrize("told_by", denials(*[Finding("", None, "absent", np.zeros(1), 0.1)] * 2))
def test_supposing_the_short_way(problem, rng, told_by):
    network, said, _ = problem
    extra, more = (make_finding(rng, network, name, "present") for name in ("new", "more"))
    no = denials(extra, more)[told_by]
    found = supposed(problem, extra, no, said)
    agrees(found.yes, network, [*said, extra])
    agrees(found.no, network, [*said, *no])
    chance = brute_force(network, [*said, extra])[0] / brute_force(network, said)[0]
    assert found.chance == pytest.approx(chance, abs=1e-9)
    assert found.yes.method == "supposed"


def test_a_yes_that_cannot_be_is_a_clash(problem):
    network, said, _ = problem
    never = Finding("never", None, "present", np.zeros(len(network.state_node)), 0.0)
    with pytest.raises(ClashingEvidence):
        supposed(problem, never, [replace(never, kind="absent")], said)


def test_supposing_what_restates_something(problem, rng):
    """With only denials so far the causes stay independent, so the chance of yes is exact. The
    restating answer itself is tempered: 1/2 + 1/2 P(seen), as `aspects` states."""
    network, _, _ = problem
    said = [replace(make_finding(rng, network, "old", "absent"), aspect="a", power=1.0)]
    extra = replace(make_finding(rng, network, "new", "present"), aspect="a", link=said[0].link / 9)
    no = replace(extra, kind="absent")
    found = supposed(problem, extra, [no], said)
    half = replace(extra, kind="soft", lambda1=1.0, lambda0=0.5)
    agrees(found.yes, network, [*said, half], 1e-6)
    agrees(found.no, network, [*said, replace(no, power=0.5)], 1e-6)
    chance = brute_force(network, [*said, extra])[0] / brute_force(network, said)[0]
    assert found.chance == pytest.approx(chance, abs=1e-6)


def test_the_same_aspect_elsewhere_is_no_restatement(problem, rng):
    network, _, _ = problem
    left, right = (
        replace(
            make_finding(rng, network, "wear", "present"), aspect="a", place=Place("steer", side)
        )
        for side in ("left", "right")
    )
    found = supposed(problem, right, [replace(right, kind="absent")], [left])
    assert found.yes.method == "supposed"
    agrees(found.yes, network, [left, right])


def test_the_rough_way_is_exact_while_causes_are_independent(problem, rng, monkeypatch):
    """It takes causes as independent, which they are as long as nothing was seen."""
    monkeypatch.setattr(what_if, "MOST_TERMS", 0.5)
    network, _, _ = problem
    said = [make_finding(rng, network, f"f{i}", "absent") for i in range(2)]
    extra = make_finding(rng, network, "new", "present")
    no = replace(extra, kind="absent")
    found = supposed(problem, extra, [no], said)
    total, new = brute_force(network, said)[0], [*said, extra]
    for side, rest in ((found.yes, new), (found.no, [*said, no])):
        assert side.state == pytest.approx(brute_force(network, rest)[1], abs=1e-9)
        assert side.cause == pytest.approx(chance_of_any(network, rest, EACH), abs=1e-9)
    assert found.chance == pytest.approx(brute_force(network, new)[0] / total, abs=1e-9)


def test_conflict_is_the_ratio_of_the_parts_to_the_whole(problem):
    """log10 of product P(each | base) / P(all | base) (Jensen and others 1990, from memory); the
    odd one is that whose leaving out gains most over what it says alone."""
    network, findings, grouping = problem
    base, *told = findings
    implied = replace(told[2], implied=True, from_symptom=told[0].key)
    told = [told[0], told[1], implied]

    def log10(*which: Finding) -> float:
        return math.log10(brute_force(network, [base, *which])[0])

    full = infer(network, [base, *told], grouping, 0.5)
    without = {f.key: log10(*(t for t in told if t is not f)) for f in told}
    found = conflict(network, [base, *told], base, 0.5, full, without)
    alone = {f.key: log10(f) - log10() for f in told}
    assert found.log10_ratio == pytest.approx(sum(alone.values()) - (log10(*told) - log10()))
    gains = {f.key: alone[f.key] - (log10(*told) - without[f.key]) for f in told[:2]}
    best = max(gains, key=lambda key: gains[key])
    assert found.relief == pytest.approx(max(0.0, gains[best]))
    assert found.odd == (best if gains[best] > 0 else "")


def test_what_restates_counts_weakly_in_the_conflict_too(problem):
    network, (base, strong, *_), grouping = problem
    strong = replace(strong, aspect="a")
    weak = replace(strong, symptom="weak", link=strong.link / 9)
    half = replace(weak, kind="soft", lambda1=1.0, lambda0=0.5)

    def log10(*which: Finding) -> float:
        return math.log10(brute_force(network, [base, *which])[0])

    full = infer(network, [base, strong, weak], grouping, 0.5)
    without = {strong.key: log10(weak), weak.key: log10(strong)}
    found = conflict(network, [base, strong, weak], base, 0.5, full, without)
    expected = log10(strong) + log10(half) - log10() - log10(strong, half)
    assert found.log10_ratio == pytest.approx(expected)


def test_two_that_exclude_each_other_are_in_conflict():
    """One cause, denied by one finding and told by the other: each alone likely, both never."""
    network = make_network(np.random.default_rng(1), 1, (1,))
    base = Finding("base", None, "absent", np.zeros(1), 0.0)
    told = Finding("told", None, "present", np.ones(1) * 0.9, 1e-3)
    denied = Finding("denied", None, "absent", np.ones(1) * 0.99, 0.0)
    grouping = Grouping.of(network, {"cause-0": "x"})
    full = infer(network, [base, told, denied], grouping, 0.5)
    without = {
        f.key: math.log10(brute_force(network, [base, g])[0])
        for f, g in ((told, denied), (denied, told))
    }
    found = conflict(network, [base, told, denied], base, 0.5, full, without)
    assert found.log10_ratio > 0.3
    assert found.odd in ("told", "denied") and found.relief == pytest.approx(found.log10_ratio)
