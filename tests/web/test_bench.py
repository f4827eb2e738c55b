"""The walk on the tablet: the same steps, and the same file, as `advisor bench`."""

from __future__ import annotations

from pathlib import Path

from starlette.testclient import TestClient

from advisor import load_case, load_rules
from advisor.bench.session import BenchSession
from tests.web.conftest import fields, words

BENCH = "/cases/t90-hop/bench"


def step(page: TestClient, shown: str = "", **said: object):
    """Answer the step that is shown, on the page at hand or asked for anew."""
    seen = fields(shown or page.get(BENCH).text, BENCH)
    return page.post(BENCH, data=seen | said)


def walk_to_inspection(page: TestClient, text: str = "") -> str:
    """Through the safety checks and questions, to the first inspection; its text."""
    text = text or page.get(BENCH).text
    for _ in range(30):
        if "All of that is in place" in text:
            text = step(page, text, word="ready").text
        elif "safety check" in text:
            text = step(page, text, word="clear").text
        elif "Not known" in text:
            text = step(page, text, word="skip", why="cannot").text
        else:
            return text
    raise AssertionError("no inspection came")


def test_the_page_and_the_terminal_leave_the_same_file(page: TestClient, file: Path):
    import datetime

    today = datetime.date.today().isoformat()
    other = BenchSession(file.read_text(), load_rules(), str(file), date=today)
    for word in ("ready", "clear", "back"):
        step(page, word=word)
        other.say(word)
        assert file.read_text() == other.text


def test_cautions_come_before_the_hands(page: TestClient):
    text = words(page.get(BENCH).text)
    assert "Caution:" in text and "All of that is in place" in text and "All clear" not in text
    reply = step(page, word="clear")
    assert reply.status_code == 422 and "first the cautions" in words(reply.text)
    assert "All clear" in words(step(page, word="ready").text)


def test_found_needs_a_place(page: TestClient, file: Path):
    step(page, word="ready")
    reply = step(page, word="found")
    assert reply.status_code == 422 and "found where?" in words(reply.text)
    step(page, word="found", where="steer_left")
    done = load_case(file, load_rules()).inspections
    assert ("found", "steer_left") in {(d.outcome, str(d.place)) for d in done}


def test_numbers_with_their_units(page: TestClient, file: Path):
    import re

    text = ""
    for _ in range(25):
        text = walk_to_inspection(page, text)
        names = re.findall(r'name="(number [^"]+ tir_in)"', text)
        if names:
            break
        text = step(page, text, word="skip", why="no_tool").text
    assert len(names) == 2, "no runout step came"
    reply = step(page, word="measured", **{names[0]: "2,5 mm", names[1]: "0.010"})
    assert reply.status_code == 200
    values = [d.values for d in load_case(file, load_rules()).inspections if d.values]
    # 2.5 mm is 0.0984 in: 1 in is 25.4 mm by definition
    assert [round(v["tir_in"], 4) for v in values] == [0.0984, 0.01]
    wrong = step(page, word="measured", **{names[0]: "three"})
    assert wrong.status_code == 422


def test_why_and_who(page: TestClient, file: Path):
    assert "safety check comes before everything" in words(page.get(f"{BENCH}/why").text)
    page.post("/cases/t90-hop/who", data={"by": "Añez, bay 3"})
    step(page, word="ready")
    step(page, word="clear")
    assert {d.by for d in load_case(file, load_rules()).inspections} == {"Añez, bay 3"}


def test_a_confirmed_cause_brings_its_remedy_and_the_way_to_close(page: TestClient, file: Path):
    text = file.read_text() + (
        "inspections:\n  - {id: wheel-nut-check, place: all, result: clear}\n"
        "  - {id: tire-condition, place: all, result: clear}\n"
        "  - {id: hub-heat, place: all, result: clear}\n"
        "  - {id: flange-and-pilot-check, place: steer_left, result: found}\n"
    )
    pack = load_rules()
    known = [line for line in text.splitlines(keepends=True) if "id: " in line]
    wanted = {i for i in pack.inspections if any(f"id: {i}," in line for line in known)}
    kept = [ln for ln in known if any(f"id: {i}," in ln for i in wanted)]
    head = file.read_text() + "inspections:\n"
    file.write_text(head + "".join(kept))
    assert page.get(BENCH).status_code == 200
    for id_ in pack.causes["loose_fastening"].confirmed_by:
        entry = f"  - {{id: {id_}, place: drive_left, result: found}}\n"
        file.write_text(head + entry)
        shown = words(page.get(BENCH).text)
        if "Confirmed" in shown:
            assert "Verify:" in shown and "Close the case with this" in shown
            return
    # the case leads elsewhere first: then a stop finding stands on top
    assert "Stop: do not drive" in shown
