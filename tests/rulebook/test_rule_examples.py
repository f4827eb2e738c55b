"""Every rule, alone, does what its examples say."""

from __future__ import annotations

import pytest

from advisor.rulebook.load import load_folder
from advisor.try_rules import check_examples, try_example
from tests.conftest import ROOT

LOADED = load_folder(ROOT / "rules")
IN_FORCE = [rule for rule in LOADED.pack.rules if rule.status != "retired"]


@pytest.mark.parametrize("rule", IN_FORCE, ids=lambda rule: rule.id)
def test_examples(rule):
    alone = LOADED.pack.model_copy(update={"rules": (rule,)})
    for example in rule.examples:
        assert try_example(alone, rule, example, LOADED) == ""


@pytest.mark.parametrize("rule", IN_FORCE, ids=lambda rule: rule.id)
def test_a_rule_shows_that_silence_moves_nothing_and_that_it_moves_something(rule):
    assert any(example.moves == "nothing" for example in rule.examples)
    assert any(example.raises or example.lowers for example in rule.examples)


def test_an_example_that_does_not_hold_is_found():
    """The runner itself can fail: a rule is given examples that are wrong."""
    rule = next(r for r in IN_FORCE if r.id == "cupping-from-bounce")
    right = next(e for e in rule.examples if e.raises == "imbalance")
    wrong = [
        right.model_copy(update={"raises": None, "lowers": "imbalance"}),
        right.model_copy(update={"raises": None, "moves": "nothing"}),
        right.model_copy(update={"raises": "universal_joint"}),
        right.model_copy(update={"raises": None}),
        right.model_copy(update={"say": {"wear": {"nowhere": "cupping"}}}),
    ]
    spoiled = rule.model_copy(update={"examples": [right, *wrong]})
    pack = LOADED.pack.model_copy(update={"rules": (spoiled,)})
    found = list(check_examples(type(LOADED)(pack, LOADED.where)))
    assert [p.field.rsplit(".", 1)[-1] for p in found] == [f"examples[{i}]" for i in range(1, 6)]
