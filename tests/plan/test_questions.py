"""What a question is worth: the mutual information of its answer and each cause's presence."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import pytest

from advisor.assessment import Assessment
from advisor.plan.promise import entropy
from advisor.plan.questions import questions

UNEVEN = 1e-6


def bits(causes: Mapping[str, float]) -> float:
    """Sum of binary entropies (Shannon 1948)."""
    p = np.clip(list(causes.values()), 1e-15, 1 - 1e-15)
    return float(-(p * np.log2(p) + (1 - p) * np.log2(1 - p)).sum())


@pytest.fixture
def asked(closed_cases: dict[str, Assessment]):
    """Every third worked case with all its questions."""
    cases = [closed_cases[name] for name in sorted(closed_cases)[::3]]
    return [(a, questions(a.pack, a, most=99, shortlist=99)) for a in cases]


def test_no_answer_tells_more_than_its_own_uncertainty(asked):
    """Each cause's information is at most the entropy of the answer (Cover and Thomas, 2.4, from
    memory); and a mean over answers never tells less than nothing."""
    for assessed, found in asked:
        assert found, assessed.case.id
        for question in found:
            chance = assessed.suppose(question.symptom, [None]).chance
            own = bits({"": chance})
            assert 0 <= question.bits <= own * len(assessed.now.cause) + UNEVEN


def test_nothing_is_asked_that_an_answer_has_settled(asked):
    """Nor the same thing twice in other words."""
    settled = 0
    for assessed, found in asked:
        symptoms = assessed.pack.symptoms
        yes = {f.symptom for f in assessed.findings if f.kind == "present"}
        settled += sum(not yes.isdisjoint(s.settled_by) for s in symptoms.values())
        assert not any(yes & set(symptoms[q.symptom].settled_by) for q in found)
        aspects = [symptoms[q.symptom].aspect for q in found]
        assert len(set(aspects)) == len(aspects)
    assert settled > 10


def test_a_fresh_question_is_worth_the_expected_drop(asked):
    """Before less the mean after, whatever else was asked; questions come by it."""
    compared = 0
    for assessed, found in asked:
        assert [q.bits for q in found] == sorted((q.bits for q in found), reverse=True)
        said = {f.aspect or f.symptom for f in assessed.findings}
        for question in found:
            symptom = assessed.pack.symptoms[question.symptom]
            if (symptom.aspect or symptom.id) in said:
                continue
            supposed = assessed.suppose(question.symptom, [None])
            if supposed.yes.method != "supposed":
                continue  # very rich evidence, weighed roughly
            after = supposed.chance * bits(supposed.yes.cause)
            after += (1 - supposed.chance) * bits(supposed.no.cause)
            assert question.bits == pytest.approx(bits(assessed.now.cause) - after, abs=2e-6)
            compared += 1
    assert compared > 50


def test_a_restating_question_is_worth_less_than_were_it_fresh(asked):
    """What the answer would say in full bounds what it says where it counts by half."""
    compared = 0
    for assessed, found in asked:
        said = {f.aspect or f.symptom for f in assessed.findings}
        for question in found:
            symptom = assessed.pack.symptoms[question.symptom]
            if (symptom.aspect or symptom.id) not in said:
                continue
            supposed = assessed.suppose(question.symptom, [None])
            yes, no = (np.array(list(s.cause.values())) for s in (supposed.yes, supposed.no))
            # Pinsker: two outcomes tell at least 2 c (1 - c) d^2 / ln 2, d their distance
            c = supposed.chance
            least = 2 * c * (1 - c) * float(((yes - no) ** 2).sum()) / np.log(2)
            assert question.bits >= least - UNEVEN
            assert question.bits < 1 - UNEVEN
            compared += 1
    assert compared > 10


# what is shown of how many that are worked out: rank and bench, the page, triage
@pytest.mark.parametrize(
    ("most", "shortlist", "least"), [(3, 10, 0.99), (3, 5, 0.95), (1, 4, 0.99)]
)
def test_a_shortlist_keeps_nearly_all_of_the_best(closed_cases, most, shortlist, least):
    """Against working out every question."""
    kept = total = 0.0
    for name in sorted(closed_cases)[::2]:
        assessed = closed_cases[name]
        best = questions(assessed.pack, assessed, most=most, shortlist=10_000)
        short = questions(assessed.pack, assessed, most=most, shortlist=shortlist)
        kept += sum(q.bits for q in short)
        total += sum(q.bits for q in best)
    assert kept >= least * total > 0


def test_entropy_of_a_yes_or_no():
    """Shannon (1948): one bit at even odds; 0.8113 bits at one in four; none when sure."""
    found = entropy(np.array([[0.5], [0.25], [0.0], [1.0]]))
    assert found == pytest.approx([1.0, 0.811278, 0.0, 0.0], abs=1e-6)
    assert entropy(np.array([0.5, 0.25])) == pytest.approx(1.811278, abs=1e-6)
