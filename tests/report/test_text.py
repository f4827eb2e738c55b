"""The terminal report: safety first, 80 columns, harmless, honest about what it says."""

from __future__ import annotations

import unicodedata

import pytest

from advisor.report.terminal import render_text

from .sample import STOP, build, document

HOSTILE = "hop\x1b[2J\x07 \u202egnp.exe\x9b31m\r<script>"


@pytest.mark.parametrize("full", [False, True])
@pytest.mark.parametrize("width", [40, 80, 132])
def test_no_line_is_wider_than_asked(full, width):
    for d in (build(), build(safety=STOP), build(title="x" * 300, unit="y" * 90)):
        assert max(map(len, render_text(d, width, full).splitlines())) <= width


def test_ordinary_case_is_about_one_screen():
    brief = render_text(build(readings=[], conflicts=[]))
    full = render_text(build(readings=[], conflicts=[]), full=True)
    assert brief.count("\n") <= 66
    assert full.count("\n") > 1.5 * brief.count("\n")


def test_safety_is_said_before_anything_else():
    text = render_text(build(safety=STOP))
    assert text.startswith("SAFETY  Stop")
    assert text.index("Do not move the unit") < text.index("PROBABLE CAUSES")
    assert text.index("stands") < text.index("PROBABLE CAUSES")


def test_no_finding_never_clears_the_vehicle():
    text = " ".join(render_text(build()).split())
    assert "does not clear the vehicle" in text
    assert "safe to drive" not in text


def test_more_than_four_steps_keep_every_safety_step():
    steps = document()["inspections"]
    last = {**steps[0], "id": "late-nuts", "name": "Late safety check"}
    text = " ".join(render_text(build(inspections=[*steps[1:], last])).split())
    assert text.index("SAFETY FIRST") < text.index("Late safety check") < text.index("Then: ")


def test_cautions_of_the_walk_and_of_the_step_after_it_stand_below_them():
    text = " ".join(render_text(build()).split())
    assert "Caution, walk: Chock the wheels" in text
    assert "Caution, step 2: Stand clear of a turning wheel" in text


def test_dangerous_cause_says_so_beside_its_name():
    text = render_text(build())
    after = text[text.index("Loose wheel fastening") :]
    assert "do not drive" in after[: after.index(" 5. ")]


def test_probability_in_words_with_place_and_reasons():
    text = render_text(build())
    assert "1. Wheel mounted off center: about 6 in 10, left steer or right steer" in text
    assert "for     it started right after tire work" in text
    assert "against balancing changed nothing" in text


def test_orders_of_the_reported_speeds_are_listed():
    text = render_text(build())
    assert "FREQUENCIES AT 58 to 64 mph" in text
    for order in document()["orders"]:
        assert order["name"] in text
    assert "8.2 to 9.1 Hz" in text


def test_pack_version_and_hash_close_the_report():
    assert render_text(build()).rstrip().endswith("Rules 1.0.0, content 5f0c5f0c5f0c")
    assert "5f0c" * 16 in render_text(build(), full=True).replace("\n", "")


@pytest.mark.parametrize("full", [False, True])
def test_control_characters_are_written_out(full):
    questions = [dict(document()["questions"][0], ask=HOSTILE)]
    d = build(title=HOSTILE, write_up=HOSTILE, spans=[], questions=questions, unit=HOSTILE)
    text = render_text(d, full=full)
    assert "\\x1b" in text and "\\u202e" in text
    unseen = {c for c in text if unicodedata.category(c) in ("Cc", "Cf", "Cs") and c != "\n"}
    assert unseen == set()


def test_nothing_but_a_verdict_still_renders():
    keys = "causes families inspections questions orders unknown limitations conflicts readings"
    bare: dict[str, list[object]] = {
        k: [] for k in f"{keys} cautions sources answers spans".split()
    }
    text = render_text(build(**bare, diagram=None, firmness=None, write_up=""), full=True)
    assert text.startswith("SAFETY")
    assert "FREQUENCIES" not in text and "ASK" not in text


def test_several_findings_ask_for_each_thing_once():
    first = STOP["findings"][0]
    second = dict(first, id="again", says="It began suddenly.", checks=["hub-heat", "treads"])
    text = render_text(build(safety={**STOP, "findings": [first, second]}))
    box = text[: text.index("Case Q-031")]
    assert "A wheel may be loose." in box and "It began suddenly." in box
    for once in ("Do not move the unit", "hub heat", "treads", "Chock the wheels"):
        assert box.count(once) == 1


def test_what_is_asked_is_not_listed_again_as_unknown():
    text = render_text(build())
    assert "Not known: wear of the steer tires\n" in text
