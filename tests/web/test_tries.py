"""Wrong phrases are counted for all workers together, and nothing that was said is kept."""

from __future__ import annotations

import threading
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from advisor.web import entrance, tries
from advisor.web.app import make_app
from advisor.web.index import NAME, Index
from advisor.web.settings import Settings
from advisor.web.tries import TRIES, WINDOW_S, Tries

PHRASE = "four blue lug nuts"


@pytest.fixture
def clock(monkeypatch):
    """The time of day, set by the test."""
    now = [1_900_000_000.0]
    monkeypatch.setattr(tries.time, "time", lambda: now[0])
    return now


def test_workers_share_the_count(folder: Path, tmp_path: Path, monkeypatch):
    monkeypatch.setattr(entrance.time, "sleep", lambda s: None)
    phrase = tmp_path / "phrase"
    phrase.write_text(PHRASE)
    settings = Settings(cases=str(folder), host="0.0.0.0", phrase_file=str(phrase))
    # two applications share no more than two worker processes do: folder and settings
    workers = [TestClient(make_app(settings), base_url="http://192.0.2.7") for _ in range(2)]
    said = [workers[n % 2].post("/enter", data={"phrase": f"guess {n}"}) for n in range(8)]
    assert [r.status_code for r in said] == [403] * TRIES + [429] * (8 - TRIES)
    for worker in workers:
        assert worker.post("/enter", data={"phrase": PHRASE}).status_code == 429
        bearer = {"authorization": f"Bearer {PHRASE}"}
        reply = worker.get("/api/cases", headers=bearer)
        assert reply.status_code == 429 and int(reply.headers["retry-after"]) > 0
    held = (folder / NAME).read_bytes()
    assert b"guess" not in held and PHRASE.encode() not in held
    assert b"testclient" not in held  # nor the address as it is


def test_many_at_once_never_get_more_tries(tmp_path: Path):
    several = [Tries(str(tmp_path), b"secret") for _ in range(4)]
    for n in range(6):
        waits: list[int] = []

        def guess(own: Tries, address: str = f"192.0.2.{n}", into: list[int] = waits) -> None:
            into += [own.wrong(address) for _ in range(4)]

        threads = [threading.Thread(target=guess, args=(own,)) for own in several]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        assert len(waits) == 16 and waits.count(0) == TRIES


def test_an_address_waits_out_its_minute_and_no_other_does(tmp_path: Path, clock):
    counted = Tries(str(tmp_path), b"secret")
    for _ in range(TRIES):
        assert counted.wait("192.0.2.1") == 0
        assert counted.wrong("192.0.2.1") == 0
        clock[0] += 1
    # arithmetic: the first of the five is five seconds old
    assert counted.wait("192.0.2.1") == WINDOW_S - TRIES + 1
    assert counted.wait("192.0.2.2") == 0
    clock[0] += WINDOW_S - TRIES
    assert counted.wait("192.0.2.1") == 0


def test_a_clock_that_was_set_back_locks_nobody_out(tmp_path: Path, clock):
    counted = Tries(str(tmp_path), b"secret")
    for _ in range(TRIES):
        counted.wrong("192.0.2.1")
    clock[0] -= 86_400
    assert counted.wait("192.0.2.1") == 0


def test_counts_do_not_grow_without_end(tmp_path: Path, clock, monkeypatch):
    monkeypatch.setattr(tries, "MOST_HELD", 20)
    counted = Tries(str(tmp_path), b"secret")
    for n in range(50):
        counted.wrong(f"192.0.2.{n}")
    held = counted._ask(lambda db: db.execute("select count(*) from wrong").fetchone()[0])
    assert held == 20
    clock[0] += WINDOW_S + 1
    counted.wrong("192.0.2.1")
    assert counted._ask(lambda db: db.execute("select count(*) from wrong").fetchone()[0]) == 1


@pytest.mark.parametrize("trouble", ["deleted", "broken", "a folder", "no folder"])
def test_without_the_shared_table_a_process_counts_for_itself(tmp_path: Path, trouble: str):
    counted = Tries(str(tmp_path / "cases"), b"secret")
    if trouble != "no folder":
        (tmp_path / "cases").mkdir()
    file = tmp_path / "cases" / NAME
    if trouble == "deleted":
        counted.wrong("192.0.2.1")
        file.unlink()
    elif trouble == "broken":
        file.write_bytes(b"no database" * 500)
    elif trouble == "a folder":
        file.mkdir()
    assert [counted.wrong("192.0.2.1") > 0 for _ in range(7)] == [False] * TRIES + [True] * 2
    assert counted.wait("192.0.2.1") > 0


def test_the_index_and_the_counts_share_a_file_without_harm(folder: Path):
    counted = Tries(str(folder), b"secret")
    index = Index(folder.resolve())
    for _ in range(TRIES):
        counted.wrong("192.0.2.1")
        assert [e.id for e in index.entries()] == ["t91-bent", "t90-hop"]
    assert counted.wait("192.0.2.1") > 0
    assert Tries(str(folder), b"secret").wait("192.0.2.1") > 0
    assert sorted(e.id for e in Index(folder.resolve()).entries()) == ["t90-hop", "t91-bent"]
