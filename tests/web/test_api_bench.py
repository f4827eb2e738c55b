"""The walk over the JSON interface: the same steps, and the same file, as `advisor bench`."""

from __future__ import annotations

import datetime
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from advisor import load_rules
from advisor.bench.session import BenchSession

BENCH = "/api/cases/t90-hop/bench"


def say(page: TestClient, line: str, **more: str):
    """Answer the step that is shown."""
    body = {"say": line, "version": page.get(BENCH).json()["version"]}
    return page.post(BENCH, json=body | more)


def test_the_interface_and_the_terminal_leave_the_same_file(page: TestClient, file: Path):
    today = datetime.date.today().isoformat()
    other = BenchSession(file.read_text(), load_rules(), str(file), "Lee", today)
    for line in ("ready", "clear", "skip no_tool", "back", "why"):
        shown = say(page, line, by="Lee").json()
        reply = other.say(line)
        assert file.read_text() == other.text
        step = other.step
        assert (shown["step"]["id"], shown["step"]["confirm"]) == (step.id, step.confirm)
        assert shown["changed"] == list(reply.says)
        assert [c["id"] for c in shown["ranking"]] == [lead.id for lead in step.leads]
        assert shown["verdict"]["level"] == step.safety.level
        assert shown == page.get(BENCH).json() | {"changed": shown["changed"]}


def test_an_answer_to_a_version_that_is_gone_writes_nothing(page: TestClient, file: Path):
    old = page.get(BENCH).json()["version"]
    assert page.post(BENCH, json={"say": "ready", "version": old}).status_code == 200
    before = file.read_text()
    reply = page.post(BENCH, json={"say": "clear", "version": old})
    assert reply.status_code == 409 and file.read_text() == before
    what = reply.json()["problems"][0]["what"]
    assert "somebody else changed this file" in what and str(file.parent) not in what


@pytest.mark.parametrize(
    ("line", "what"),
    [("clear", "first the cautions"), ("banana", "first the cautions"), ("", "first the cautions")],
)
def test_what_is_no_answer_is_refused(page: TestClient, file: Path, line: str, what: str):
    before = file.read_text()
    reply = say(page, line)
    assert reply.status_code == 422 and what in reply.json()["problems"][0]["what"]
    assert file.read_text() == before


def test_a_danger_that_is_found_is_the_verdict(page: TestClient):
    say(page, "ready")
    shown = say(page, "found steer_left").json()
    assert shown["verdict"]["level"] == "stop" and shown["verdict"]["findings"]
    assert any("do not drive" in line.lower() for line in shown["changed"])


def test_cases_that_are_closed_or_not_there(page: TestClient):
    reply = page.get("/api/cases/t91-bent/bench")
    assert reply.status_code == 422
    assert reply.json()["problems"][0]["what"].startswith("t91-bent: this case is closed")
    assert page.get("/api/cases/none/bench").status_code == 404
    assert page.post(BENCH, json={"say": "ready"}).status_code == 422  # no version
    other = {"origin": "http://elsewhere.example"}
    body = {"say": "ready", "version": "x"}
    assert page.post(BENCH, json=body, headers=other).status_code == 403
