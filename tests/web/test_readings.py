"""Numbers from the bay: the clock face, files of readings, recordings."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from starlette.testclient import TestClient

from advisor import load_case, load_rules
from tests.web.conftest import words

CLOCK = "/cases/t90-hop/clock"
# an off-center circle of 0.060 in to each side, high at 3 o'clock, on a dial that stands at 0.070
VALUES = [round(0.070 + 0.060 * np.cos(np.radians(30 * n - 90)), 4) for n in range(12)]
FORM = {"of": "tread", "place": "steer_left", "unit": "in", "counted_from": "valve"}
FORM |= {f"r{n}": str(v) for n, v in enumerate(VALUES)}


def test_the_plot_and_what_it_says_come_with_the_numbers(page: TestClient):
    part = page.post(f"{CLOCK}/part", data=FORM).text
    text = words(part)
    assert "12 of 12 read" in text
    assert "Total indicated runout 0.12" in text  # arithmetic: 2 x 0.060
    assert "3 o&#39;clock" in text
    assert "/pictures/runout.svg?" in part
    few = {k: v for k, v in FORM.items() if k not in ("r2", "r5")}
    assert "10 of 12 read" in page.post(f"{CLOCK}/part", data=few).text
    assert "third number" in page.post(f"{CLOCK}/part", data={"r0": "0.1"}).text


def test_the_picture_is_that_of_the_figure_code(page: TestClient):
    query = {k: v for k, v in FORM.items() if k != "place"}
    reply = page.get("/pictures/runout.svg", params=query)
    assert reply.headers["content-type"].startswith("image/svg+xml")
    assert "12 dial readings in in" in reply.text
    assert page.get("/pictures/runout.svg?r0=1").status_code == 422


def test_saved_readings_are_in_the_case_and_move_the_ranking(page: TestClient, file: Path):
    before = words(page.get("/cases/t90-hop").text)
    reply = page.post(CLOCK, data=FORM | {"do": "save"})
    assert reply.url.path == "/cases/t90-hop/readings"
    assert "What they changed" in words(reply.text)
    assert len(load_case(file, load_rules()).readings) == 1
    assert words(page.get("/cases/t90-hop").text) != before


def test_only_looking_saves_nothing(page: TestClient, file: Path):
    before = file.read_text()
    assert "Total indicated runout" in page.post(CLOCK, data=FORM | {"do": "look"}).text
    assert file.read_text() == before


def test_numbers_that_cannot_be_are_refused_and_kept_on_the_form(page: TestClient, file: Path):
    before = file.read_text()
    reply = page.post(CLOCK, data=FORM | {"do": "save", "r4": "12 apples"})
    assert reply.status_code == 422
    assert "12 apples" in reply.text and 'value="0.01"' in reply.text
    assert file.read_text() == before


def test_a_file_of_readings_becomes_part_of_the_case(page: TestClient, file: Path):
    rows = [f",,,,,{n or 12}:00,{v}" for n, v in enumerate(VALUES)]
    rows[0] = f"runout,rim,steer_left,in,valve,12:00,{VALUES[0]}"
    raw = "\n".join(["kind,of,place,unit,counted_from,position,reading", *rows])
    reply = page.post("/cases/t90-hop/readings", files={"file": ("rim.csv", raw.encode())})
    assert reply.status_code == 200, words(reply.text)
    assert len(load_case(file, load_rules()).readings) == 1
    bad = page.post("/cases/t90-hop/readings", files={"file": ("x.csv", b"a,b\n1,2\n")})
    assert bad.status_code == 422


def recording() -> bytes:
    """20 s at a steady 60 mph: 8.5 Hz in the vertical and some noise."""
    t = np.arange(0, 20, 0.005)
    rng = np.random.default_rng(3)
    z = 0.05 * np.sin(2 * np.pi * 8.54 * t) + 0.005 * rng.standard_normal(t.size)
    rows = "\n".join(f"{a:.3f},{b:.5f}" for a, b in zip(t, z, strict=True))
    return f"time_s,z_g\n{rows}\n".encode()


def test_a_recording_lies_beside_the_case_and_is_named_in_it(page: TestClient, file: Path):
    files = {"file": ("../../evil name.csv", recording())}
    reply = page.post("/cases/t90-hop/recordings", files=files, data={"speed": "60 mph"})
    assert reply.status_code == 200, words(reply.text)
    kept = file.parent / "recordings" / "t90-hop-1.csv"
    assert kept.read_bytes() == recording()
    assert "file: recordings/t90-hop-1.csv" in file.read_text()
    assert [f.name for f in file.parent.parent.iterdir()] == ["cases"]


def test_a_recording_that_does_not_read_leaves_nothing_behind(page: TestClient, file: Path):
    before = file.read_text()
    for named, raw in (("x.csv", b"hello"), ("x.exe", b"a,b"), ("x.wav", b"")):
        reply = page.post("/cases/t90-hop/recordings", files={"file": (named, raw)})
        assert reply.status_code == 422
    assert file.read_text() == before
    assert list((file.parent / "recordings").glob("*")) == []
