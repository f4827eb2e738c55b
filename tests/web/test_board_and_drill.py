"""The board sorts a stack; the drill is played move by move; the trainer sees the class."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from tests.web.conftest import words

pytestmark = pytest.mark.usefixtures("at_once")
STACK = """\
Unit,Date,Complaint,Vehicle
T-1,2031-05-01,hops in the seat 58-64,linehaul_tractor
T-2,2031-05-01,lug nuts loose on right rear and it wobbles,linehaul_tractor
T-1,2031-04-01,hop at 60 balanced no change,linehaul_tractor
T-3,2031-05-02,radio does not work,linehaul_tractor
"""


def upload(page: TestClient, raw: str, do: str = "file"):
    """Send a stack as a browser does."""
    return page.post("/board", data={"do": do}, files={"file": ("today.csv", raw.encode())})


def test_a_stack_becomes_the_days_list(page: TestClient, folder: Path):
    assert "No list yet" in page.get("/board").text
    text = words(upload(page, STACK).text)
    assert "4 rows: 3 vibration complaints of 2 units, 1 not about vibration" in text
    assert text.index("1. T-2") < text.index("2. T-1")  # what must not roll comes first
    assert "T-3" not in text and "2 complaints since 2031-04-01" in text
    only = words(page.get("/board?level=stop").text)
    assert "1. T-2" in only and "T-1" not in only
    assert "T-2" not in words(page.get("/board?again=1").text)
    assert "T-2" not in words(page.get("/board?q=seat").text)
    sheet = page.get("/board/print")
    assert (
        "Must not roll" in sheet.text
        and "script-src" not in sheet.headers["content-security-policy"]
    )
    wrong = upload(page, "a,b\n1,2\n")
    assert wrong.status_code == 422 and "1. T-2" in words(wrong.text)  # the last list stays
    assert not list(folder.glob("*.csv"))


def test_a_line_of_the_list_begins_a_complaint(page: TestClient):
    upload(page, STACK)
    link = re.search(r'href="(/\?[^"]*seat[^"]*)"', page.get("/board").text)
    assert link
    text = page.get(link[1].replace("&amp;", "&")).text
    assert "hops in the seat 58-64</textarea>" in text and 'value="T-1"' in text


def test_the_shops_own_open_cases_make_a_list(page: TestClient):
    reply = page.post("/board", data={"do": "cases"})
    text = words(reply.text)
    assert "T-90" in text and "T-91" not in text


def test_a_drill_is_played_to_its_debrief_and_counts_for_the_class(page: TestClient, folder: Path):
    assert "Nobody has finished" in page.get("/drill/class").text
    text = page.get("/drill").text
    number = re.search(r'name="number" value="(\w+)"', text)
    assert number and "t60-bead-line" not in text
    address = page.post("/drill", data={"number": number[1], "apprentice": "Lee"}).url.path
    moves = ({"ask": "speed"}, {"check": "wheel-nut-check@all"})
    for n, move in enumerate(moves):
        reply = page.post(address, data=move | {"count": str(n)})
        assert reply.status_code == 200
    assert "minutes" not in reply.text.lower() or "so far" in reply.text
    stale = page.post(address, data={"ask": "onset", "count": "0"})
    assert stale.status_code == 422 and "went on meanwhile" in stale.text
    bad = page.post(address, data={"cause": "imbalance", "sure": "400", "count": "2"})
    assert bad.status_code == 422
    # played on after the tablet went dark: the moves are in a file
    assert "wheel nut check all" in words(page.get(address).text)


def test_names_that_are_no_file_names_are_refused(page: TestClient, folder: Path):
    number = re.search(r'name="number" value="(\w+)"', page.get("/drill").text)
    assert number
    for name in ("../x", "a b", "x" * 60):
        reply = page.post("/drill", data={"number": number[1], "apprentice": name})
        assert reply.status_code == 422
    assert page.get("/drill/..%2f..%2fetc").status_code in (404, 422)
    assert page.get("/drill/000000000000").status_code == 422
