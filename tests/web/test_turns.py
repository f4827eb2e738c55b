"""One request at a time, and others while the disk works."""

import asyncio
import functools
import os
import threading
import time

from advisor import files
from advisor.web.folder import CaseFile, Folder
from advisor.web.turns import Turns

LONG_S = 20.0


def test_only_one_works_at_a_time():
    turns, at_work, most = Turns(), [], []

    def work() -> None:
        at_work.append(1)
        time.sleep(0.01)
        most.append(len(at_work))
        at_work.pop()

    async def all_at_once() -> None:
        await asyncio.gather(*(turns.take(work) for _ in range(8)))

    asyncio.run(all_at_once())
    assert most == [1] * 8


def test_the_next_begins_while_one_waits_for_the_disk_and_then_they_take_turns_again():
    turns, done, steps = Turns(), threading.Event(), []

    def saves() -> None:
        steps.append("first reads")
        with turns.aside():
            assert done.wait(LONG_S)
        steps.append("first goes on")

    def reads() -> None:
        steps.append("second reads")
        done.set()
        time.sleep(0.05)  # long enough to be overtaken, were it not its turn
        steps.append("second ends")

    async def both() -> None:
        first = asyncio.ensure_future(turns.take(saves))
        await asyncio.sleep(0.05)
        await asyncio.gather(first, turns.take(reads))

    asyncio.run(both())
    assert steps == ["first reads", "second reads", "second ends", "first goes on"]


def test_work_that_fails_gives_its_turn_back():
    turns = Turns()

    def fails() -> None:
        with turns.aside():
            raise OSError("disk full")

    async def one_after_the_other() -> object:
        try:
            await turns.take(fails)
        except OSError as error:
            said = str(error)
        return await turns.take(lambda: said)

    assert asyncio.run(one_after_the_other()) == "disk full"


def test_work_without_a_turn_takes_nobody_elses():
    turns, held = Turns(), threading.Event()

    def holds() -> bool:
        held.set()
        time.sleep(0.1)
        return True

    async def beside_it() -> bool:
        task = asyncio.ensure_future(turns.take(holds))
        await asyncio.to_thread(held.wait, LONG_S)
        with turns.aside():  # as work that waits outside the turns does
            return await task

    assert asyncio.run(beside_it())


def test_answers_to_one_case_never_wait_for_each_other_for_ever(tmp_path, monkeypatch):
    turns, sync = Turns(), os.fsync
    folder = Folder(tmp_path, turns.last)
    folder.create("one", "case: one\n")

    def slowly(handle: int) -> None:
        time.sleep(0.01)
        sync(handle)

    def answer(n: int) -> CaseFile:
        return folder.change("one", lambda file: f"{file.text}# {n}\n")

    async def all_at_once() -> None:
        answers = [turns.take(functools.partial(answer, n)) for n in range(12)]
        await asyncio.wait_for(asyncio.gather(*answers), LONG_S)

    monkeypatch.setattr(files.os, "fsync", slowly)
    asyncio.run(all_at_once())
    assert sorted(folder.read("one").text.splitlines()[1:]) == sorted(f"# {n}" for n in range(12))


def test_what_is_saved_last_is_saved_before_the_reply_and_without_the_floor():
    turns, steps, begun = Turns(), [], threading.Event()

    def save() -> None:
        assert begun.wait(LONG_S)  # the next one has the floor meanwhile
        steps.append("saved")

    def answers() -> str:
        turns.last(save)
        steps.append("answered")
        return "reply"

    async def both() -> str:
        first = asyncio.ensure_future(turns.take(answers))
        await turns.take(begun.set)
        reply = await first
        steps.append(reply)
        return reply

    asyncio.run(both())
    assert steps == ["answered", "saved", "reply"]


def test_work_whose_save_fails_is_done_once_more_and_then_knows_it():
    turns, tries = Turns(), []

    def save() -> None:
        tries.append("save")
        raise OSError("disk full")

    def answers() -> str:
        try:
            turns.last(save)
        except OSError as error:
            return f"not saved: {error}"
        return "saved"

    assert asyncio.run(turns.take(answers)) == "not saved: disk full"
    assert tries == ["save", "save"]


def test_what_must_be_known_to_be_saved_is_saved_at_once():
    turns, steps = Turns(), []

    def records() -> None:
        turns.last(lambda: steps.append("saved"), at_once=True)
        steps.append("goes on")

    asyncio.run(turns.take(records))
    assert steps == ["saved", "goes on"]


def test_outside_of_a_turn_it_is_saved_at_once():
    steps: list[str] = []
    Turns().last(lambda: steps.append("saved"))
    assert steps == ["saved"]
