"""Killed at any moment, the page loses no answer it has confirmed and leaves no broken file."""

from __future__ import annotations

import errno
import random
import socket
import threading
import time
import urllib.error
import urllib.parse
import urllib.request
from collections.abc import Callable
from pathlib import Path

from advisor import load_case, load_rules
from tests.web.served import Served

ASKED = ("noise", "condition", "felt_at", "trigger", "changes")


def answer(address: str, symptom: str) -> bool:
    """One answer; whether the page confirmed it."""
    data = urllib.parse.urlencode({"symptom": symptom, "state": "no", "was": ""}).encode()
    request = urllib.request.Request(address, data, {"X-Part": "1"})
    try:
        with urllib.request.urlopen(request, timeout=20) as reply:
            return bool(reply.status == 200)
    except (OSError, urllib.error.URLError):
        return False


def _until(holds: Callable[[], bool]) -> None:
    """Wait for something, at most 20 s."""
    end = time.monotonic() + 20
    while not holds() and time.monotonic() < end:
        time.sleep(0.002)


def test_killed_at_any_moment_nothing_confirmed_is_lost(folder: Path):
    pack = load_rules()
    wanted = [f"{key}.{value}" for key in ASKED for value in pack.keys[key].values]
    random.Random(5).shuffle(wanted)
    confirmed: list[str] = []
    for round_ in range(2):
        share = wanted[round_::2]
        with Served(folder, workers=2) as page:
            address = f"{page.address}/cases/t90-hop/answers"

            def send(symptom: str, address: str = address) -> None:
                if answer(address, symptom):
                    confirmed.append(symptom)

            threads = [threading.Thread(target=send, args=(s,)) for s in share]
            for thread in threads:
                thread.start()
            _until(lambda least=3 * round_: len(confirmed) > least)
            page.kill()
            for thread in threads:
                thread.join()
        answered = {a.symptom for a in load_case(folder / "t90-hop.yaml", pack).answers}
        assert set(confirmed) <= answered
    assert len(confirmed) > 3
    assert load_case(folder / "t91-bent.yaml", pack).confirmed is not None


def test_no_worker_outlives_what_started_it(folder: Path):
    """Killed alone, the first process leaves nobody who would go on holding the port."""
    with Served(folder, workers=2) as page:
        page.kill_first()

        def gone() -> bool:
            with socket.socket() as s:
                return s.connect_ex(("127.0.0.1", page.port)) == errno.ECONNREFUSED

        _until(gone)
        assert gone()
