"""Cases: the folder is the truth, the index only a cache; search, close, compare."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from advisor import load_case, load_rules
from advisor.web.folder import Folder, NameTaken, NoSuchCase
from advisor.web.index import NAME
from tests.web.conftest import fields, words

CLOSE = "/cases/t90-hop/close"
END = {
    "cause": "off_center_mounting",
    "place": "steer_left",
    "by": "rim re-indexed",
    "fixed_by": "hub cleaned",
    "date": "2031-04-15",
}


@pytest.mark.parametrize(
    ("query", "shown"),
    [
        ("", {"t90-hop", "t91-bent"}),
        ("?q=HOPS+seat", {"t90-hop"}),
        ("?q=steer_right", {"t91-bent"}),
        ("?state=closed", {"t91-bent"}),
        ("?q=nothing+like+it", set()),
    ],
)
def test_search(page: TestClient, query: str, shown: set[str]):
    text = page.get(f"/cases{query}").text
    assert {i for i in ("t90-hop", "t91-bent") if f'href="/cases/{i}"' in text} == shown


def test_the_index_may_be_deleted_and_broken(folder: Path):
    held = Folder(folder)
    before = held.entries()
    (folder / NAME).unlink()
    assert Folder(folder).entries() == before
    (folder / NAME).write_bytes(b"this is no database, " * 400)
    assert Folder(folder).entries() == before
    assert held.entries() == before


def test_the_index_of_an_older_program_is_made_anew(folder: Path):
    with sqlite3.connect(folder / NAME) as db:
        db.execute("create table cases (path, something_else)")
    assert {e.id for e in Folder(folder).entries()} == {"t90-hop", "t91-bent"}


def test_changes_made_beside_the_page_are_seen(page: TestClient, folder: Path, file: Path):
    page.get("/cases")
    file.write_text(file.read_text().replace("Hop at sixty", "Hop at fifty, edited by hand"))
    (folder / "deep" / "er").mkdir(parents=True)
    (folder / "deep" / "er" / "x.yaml").write_text("case: t92\nvehicle: {type: coach}\n")
    (folder / "t91-bent.yaml").unlink()
    text = page.get("/cases").text
    assert "edited by hand" in text and 'href="/cases/t92"' in text and "t91-bent" not in text
    assert page.get("/cases/t92").status_code == 200


def test_a_file_that_cannot_be_read_is_listed_with_its_line(page: TestClient, folder: Path):
    (folder / "odd.yaml").write_text("case: odd\nvehicle: {type: coach\nunit: x\n")
    text = words(page.get("/cases").text)
    assert "odd cannot be read" in text and "line 3" in text


def test_two_files_of_one_name_are_refused_not_guessed(page: TestClient, folder: Path, file: Path):
    (folder / "deep").mkdir()
    (folder / "deep" / "copy.yaml").write_text(file.read_text())
    (folder / "other.yaml").write_text(file.read_text())
    file.unlink()
    reply = page.get("/cases/t90-hop")
    assert reply.status_code == 422 and "two files call themselves" in words(reply.text)


@pytest.mark.parametrize(
    "name",
    ["../secret", "..%2fsecret", "%2e%2e/secret", "..%5csecret", "/etc/passwd", ".hidden", "a%00b",
     "t90-hop.yaml", "....//secret"],
)  # fmt: skip
def test_paths_out_of_the_folder_are_refused(page: TestClient, folder: Path, name: str):
    (folder.parent / "secret.yaml").write_text("case: secret\nvehicle: {type: coach}\ntitle: TOP\n")
    (folder / ".hidden.yaml").write_text("case: .hidden\nvehicle: {type: coach}\n")
    for tail in ("", "/sheet", "/bench"):
        reply = page.get(f"/cases/{name}{tail}")
        assert reply.status_code == 404 and "TOP" not in reply.text


def test_a_link_that_leads_out_of_the_folder_is_not_followed(page: TestClient, folder: Path):
    outside = folder.parent / "secret.yaml"
    outside.write_text("case: linked\nvehicle: {type: coach}\ntitle: TOP\n")
    (folder / "linked.yaml").symlink_to(outside)
    assert page.get("/cases/linked").status_code == 404
    assert "TOP" not in page.get("/cases").text


def test_a_new_file_never_takes_the_place_of_another(folder: Path):
    held = Folder(folder)
    with pytest.raises(NameTaken):
        held.create("t90-hop", "case: t90-hop\n")
    with pytest.raises(NoSuchCase):
        held.read("t99")
    assert not [f for f in folder.iterdir() if f.name.startswith(".t90")]


def test_closing_writes_how_it_ended(page: TestClient, file: Path):
    seen = fields(page.get(CLOSE).text, CLOSE)
    reply = page.post(CLOSE, data=seen | END)
    assert "rim re-indexed" in words(reply.text)
    case = load_case(file, load_rules())
    assert case.confirmed is not None and case.fixed_by == "hub cleaned"
    assert [(c.id, str(c.place)) for c in case.confirmed.causes] == [
        ("off_center_mounting", "steer_left")
    ]


def test_closing_asks_again_when_somebody_added_to_the_case(page: TestClient, file: Path):
    seen = fields(page.get(CLOSE).text, CLOSE)
    data = {"symptom": "noise.clunk", "state": "no", "was": ""}
    page.post("/cases/t90-hop/answers", data=data)
    reply = page.post(CLOSE, data=seen | END)
    assert reply.status_code == 409 and "Somebody else added" in words(reply.text)
    assert "rim re-indexed" in reply.text and "confirmed" not in file.read_text()
    again = fields(reply.text, CLOSE)
    assert page.post(CLOSE, data=again | END).status_code == 200
    assert "confirmed" in file.read_text()


def test_closing_without_how_it_is_known_is_refused_with_the_form_kept(page: TestClient):
    seen = fields(page.get(CLOSE).text, CLOSE)
    reply = page.post(CLOSE, data=seen | END | {"by": " "})
    assert reply.status_code == 422 and "hub cleaned" in reply.text


def test_compare_says_what_is_told_of_both(page: TestClient):
    text = words(page.get("/compare?a=t90-hop&b=t91-bent").text)
    assert "Told of both" in text and "still open" in text and "dial at the rim side" in text


def test_why_names_what_speaks_for_and_against(page: TestClient):
    text = words(page.get("/cases/t90-hop/why/off_center_mounting").text)
    assert "Speaks for it" in text and "Speaks against it" in text and "Sources" in text
    assert page.get("/cases/t90-hop/why/no_such_cause").status_code == 422
