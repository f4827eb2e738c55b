"""Two tablets on one case: no answer is lost, and a question is put where they disagree."""

from __future__ import annotations

import threading
from pathlib import Path

from starlette.testclient import TestClient

from advisor import load_case, load_rules
from tests.web.conftest import fields, words

ANSWERS, BENCH = "/cases/t90-hop/answers", "/cases/t90-hop/bench"


def say(page: TestClient, symptom: str, state: str, was: str = "") -> int:
    """One answer from one tablet; the status of the reply."""
    data = {"symptom": symptom, "state": state, "was": was}
    return page.post(ANSWERS, data=data).status_code


def test_answers_to_different_questions_are_both_kept(page: TestClient, file: Path):
    page.get("/cases/t90-hop")
    assert say(page, "noise.clunk", "no") == 200
    assert say(page, "condition.braking", "yes") == 200  # a tablet that has not seen the first
    text = file.read_text()
    assert 'noise.clunk: "no"' in text and 'condition.braking: "yes"' in text


def test_the_same_answer_twice_is_no_conflict(page: TestClient):
    assert say(page, "noise.clunk", "no") == 200
    assert say(page, "noise.clunk", "no") == 200


def test_two_answers_to_one_question_bring_a_clear_question(page: TestClient, file: Path):
    say(page, "noise.clunk", "no")
    reply = page.post(ANSWERS, data={"symptom": "noise.clunk", "state": "yes", "was": ""})
    assert reply.status_code == 409
    text = words(reply.text)
    assert "somebody else answered no" in text and "You said yes" in text
    assert 'noise.clunk: "no"' in file.read_text()  # theirs stands until somebody decides
    mine = fields(reply.text, ANSWERS)
    assert mine == {"symptom": "noise.clunk", "was": "no"}
    assert page.post(ANSWERS, data=mine | {"state": "yes"}).status_code == 200
    assert 'noise.clunk: "yes"' in file.read_text()


def test_speeds_said_twice_bring_a_question(page: TestClient, file: Path):
    address = "/cases/t90-hop/speeds"
    page.post(address, data={"low_mph": "50", "high_mph": "60", "was": ""})
    reply = page.post(address, data={"low_mph": "58", "high_mph": "64", "was": ""})
    assert reply.status_code == 409 and "50-60" in reply.text
    assert "low_mph: '50'" in file.read_text()


def test_a_bench_step_settled_by_somebody_else_is_put_in_question(page: TestClient, file: Path):
    seen = fields(page.get(BENCH).text, BENCH)
    page.post(BENCH, data=seen | {"word": "ready"})
    seen = fields(page.get(BENCH).text, BENCH)
    page.post(BENCH, data=seen | {"word": "clear"})
    reply = page.post(BENCH, data=seen | {"word": "found", "where": "steer_left"})
    assert reply.status_code == 409
    assert "found steer_left" in reply.text and "not saved yet" in words(reply.text)
    assert "result: found" not in file.read_text()
    mine = fields(reply.text, "/cases/t90-hop/results")
    clash = page.post("/cases/t90-hop/results", data=mine)
    # found and clear at one place cannot both be kept: said so, and theirs is untouched
    assert clash.status_code == 422 and "found and as clear" in words(clash.text)
    assert "result: found" not in file.read_text()


def test_a_result_the_other_did_not_settle_is_entered_beside_theirs(page: TestClient, file: Path):
    seen = fields(page.get(BENCH).text, BENCH)
    page.post(BENCH, data=seen | {"word": "ready"})
    seen = fields(page.get(BENCH).text, BENCH)
    page.post(BENCH, data=seen | {"word": "skip", "why": "no_tool"})
    reply = page.post(BENCH, data=seen | {"word": "found", "where": "steer_left"})
    mine = fields(reply.text, "/cases/t90-hop/results")
    assert page.post("/cases/t90-hop/results", data=mine).status_code == 200
    done = load_case(file, load_rules()).inspections
    assert any(d.outcome == "found" and str(d.place) == "steer_left" for d in done)


def test_taking_back_acts_only_on_what_was_seen(page: TestClient, file: Path):
    seen = fields(page.get(BENCH).text, BENCH)
    page.post(BENCH, data=seen | {"word": "ready"})
    old = fields(page.get(BENCH).text, BENCH)
    page.post(BENCH, data=old | {"word": "clear"})
    before = file.read_text()
    assert page.post(BENCH, data=old | {"word": "back"}).status_code == 409
    assert file.read_text() == before


def test_many_at_once_lose_nothing(page: TestClient, file: Path):
    pack = load_rules()
    asked = [f"{k}.{v}" for k in ("condition", "felt_at", "noise") for v in pack.keys[k].values]
    threads = [threading.Thread(target=say, args=(page, s, "no")) for s in asked]
    for t in threads:
        t.start()
    for t in threads:
        t.join()
    answered = {a.symptom for a in load_case(file, pack).answers}
    assert answered == set(asked)
