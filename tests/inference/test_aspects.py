"""Which of several restating findings counts in full, what the others are worth, by hand."""

from __future__ import annotations

from dataclasses import replace
from math import log10

import numpy as np
import pytest

from advisor.inference.aspects import MOST_SEEN, strength, temper
from advisor.model.network import Finding
from advisor.model.place import Place


def finding(name: str, link: float, kind: str = "present", **more) -> Finding:
    return Finding(name, None, kind, np.array([link, 0.0]), 0.05, **more)


def test_strength_is_the_likelihood_ratio_of_the_cause_it_speaks_most_for():
    assert strength(finding("a", 0.85, "absent")) == pytest.approx(-log10(0.15))
    shown = 1 - 0.95 * 0.15
    assert strength(finding("a", 0.85)) == pytest.approx(log10(shown / 0.05))
    half = finding("a", 0.85, "soft", lambda1=0.8, lambda0=0.2)
    expected = log10((0.2 + 0.6 * shown) / (0.2 + 0.6 * 0.05))
    assert strength(half) == pytest.approx(expected)
    against = finding("a", 0.85, "soft", lambda1=0.2, lambda0=0.8)
    assert strength(against) == pytest.approx(-log10((0.8 - 0.6 * shown) / (0.8 - 0.6 * 0.05)))
    assert strength(finding("a", 0.0)) == pytest.approx(0.0)
    assert strength(finding("a", 1.0, "absent")) == pytest.approx(9.0)  # as far as it is counted


def test_the_most_telling_counts_in_full_and_the_next_by_halves():
    """P(evidence) of the n-th further one is mixed: 1 - b^n of anything, b^n of what it says."""
    links = {"weak": 0.2, "strong": 0.9, "middle": 0.5, "least": 0.1}
    tempered = {
        f.symptom: f for f in temper([finding(n, v, aspect="x") for n, v in links.items()], 0.5)
    }
    assert set(tempered) == {"strong", "middle", "weak"}
    told = {name: (f.kind, f.lambda1, f.lambda0) for name, f in tempered.items()}
    assert told["strong"] == ("present", 1.0, 0.0)
    assert (told["middle"], told["weak"]) == (("soft", 1.0, 0.5), ("soft", 1.0, 0.75))


def test_a_half_seen_restatement_is_weakened_from_what_it_was():
    told = [
        finding("strong", 0.9, aspect="x"),
        finding("half", 0.5, "soft", aspect="x", lambda1=0.8, lambda0=0.4),
    ]
    weak = {f.symptom: f for f in temper(told, 0.5)}["half"]
    assert (weak.lambda1, weak.lambda0) == pytest.approx((0.5 + 0.4, 0.5 + 0.2))


def test_what_was_said_goes_before_what_follows_from_it():
    said, implied = finding("said", 0.2, aspect="x"), finding("implied", 0.9, aspect="x")
    tempered = {f.symptom: f for f in temper([replace(implied, implied=True), said], 0.5)}
    assert tempered["said"].kind == "present" and tempered["implied"].kind == "soft"


def test_the_same_aspect_at_two_places_is_told_twice():
    left, right = (finding("wear", 0.8, aspect="x") for _ in range(2))
    left, right = replace(left, place=Place("steer", "left")), replace(right, place=Place("drive"))
    assert {f.kind for f in temper([left, right], 0.5)} == {"present"}


def test_of_very_many_the_least_telling_are_left_out_and_no_denial_is():
    links = np.linspace(0.1, 0.9, MOST_SEEN + 5)
    seen = [finding(f"s{i:02}", link) for i, link in enumerate(links)]
    denied = [finding(f"d{i}", 0.99, "absent") for i in range(3)]
    kept = {f.symptom for f in temper([*denied, *seen[::-1]], 0.5)}
    assert kept == {f.symptom for f in [*denied, *seen[5:]]}
    assert len(temper(seen[:MOST_SEEN], 0.5)) == MOST_SEEN
