"""Long work apart: its result or its problem comes back, and no process is left behind."""

from __future__ import annotations

import multiprocessing
import threading
import time
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from advisor.errors import AdvisorError, InputProblems
from advisor.web import board_work
from advisor.web.own_process import Ended, TookTooLong, in_own_process
from tests.web import slow_work
from tests.web.conftest import words

ROW = {"file": ("may.csv", b"Unit,Complaint\nT-1,hops at 60\n")}


def test_results_come_back_whole():
    assert len(in_own_process(slow_work.much, 3_000_000, longest_s=60)) == 3_000_000


def test_what_the_user_did_wrong_keeps_its_place():
    with pytest.raises(InputProblems) as caught:
        in_own_process(slow_work.refuse, longest_s=60)
    (problem,) = caught.value.problems
    assert (problem.path, problem.line, problem.field) == ("may.csv", 3, "text")
    assert str(caught.value) == "may.csv:3:1: text: wrong; look"


def test_a_mistake_of_the_program_tells_where_it_happened():
    with pytest.raises(RuntimeError, match=r"(?s)break_down.*ZeroDivisionError: inner workings"):
        in_own_process(slow_work.break_down, longest_s=60)


def test_a_process_that_dies_is_said():
    with pytest.raises(Ended, match="its process was ended"):
        in_own_process(slow_work.die, longest_s=60)


def test_work_that_takes_too_long_is_ended():
    begun = time.monotonic()
    with pytest.raises(TookTooLong, match=r"longer than 0\.5 s"):
        in_own_process(slow_work.sleep_long, longest_s=0.5)
    assert time.monotonic() - begun < 30 < slow_work.LONG_S
    assert multiprocessing.active_children() == []


@pytest.mark.parametrize(
    ("work", "longest", "said"),
    [
        (slow_work.sleep_long, 0.5, "takes longer than 0.5 s"),
        (slow_work.die, 60, "was not finished"),
    ],
)
def test_a_list_that_is_not_finished_is_said_and_the_page_goes_on(
    page: TestClient, folder: Path, monkeypatch, work, longest, said
):
    kept = '{"units": [], "not_vibration": [], "patterns": [], "rejects": [], '
    kept += '"counts": {"rows": 7, "vibration": 0, "units": 0, "not_vibration": 7, "rejects": 0}, '
    kept += '"source": {"name": "earlier.csv", "read_as": []}}'
    (folder / ".board").mkdir()
    (folder / ".board" / "today.json").write_text(kept)
    with monkeypatch.context() as patch:
        patch.setattr(board_work, "_list_of", work)
        patch.setattr(board_work, "LONGEST_S", longest)
        reply = page.post("/board", data={"do": "file"}, files=ROW)
        told = page.post("/api/triage", json=[{"complaint": "hops"}])
    assert reply.status_code == 422 and said in words(reply.text)
    assert "earlier.csv" in reply.text  # the last list stays
    assert (folder / ".board" / "today.json").read_text() == kept
    assert [f.name for f in (folder / ".board").iterdir()] == ["today.json"]
    assert told.status_code == 422 and said in told.json()["problems"][0]["what"]
    if work is slow_work.sleep_long:
        assert "advisor triage" in words(reply.text)  # what to do instead
        assert page.get("/cases").status_code == 200
        assert page.post("/board", data={"do": "file"}, files=ROW).status_code == 200


def test_everybody_else_is_answered_while_a_list_is_worked_out(page: TestClient, monkeypatch):
    begun, go_on = threading.Event(), threading.Event()

    def wait(*_: object, longest_s: float) -> None:
        begun.set()
        go_on.wait(60)
        raise AdvisorError("enough")

    monkeypatch.setattr(board_work, "in_own_process", wait)
    codes: list[int] = []
    long = threading.Thread(
        target=lambda: codes.append(page.post("/board", data={"do": "cases"}).status_code)
    )
    short = threading.Thread(
        target=lambda: codes.extend(page.get(a).status_code for a in ("/cases", "/cases/t90-hop"))
    )
    long.start()
    try:
        assert begun.wait(30)
        short.start()
        short.join(30)
        assert codes == [200, 200]  # and the list is still at work
    finally:
        go_on.set()
        long.join(30)
    assert codes == [200, 200, 422]


def test_two_lists_at_once_are_refused_clearly_and_nothing_hangs(page: TestClient, monkeypatch):
    monkeypatch.setattr(board_work, "PATIENCE_S", 0.05)
    with board_work._ONE_AT_A_TIME:
        reply = page.post("/board", data={"do": "file"}, files=ROW)
        told = page.post("/api/triage", json=[{"complaint": "hops"}])
    assert reply.status_code == told.status_code == 503
    assert "another list is being worked out" in words(reply.text)
    assert "another list is being worked out" in told.json()["problems"][0]["what"]
