"""New complaint: words in, case file out, answers one by one; all as plain forms."""

from __future__ import annotations

from pathlib import Path

from starlette.testclient import TestClient

from advisor import load_case, load_rules, rank
from tests.web.conftest import fields, words

PART = {"x-part": "1"}
FORM = {
    "write_up": 'Shakes at 60.\nTight nuts? "no" #1: yes\n\t<b>left</b> side',
    "unit": "T-27",
    "type": "linehaul_tractor",
    "tire": "295/75R22.5",
    "axle_ratio": "3.36",
    "do": "start",
}


def test_a_complaint_becomes_a_case_file_the_command_line_reads(page: TestClient, folder: Path):
    reply = page.post("/", data=FORM)
    assert reply.status_code == 200
    made = folder / f"{reply.url.path.rsplit('/', 1)[1]}.yaml"
    case = load_case(made, load_rules())
    assert (case.unit, case.vehicle.tire, case.vehicle.axle_ratio) == ("T-27", "295/75R22.5", 3.36)
    said = [line.rstrip() for line in FORM["write_up"].splitlines()]
    assert case.write_up.splitlines() == said


def test_two_complaints_of_one_unit_on_one_day_are_two_files(page: TestClient, folder: Path):
    first, second = page.post("/", data=FORM).url.path, page.post("/", data=FORM).url.path
    assert second == f"{first}-2"
    assert len(list(folder.glob("*t-27*.yaml"))) == 2


def test_write_ups_are_shown_as_text_never_as_markup(page: TestClient):
    reply = page.post("/", data=FORM | {"write_up": "<script>alert(1)</script> shakes at 60"})
    assert "<script>alert" not in reply.text
    assert "&lt;script&gt;" in reply.text


def test_names_and_numbers_of_people_are_masked(page: TestClient):
    text = page.get("/cases/t90-hop").text
    assert "555-0142" not in text and "###-####" in text


def test_what_is_understood_is_marked_with_letters_and_words(page: TestClient):
    part = page.post("/read", data={"write_up": "Hops in the seat 58 to 64"}).text
    assert "<mark>Hops</mark><sup>a</sup>" in part
    assert "a sensation: hop" in words(part)
    whole = page.post("/", data=FORM | {"do": "read", "write_up": "Hops in the seat"}).text
    assert "<mark>Hops</mark>" in whole and "T-27" in whole


def test_all_that_is_wrong_comes_back_with_the_form_kept(page: TestClient, folder: Path):
    before = sorted(folder.iterdir())
    reply = page.post("/", data=FORM | {"tire": "banana", "type": "zeppelin"})
    assert reply.status_code == 422
    assert "banana" in reply.text and "zeppelin" in reply.text
    assert "left&lt;/b&gt; side" in reply.text
    assert [f for f in sorted(folder.iterdir()) if f.suffix == ".yaml"] == [
        f for f in before if f.suffix == ".yaml"
    ]


def test_the_ranking_on_the_page_is_that_of_the_library(page: TestClient, file: Path):
    pack = load_rules()
    text = words(page.get("/cases/t90-hop").text)
    at = [text.find(c.name[1:]) for c in rank(load_case(file, pack), pack).causes[:5]]
    assert -1 not in at and at == sorted(at)


def test_an_answer_is_in_the_file_and_the_comment_is_still_there(page: TestClient, file: Path):
    reply = page.post(
        "/cases/t90-hop/answers", data={"symptom": "sensation.shake", "state": "yes", "was": ""}
    )
    assert reply.status_code == 200 and "Take back" in reply.text
    assert 'sensation.shake: "yes"' in file.read_text()
    assert file.read_text().startswith("# Marrow Ridge Transport")


def test_an_answer_taken_back_leaves_the_file_as_it_was(page: TestClient, file: Path):
    before = file.read_text()
    page.post("/cases/t90-hop/answers", data={"symptom": "noise.clunk", "state": "no", "was": ""})
    assert file.read_text() != before
    page.post("/cases/t90-hop/answers", data={"symptom": "noise.clunk", "state": "", "was": "no"})
    assert file.read_text() == before


def test_the_first_question_is_the_most_telling_and_not_known_passes_on(page: TestClient):
    address = "/cases/t90-hop/answers"
    first = fields(page.get("/cases/t90-hop").text, address)
    page.post(address, data=first | {"state": "skip"})
    assert fields(page.get("/cases/t90-hop").text, address)["symptom"] != first["symptom"]


def test_answers_that_contradict_are_refused_and_nothing_is_written(page: TestClient, file: Path):
    address = "/cases/t90-hop/answers"
    page.post(address, data={"symptom": "speed.any_speed", "state": "yes", "was": ""})
    before = file.read_text()
    reply = page.post(
        address, data={"symptom": "speed.grows_with_speed", "state": "yes", "was": ""}
    )
    assert reply.status_code == 422 and "cannot both be true" in words(reply.text)
    assert file.read_text() == before


def test_speeds_are_saved_changed_and_refused_when_they_make_no_sense(page: TestClient, file: Path):
    address = "/cases/t90-hop/speeds"
    page.post(address, data={"low_mph": "55", "high_mph": "63", "was": ""})
    page.post(address, data={"low_mph": "56", "high_mph": "63", "was": "55-63"})
    assert file.read_text().count("low_mph") == 1
    case = load_case(file, load_rules())
    assert case.speed is not None and (case.speed.low_mph, case.speed.high_mph) == (56, 63)
    reply = page.post(address, data={"low_mph": "90", "high_mph": "60", "was": "56-63"})
    assert reply.status_code == 422 and "exchange them" in reply.text
    page.post(address, data={"low_mph": "", "high_mph": "", "was": "56-63"})
    assert load_case(file, load_rules()).speed is None


def test_what_must_not_roll_stands_before_everything(page: TestClient, file: Path):
    danger = {"symptom": "danger.loose_or_missing_nuts", "state": "yes", "was": ""}
    reply = page.post("/cases/t90-hop/answers", data=danger | {"where": "steer_left"})
    assert "steer_left" in file.read_text()
    text = words(reply.text)
    assert text.index("Stop: do not drive this vehicle") < text.index("Ask the driver")
    for address in ("bench", "readings", "close", "sheet"):
        assert "Stop: do not drive" in words(page.get(f"/cases/t90-hop/{address}").text)


def test_a_part_is_sent_to_the_script_and_a_whole_page_to_a_plain_browser(page: TestClient):
    data = {"symptom": "noise.clunk", "state": "no", "was": ""}
    part = page.post("/cases/t90-hop/answers", data=data, headers=PART).text
    assert "<html" not in part and "Saved: clunk" in words(part)
    assert "<html" in page.get("/cases/t90-hop").text


def test_everything_can_be_answered_from_one_list(page: TestClient):
    pack = load_rules()
    text = page.get("/cases/t90-hop/all").text
    asked = [f"{k.key}.{v}" for k in pack.keys.values() if k.key != "speed_range" for v in k.values]
    assert [s for s in asked if f'value="{s}"' not in text] == []


def test_the_diagram_is_a_picture_drawn_by_the_figure_code(page: TestClient):
    reply = page.get("/cases/t90-hop/orders.svg")
    assert reply.headers["content-type"].startswith("image/svg+xml")
    assert "58 to 64 mph, is shaded" in reply.text


def test_a_closed_case_takes_no_answer(page: TestClient):
    data = {"symptom": "noise.clunk", "state": "no", "was": ""}
    reply = page.post("/api/cases/t91-bent/answers", json=data)
    assert reply.status_code == 422 and "closed" in reply.text
