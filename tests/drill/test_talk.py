"""What is typed and what is said back."""

from __future__ import annotations

import pytest

from advisor.drill.checklist import load_checklist
from advisor.drill.choose import default_cases_folder, worked_cases
from advisor.drill.debrief import verdict
from advisor.drill.game import Drill
from advisor.drill.talk import WIDTH, greeting, respond
from advisor.errors import AdvisorError


@pytest.fixture
def drill(pack):
    cases = {c.id: c for c in worked_cases(default_cases_folder(), pack)}
    return Drill(cases["k17-curb-route-wobble"], pack, load_checklist(pack).ids, seed=3)


def say(drill, line):
    return "\n".join(respond(drill, line)[0])


@pytest.mark.parametrize(
    "line",
    [
        "do rim-runout steer_left",
        "do rim-runout steer left",
        "do rim-runout left steer",
        "do rim runout LEFT steer",
        "DO rim_runout steer-left",
    ],
)
def test_a_check_and_its_place_may_be_said_in_any_order(drill, line):
    say(drill, line)
    assert [(t.id, t.place) for t in drill.taken] == [("rim-runout", "steer_left")]


@pytest.mark.parametrize(
    ("line", "place"),
    [
        ("name bent_wheel steer_right 70", "steer_right"),
        ("name bent wheel right steer 70%", "steer_right"),
        ("name bent-wheel - 70", ""),
        ("name universal joint 70", ""),
    ],
)
def test_a_cause_is_named_in_one_word_or_several(drill, line, place):
    _, score = respond(drill, line)
    assert score is not None and drill.named.place == place and drill.named.confidence == 0.7


@pytest.mark.parametrize(
    ("line", "complaint"),
    [
        ("halp", "help"),
        ("why", "the debrief tells why"),
        ("ask", "topics"),
        ("do", "checks"),
        ("ask wether", "allowed"),
        ("do tred-runout steer", "tread-runout"),
        ("do tread-runout", "needs a place"),
        ("name", "name CAUSE PLACE PERCENT"),
        ("name bent_weel steer_right 70", "bent_wheel"),
        ("name bent_wheel 70", "wheel end"),
        ("name bent_wheel steer_right sure", "not a number"),
        ("name bent_wheel steer_right 170", "0 to 100"),
    ],
)
def test_what_is_not_understood_is_answered_and_costs_nothing(drill, line, complaint):
    with pytest.raises(AdvisorError, match=complaint):
        respond(drill, line)
    assert drill.minutes == 0 and drill.named is None


def test_an_error_does_not_list_dozens_of_choices(drill):
    with pytest.raises(AdvisorError) as error:
        respond(drill, "do tred-runout steer")
    assert len(str(error.value)) < 2 * WIDTH


def test_what_came_out_alike_is_said_once(drill):
    said = say(drill, "do wheel-nut-check all")
    assert said.count("every nut") == 1 and "steer, drive and tag, 24 min" in said
    sides = say(drill, "do lateral-runout steer")
    assert "left steer, 21 min: clear" in sides and "right steer, 6 min: found" in sides
    assert "lateral-runout right steer: found" in say(drill, "known")


def test_every_line_fits_the_screen(drill):
    lines = greeting(drill)
    for line in ("topics", "checks", "causes", "ask noise", "do bare-wheel-runout all", "known"):
        lines += respond(drill, line)[0]
    assert max(map(len, lines)) <= WIDTH


def test_the_verdict_says_why(drill):
    respond(drill, "do coast-test")
    _, score = respond(drill, "name imbalance steer_left 90")
    said = verdict(score)
    assert said.startswith("Not passed:")
    for reason in ("the cause is wrong", "safety checks were left out", "on the road too early"):
        assert reason in said
