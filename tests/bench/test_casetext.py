"""Text changes that leave everything else as it was."""

from __future__ import annotations

import pytest

from advisor.bench.casetext import add_answer, add_item, drop_last, put_section
from advisor.errors import AdvisorError
from advisor.yaml_marks import parse

ITEM = "{id: hub-heat, place: steer, result: clear}"
HEAD = "case: a\nvehicle: {type: coach}\n"


def data(text):
    return parse(text, "-").data


def test_only_the_new_line_is_new(open_case):
    made = add_item(open_case, "inspections", ITEM)
    old, new = open_case.splitlines(), made.splitlines()
    assert [line for line in new if line not in old] == [f"  - {ITEM}"]
    assert [line for line in new if line in old] == old
    assert drop_last(made, "inspections", 1) == open_case


@pytest.mark.parametrize(
    "text",
    [
        HEAD,
        HEAD + "inspections:\n",
        HEAD + "inspections: []\n",
        HEAD + "inspections: [{id: walk-round, result: clear}]\n",
        HEAD + "inspections: [{id: walk-round,\n    result: clear}]\nunit: X\n",
        HEAD + "inspections:\n- id: walk-round\n  result: clear\nunit: X\n",
        HEAD + "inspections:\n    - id: walk-round\n      result: clear\n\n# next\nunit: X\n",
        HEAD + "inspections:\n  - {id: walk-round, result: clear}\n...\n",
        HEAD.rstrip("\n"),
        (HEAD + "inspections:\n  - {id: walk-round, result: clear}\n").replace("\n", "\r\n"),
    ],
)
def test_an_entry_is_added_whatever_the_style(text):
    made = add_item(text, "inspections", ITEM)
    held = data(text).get("inspections") or []
    assert data(made)["inspections"] == [*held, data(ITEM)]
    rest = {k: v for k, v in data(made).items() if k != "inspections"}
    assert rest == {k: v for k, v in data(text).items() if k != "inspections"}
    assert ("\r\n" in made) == ("\r\n" in text)


@pytest.mark.parametrize(
    "symptoms",
    ["", "symptoms:\n  felt_at: [seat]\n", "symptoms: {felt_at: [seat]}\n",
     "symptoms:\n  - felt_at.seat\n", "symptoms: [felt_at.seat]\n"],
)  # fmt: skip
def test_an_answer_is_added_whatever_the_style(symptoms, pack):
    from advisor.intake.case_file import case_from

    made = add_answer(HEAD + symptoms, "sensation.hop", "no")
    case = case_from(parse(made, "-"), pack)
    assert ("sensation.hop", "no") in {(a.symptom, a.state) for a in case.answers}
    if symptoms:
        assert ("felt_at.seat", "yes") in {(a.symptom, a.state) for a in case.answers}


def test_a_block_of_text_at_the_end_is_not_broken():
    text = (
        HEAD + "inspections:\n  - {id: walk-round, result: clear}\nwrite_up: |\n  one\n\n  # two\n"
    )
    made = add_item(text, "inspections", ITEM)
    assert data(made)["write_up"] == data(text)["write_up"]


def test_a_section_is_put_in_place_of_the_old_one():
    once = put_section(HEAD, "bench", "bench:\n  opened: []\n  log: []\n")
    twice = put_section(once, "bench", "bench:\n  opened: [raised@steer]\n  log: []\n")
    assert twice.count("bench:") == 1 and "raised@steer" in twice
    assert put_section(twice, "bench", "") == HEAD


def test_a_case_in_braces_is_refused_and_not_harmed():
    with pytest.raises(AdvisorError, match="braces"):
        add_item("{case: a, vehicle: {type: coach}}\n", "inspections", ITEM)
