"""The JSON interface: the same answers as the command line, described by OpenAPI."""

from __future__ import annotations

import json
import re
from pathlib import Path

from fastapi.openapi.models import OpenAPI
from jsonschema import Draft202012Validator
from starlette.testclient import TestClient

from advisor import load_case, load_rules, rank, read_write_up
from advisor.report.as_json import render_json

CASE = {
    "case": "n-1",
    "vehicle": {"type": "linehaul_tractor", "tire": "295/75R22.5", "axle_ratio": 3.36},
    "symptoms": {"sensation": ["hop"], "speed": {"low_mph": 58, "high_mph": 64}},
}


def test_rank_is_the_document_of_the_command_line(page: TestClient, tmp_path: Path):
    file = tmp_path / "n-1.yaml"
    file.write_text(json.dumps(CASE))
    pack = load_rules()
    reply = page.post("/api/rank", json=CASE)
    assert reply.json() == json.loads(render_json(rank(load_case(file, pack), pack)))


def test_read_is_the_document_of_the_command_line(page: TestClient):
    text = "Hops in the seat 58 to 64. Started after new steers."
    reply = page.post("/api/read", json={"text": text})
    assert reply.json() == read_write_up(text, load_rules()).to_json_dict()
    for span in reply.json()["spans"]:
        assert text[span["start"] : span["end"]] == span["text"]


def test_every_problem_comes_with_its_field(page: TestClient):
    wrong = CASE | {"vehicle": {"type": "zeppelin", "tire": "banana"}, "colour": "red"}
    reply = page.post("/api/rank", json=wrong)
    assert reply.status_code == 422
    assert {p["field"] for p in reply.json()["problems"]} >= {"vehicle.type", "colour"}
    for raw in (b"{", b"[1]", b'"x"', b""):
        reply = page.post("/api/rank", content=raw, headers={"content-type": "application/json"})
        assert reply.status_code == 422 and reply.json()["problems"]


def test_a_case_is_kept_read_replaced_and_never_overwritten_blindly(page: TestClient, folder: Path):
    made = page.post("/api/cases", json=CASE)
    assert made.status_code == 201 and (folder / "n-1.yaml").is_file()
    assert page.post("/api/cases", json=CASE).status_code == 409
    held = page.get("/api/cases/n-1").json()
    assert held["case"]["vehicle"]["type"] == "linehaul_tractor"
    new = CASE | {"title": "Hop"}
    assert page.put("/api/cases/n-1", json=new).status_code == 422  # no If-Match
    match = {"if-match": held["version"]}
    assert page.put("/api/cases/n-1", json=new, headers=match).status_code == 200
    assert page.put("/api/cases/n-1", json=CASE, headers=match).status_code == 409
    assert "title: Hop" in (folder / "n-1.yaml").read_text()
    assert page.put("/api/cases/n-1", json=new | {"case": "n-2"}, headers=match).status_code == 422


def test_names_are_never_paths(page: TestClient, folder: Path):
    for name in ("../n-1", "a/b", "", ".x", "n" * 200):
        assert page.post("/api/cases", json=CASE | {"case": name}).status_code == 422
    assert not (folder.parent / "n-1.yaml").exists()


def test_answers_and_conflicts(page: TestClient):
    yes = {"symptom": "noise.clunk", "state": "yes"}
    assert page.post("/api/cases/t90-hop/answers", json=yes).status_code == 200
    no = {"symptom": "noise.clunk", "state": "no"}
    reply = page.post("/api/cases/t90-hop/answers", json=no)
    assert reply.status_code == 409 and "which of the two" in reply.text
    reply = page.post("/api/cases/t90-hop/answers", json=no | {"was": "yes"})
    assert reply.json()["case"]["symptoms"] == {"noise.clunk": "no"}


def test_lists_search_and_ranks_what_is_kept(page: TestClient):
    assert [c["id"] for c in page.get("/api/cases?q=wobble&state=closed").json()] == ["t91-bent"]
    assert page.get("/api/cases/t90-hop/rank").json()["case"] == "t90-hop"
    assert page.get("/api/cases/none").status_code == 404
    assert page.get("/api/nothing").json()["problems"]


def test_openapi_describes_every_address(page: TestClient):
    told = page.get("/api/openapi.json").json()
    assert told["openapi"].startswith("3.")
    assert set(told["paths"]) == {
        "/api/about", "/api/read", "/api/rank", "/api/cases", "/api/cases/{id}",
        "/api/cases/{id}/rank", "/api/cases/{id}/answers", "/api/cases/{id}/bench", "/api/triage",
    }  # fmt: skip
    OpenAPI.model_validate(told)  # the specification's own objects
    ranked = told["paths"]["/api/rank"]["post"]["responses"]["200"]["content"]
    assert ranked["application/json"]["schema"]["$ref"].endswith("/Diagnosis")
    for path in told["paths"].values():
        for op in path.values():
            assert op.get("description")
            wrong = op["responses"]["422"]["content"]["application/json"]["schema"]
            assert wrong == {"$ref": "#/components/schemas/Problems"}
    bodies = told["paths"]["/api/triage"]["post"]["requestBody"]["content"]
    assert set(bodies) == {"application/json", "application/x-ndjson", "text/csv"}
    for named in re.findall(r'"#/components/schemas/([^"]+)"', json.dumps(told)):
        schema = told["components"]["schemas"][named]
        Draft202012Validator.check_schema(schema)  # OpenAPI 3.1, Schema Object
