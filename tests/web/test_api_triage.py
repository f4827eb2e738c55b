"""Rows in, the document of `advisor triage --format json` out; nothing is kept."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from starlette.testclient import TestClient
from typer.testing import CliRunner

from advisor.cli.main import app
from advisor.web.api_triage import DaysList

pytestmark = pytest.mark.usefixtures("at_once")
ROWS = [
    {"unit": "T-1", "complaint": "hops in the seat 58-64", "date": "3/4/2031"},
    {"unit": "T-2", "complaint": "lug nuts loose and it wobbles"},
    {"unit": "T-3", "complaint": "radio does not work"},
    {"unit": "T-4"},
]
LINES = "\n".join(map(json.dumps, ROWS))
TABLE = "unit,date,complaint\nT-1,3/4/2031,hops in the seat 58-64\nT-4,,\n"
BODIES = {
    "application/json": ("rows.json", json.dumps(ROWS, indent=1)),
    "application/x-ndjson": ("rows.jsonl", LINES),
    "text/csv; charset=utf-8": ("rows.csv", TABLE),
}


@pytest.mark.parametrize("kind", BODIES)
def test_the_answer_is_the_document_of_the_command_line(
    page: TestClient, folder: Path, tmp_path: Path, monkeypatch, kind: str
):
    name, body = BODIES[kind]
    (tmp_path / name).write_text(body)
    monkeypatch.chdir(tmp_path)
    command = ["triage", name, "--format", "json", "--vehicle", "coach", "--day-first"]
    told = CliRunner().invoke(app, command).stdout
    address = "/api/triage?vehicle=coach&day_first=true"
    reply = page.post(address, content=body, headers={"content-type": kind})
    assert reply.status_code == 200 and reply.text == told
    data = reply.json()
    assert set(data) == {f.alias or n for n, f in DaysList.model_fields.items()}
    assert [r["reason"] for r in data["rejects"]] == ["there is no write-up in it"]
    assert data["units"][-1]["date"] == "2031-04-03"
    assert not (folder / ".board").exists()  # the board stays as it was


@pytest.mark.parametrize(
    ("body", "query", "field", "what"),
    [
        (b"", "", "", "the body is empty"),
        (b"[]", "", "", "the file is empty"),
        (b'[{"a": 1}]', "", "text", "no column looks like the write-up; found: a"),
        (b"\x00\xff\xfe", "", "text", "no column looks like"),
        (b'[{"complaint": "hops"}]', "?vehicle=zeppelin", "vehicle", '"zeppelin" is not a vehicle'),
        (b'[{"complaint": "hops"}]', "?day_first=perhaps", "", "day_first"),
    ],
)
def test_bad_input_is_told_as_problems(page: TestClient, body, query, field, what):
    headers = {"content-type": "application/json"}
    reply = page.post(f"/api/triage{query}", content=body, headers=headers)
    assert reply.status_code == 422
    (problem,) = reply.json()["problems"]
    assert set(problem) == {"path", "line", "column", "field", "what", "allowed", "hint"}
    assert problem["field"] == field and what in problem["what"]


def test_the_same_guards_as_everywhere(page: TestClient):
    other = {"origin": "http://elsewhere.example"}
    assert page.post("/api/triage", json=ROWS, headers=other).status_code == 403
    much = "unit,complaint\n" + "T-1,hops\n" * 250_000
    assert page.post("/api/triage", content=much).status_code == 413
    rows = [{"complaint": "hops"}] * 3001
    reply = page.post("/api/triage", json=rows)
    assert reply.status_code == 422 and "3001 rows" in reply.json()["problems"][0]["what"]


def test_a_column_is_named_in_the_address(page: TestClient):
    table = "rig,words\nT-9,hops in the seat 58-64\n"
    address = "/api/triage?column=text=words&column=unit=rig"
    reply = page.post(address, content=table, headers={"content-type": "text/csv"})
    assert [unit["unit"] for unit in reply.json()["units"]] == ["T-9"]
    reply = page.post("/api/triage?column=words", content=table)
    assert reply.status_code == 422
    assert "write it as text=Complaint" in reply.text
