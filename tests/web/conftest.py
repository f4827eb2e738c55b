"""The page over a folder of its own for each test; the rule pack is loaded once."""

from __future__ import annotations

import functools
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

pytest.importorskip("fastapi", reason="the page needs: pip install -e '.[page]'")

from starlette.testclient import TestClient

import advisor.web.shop
from advisor import load_rules
from advisor.web import board_work
from advisor.web.app import make_app
from advisor.web.settings import Settings

OPEN = """\
# Marrow Ridge Transport and its units are invented.
case: t90-hop
title: Hop at sixty
unit: T-90
reported: 2031-04-12
vehicle: {type: linehaul_tractor, tire: 295/75R22.5, axle_ratio: 3.36}
write_up: Hops in the seat 58 to 64 loaded or empty. Driver Pat 555-0142.
"""
CLOSED = """\
case: t91-bent
title: Wobble after the curb
unit: T-91
vehicle: {type: coach, tire: 315/80R22.5}
symptoms: {sensation: [wobble]}
confirmed:
  causes: [{id: bent_wheel, place: steer_right}]
  by: dial at the rim side
"""


@pytest.fixture(autouse=True, scope="session")
def _one_pack():
    kept = functools.cache(load_rules)
    patch = pytest.MonkeyPatch()
    patch.setattr(advisor.web.shop, "load_rules", kept)
    patch.setattr(board_work, "load_rules", kept)
    yield
    patch.undo()


@pytest.fixture
def at_once(monkeypatch) -> None:
    """Lists are worked out in this process; what comes of their own one is tested by itself and in
    the browser."""

    def here(work, *given, longest_s):  # type: ignore[no-untyped-def]
        return work(*given)

    monkeypatch.setattr(board_work, "in_own_process", here)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """An open and a closed case."""
    home = tmp_path / "cases"
    home.mkdir()
    (home / "t90-hop.yaml").write_text(OPEN)
    (home / "t91-bent.yaml").write_text(CLOSED)
    return home


@pytest.fixture
def page(folder: Path) -> Iterator[TestClient]:
    """A browser without JavaScript, on the loopback; one event loop for all it asks."""
    with TestClient(make_app(Settings(cases=str(folder))), base_url="http://localhost") as made:
        yield made


@pytest.fixture
def file(folder: Path) -> Path:
    """The open case."""
    return folder / "t90-hop.yaml"


def words(html: str) -> str:
    """What a reader sees: no tags, one blank between words."""
    return " ".join(re.sub(r"<[^>]+>", " ", html).split())


def fields(html: str, address: str) -> dict[str, str]:
    """Hidden fields of the first form that goes to an address."""
    form = re.search(rf'<form[^>]*action="{re.escape(address)}".*?</form>', html, re.S)
    assert form, f"no form goes to {address}"
    pairs = re.findall(r'type="hidden" name="([^"]+)" value="([^"]*)"', form[0])
    return dict(pairs)
