"""Saving: whole, never over somebody else's change, and never lost to a kill."""

from __future__ import annotations

import os
import random
import signal
import time

import pytest

from advisor.bench.session import BenchSession
from advisor.bench.storage import CaseStore, ChangedMeanwhile
from advisor.yaml_marks import parse
from tests.bench.conftest import answer_for, to_the_end

KILLS = 20
pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork")


def test_a_change_by_somebody_else_is_noticed_and_kept(tmp_path, open_case, pack):
    file = tmp_path / "case.yaml"
    file.write_text(open_case)
    first, second = CaseStore(file), CaseStore(file)
    one, two = BenchSession(first.text, pack), BenchSession(second.text, pack)
    for line in ("ready", "clear"):
        one.say(line)
    first.save(one.text)
    two.say("ready")
    with pytest.raises(ChangedMeanwhile, match="somebody else"):
        second.save(two.text)
    assert file.read_text() == one.text
    second.reload()
    again = BenchSession(second.text, pack)
    again.say("ready")
    second.save(again.text)
    assert file.read_text() == again.text
    assert again.record.log[:-1] == one.record.log


def test_a_file_taken_away_meanwhile_is_a_clear_message(tmp_path, open_case):
    from advisor.errors import AdvisorError

    file = tmp_path / "case.yaml"
    file.write_text(open_case)
    store = CaseStore(file)
    file.unlink()
    with pytest.raises(AdvisorError, match="cannot read"):
        store.save(open_case + "unit: X\n")


def forked(work) -> tuple[int, int]:
    """Run work(tell) in a process of its own; (its id, where what it tells can be read)."""
    reads, writes = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reads)
        try:
            work(lambda: os.write(writes, b"."))
        finally:
            os._exit(0)
    os.close(writes)
    return child, reads


def killed_after(seconds: float, work) -> int:
    """Kill -9 after a while; how often work had told that an answer was saved."""
    child, reads = forked(work)
    time.sleep(seconds)
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    told = b""
    while part := os.read(reads, 65536):
        told += part
    os.close(reads)
    return len(told)


def test_killed_at_random_moments_no_answered_step_is_lost(tmp_path, open_case, pack):
    whole = BenchSession(open_case, pack)
    lines = to_the_end(whole)
    texts = [open_case]
    session = BenchSession(open_case, pack)
    for line in lines:
        session.say(line)
        texts.append(session.text)
    draw = random.Random(7)
    for n in range(KILLS):
        file = tmp_path / f"case{n}.yaml"
        start = draw.randrange(len(lines))
        file.write_text(texts[start])

        def work(tell, file=file):
            walk_through(file, pack, tell)

        saved = start + killed_after(draw.uniform(0, 0.3), work)
        left = file.read_text()
        assert left in (texts[saved], texts[min(saved + 1, len(texts) - 1)])
        if n < 2:  # the text is the whole state: what reads goes on to the same end
            resumed = BenchSession(left, pack)
            to_the_end(resumed)
            assert resumed.text == whole.text


def walk_through(file, pack, tell) -> None:
    """A bench that saves after every answer and then tells."""
    store = CaseStore(file)
    session = BenchSession(store.text, pack)
    while session.step.kind not in ("settled", "specialist"):
        session.say(answer_for(session.step))
        store.save(session.text)
        tell()


def test_killed_in_the_middle_of_saving_the_file_is_old_or_new(tmp_path):
    file = tmp_path / "case.yaml"
    head = "case: a\nvehicle: {type: coach}\n"
    draw = random.Random(8)
    for _ in range(KILLS):
        file.write_text(f"{head}unit: '0'\n")

        def work(tell):
            store = CaseStore(file)
            for n in range(1, 100_000):
                store.save(f"{head}unit: '{n}'\nwrite_up: {'x' * 200_000}\n")
                tell()

        saved = killed_after(draw.uniform(0.005, 0.08), work)
        unit = int(parse(file.read_text(), "case.yaml").data["unit"])
        assert unit in (saved, saved + 1)
