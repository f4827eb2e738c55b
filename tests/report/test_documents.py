"""JSON (the contract, and back) and Markdown."""

from __future__ import annotations

import json

import pytest

from advisor.errors import InputProblems
from advisor.report.as_json import load_json, render_json
from advisor.report.markdown import orders_markdown, plain, render_markdown
from advisor.report.orders import orders_json, orders_text, render_orders

from .sample import STOP, build

CONTRACT = {
    None: {"schema", "case", "pack", "safety", "causes", "families", "inspections", "questions",
           "orders", "unknown"},
    "pack": {"version", "sha256"},
    "safety": {"level", "findings"},
    "causes": {"id", "family", "probability", "places", "for", "against"},
    "families": {"id", "probability"},
    "inspections": {"id", "place", "access", "minutes", "opens", "limit", "tells", "cautions"},
    "questions": {"symptom", "ask", "bits"},
    "orders": {"of", "order", "hz_low", "hz_high"},
}  # fmt: skip


def test_json_has_the_keys_other_programs_rely_on():
    plain_data = json.loads(render_json(build()))
    for key, names in CONTRACT.items():
        part = plain_data if key is None else plain_data[key]
        for entry in part if isinstance(part, list) else [part]:
            assert names <= set(entry), key
    for cause in plain_data["causes"]:
        for said in (*cause["for"], *cause["against"]):
            assert {"symptom", "decibans", "rule", "source"} <= set(said)
    assert next(iter(plain_data)) == "schema"


def test_json_round_trip():
    d = build(safety=STOP)
    text = render_json(d)
    back = load_json(text)
    assert render_json(back) == text
    assert back.write_up == d.write_up and back.spans == d.spans and back.safety == d.safety
    assert text.endswith("}\n") and text.isascii()


def test_json_rounds_probabilities_and_keeps_picture_numbers():
    data = json.loads(render_json(build()))
    assert data["causes"][0]["probability"] == 0.621346
    assert data["readings"][0]["pictures"][0]["data"]["amplitude"] == 0.0312


def test_missing_points_of_a_picture_are_null_not_nan():
    reading = build().readings[0]
    picture = reading.pictures[0]
    data = {**picture.data, "readings": [float("nan"), 1e-9, float("inf")]}
    changed = reading.model_copy(update={"pictures": [picture.model_copy(update={"data": data})]})
    d = build().model_copy(update={"readings": [changed]})
    text = render_json(d)
    assert "NaN" not in text and "Infinity" not in text
    assert json.loads(text)["readings"][0]["pictures"][0]["data"]["readings"] == [None, 1e-9, None]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("{", "not JSON"),
        ("[" * 100_000, "not JSON"),
        ("[]", "not a saved diagnosis"),
        ('{"schema": 9}', "schema 9 is unknown"),
        ('{"schema": 1, "case": "x"}', "Field required"),
    ],
)
def test_what_is_no_diagnosis_is_refused_in_one_message(text, said):
    with pytest.raises(InputProblems, match=said):
        load_json(text, "saved.json")


def test_every_problem_of_a_document_is_named_at_once():
    with pytest.raises(InputProblems) as caught:
        load_json('{"schema": 1, "case": "x", "colour": 3}')
    fields = {problem.field for problem in caught.value.problems}
    assert {"colour", "pack", "safety"} <= fields


def test_markdown_says_safety_first_and_cites():
    text = render_markdown(build(safety=STOP))
    assert text.index("## Safety") < text.index("## Probable causes")
    assert "**Caution:** Chock the wheels" in text
    assert text.count("29 CFR 1910.177") == 1
    assert "does not clear the vehicle" in render_markdown(build())


def test_markdown_from_outside_is_not_read_as_markup():
    hostile = "<script>x</script> [a](javascript:b) *b* `c` | d\n# e\x1b[2J"
    text = render_markdown(build(write_up=hostile, spans=[], title=hostile))
    assert "<script" not in text.replace("\\<script", "")
    assert "\n# e" not in text and "\x1b" not in text
    assert "\\[a\\]" in text and "\\*b\\*" in text
    assert plain("12. nuts") == "12\\. nuts" and plain("- x") == "\\- x"


def test_orders_report_in_every_form():
    d = build()
    assert d.diagram is not None
    for kind in ("text", "markdown", "html", "json"):
        page = render_orders((d.orders, d.diagram), kind)
        for order in d.orders:
            assert order.name in page
        assert "275/80R22.5" in page
    text = orders_text(d.orders, d.diagram, 60)
    assert max(map(len, text.splitlines())) <= 60
    assert "8.2 to 9.1 Hz" in text and "from memory" in text
    assert "| wheel order 1 | 8.2 to 9.1 Hz |" in orders_markdown(d.orders, d.diagram)
    assert json.loads(orders_json(d.orders, d.diagram))["orders"][0]["of"] == "wheel"
