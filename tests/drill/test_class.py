"""Worksheets, keys, progress files and the trainer's summary; the command line."""

from __future__ import annotations

import json

import pytest
from typer.testing import CliRunner

from advisor.cli import drill as command
from advisor.cli.main import app
from advisor.drill.choose import default_cases_folder, worked_cases
from advisor.drill.progress import Done, add, class_summary, confusion, read
from advisor.drill.sheets import answer_key, worksheet
from advisor.errors import AdvisorError, InputProblems
from advisor.report.page import render_page


@pytest.fixture(scope="module")
def cases(pack):
    return worked_cases(default_cases_folder(), pack)


def done(right, named, confidence=0.8, **more) -> Done:
    was = named in right
    row = {
        "case": "c", "pack": "1.0.0", "seed": 0, "right_causes": right, "named": named,
        "confidence": confidence, "right": was, "passed": was, "brier": 0.0, "minutes": 60.0,
        "planner_minutes": 40.0, "wheels_for_nothing": 0,
    }  # fmt: skip
    return Done.model_validate(row | more)


def test_no_worksheet_gives_its_answer_away(cases, pack):
    for case in cases:
        text = render_page(worksheet(case, pack), "html")
        assert case.id not in text
        for secret in (case.title, case.teaches, case.fixed_by, case.confirmed.by):
            assert not secret or secret not in text
        for cause in case.confirmed.causes:
            name = pack.causes[cause.id].name
            assert name not in text.replace(case.write_up, "") and cause.id not in text


def test_worksheet_and_key_share_their_number(cases, pack):
    case = next(c for c in cases if c.id.startswith("k17"))
    sheet, key = worksheet(case, pack), answer_key(case, pack, ["tread-runout"], 0)
    number = sheet.data["sheet"]
    assert number == key.data["sheet"] and number in sheet.title and number in key.title
    page = render_page(key, "html")
    assert "bent wheel" in page and "<svg" in page and case.teaches.split(".")[0] in page


def test_progress_is_kept_line_by_line(tmp_path):
    first = done(["imbalance"], "imbalance")
    file = add(tmp_path, "nia", first)
    before = file.read_text()
    add(tmp_path, "nia", done(["imbalance"], "bent_wheel"))
    assert file.read_text().startswith(before)
    assert read(file)[0] == first and len(read(file)) == 2


def test_a_broken_progress_file_is_reported_and_not_written_over(tmp_path):
    file = add(tmp_path, "nia", done(["imbalance"], "imbalance"))
    broken = file.read_text() + '{"case": \n'
    file.write_text(broken)
    with pytest.raises(InputProblems, match=r"nia.jsonl:2"):
        add(tmp_path, "nia", done(["imbalance"], "imbalance"))
    assert file.read_text() == broken


@pytest.mark.parametrize("name", ["", "../x", "a b", "x" * 41])
def test_a_name_must_be_a_file_name(tmp_path, name):
    with pytest.raises(AdvisorError):
        add(tmp_path, name, done(["imbalance"], "imbalance"))
    assert not list(tmp_path.iterdir())


def test_the_confusion_table_counts(tmp_path, pack):
    rows = [
        ("nia", done(["imbalance"], "imbalance")),
        ("nia", done(["imbalance"], "out_of_round_tire")),
        ("omar", done(["imbalance"], "out_of_round_tire")),
        ("omar", done(["bent_wheel", "packed_debris"], "packed_debris")),
        ("omar", done(["bent_wheel"], "imbalance", passed=False, safety_skipped=["hub heat"])),
    ]
    for name, row in rows:
        add(tmp_path, name, row)
    counts = confusion([row for _, row in rows])
    assert counts == {
        ("imbalance", "imbalance"): 1,
        ("imbalance", "out_of_round_tire"): 2,
        ("packed_debris", "packed_debris"): 1,
        ("bent_wheel", "imbalance"): 1,
    }
    page = class_summary(tmp_path, pack)
    assert page.data["drills"] == 5 and sum(c["count"] for c in page.data["confusion"]) == 5
    nia, omar = page.sections[0].table.rows
    assert nia[:5] == ("nia", "2", "1", "1", "0") and omar[:5] == ("omar", "3", "1", "1", "1")
    # Brier 1950, two classes: (0.08 + 1.28) / 2 for one right and one wrong at 80 percent
    assert nia[5] == f"{(2 * 0.2**2 + 2 * 0.8**2) / 2:.2f}" and nia[6] == "1.5 times"


def test_an_empty_class_is_said_clearly(tmp_path, pack):
    with pytest.raises(AdvisorError, match="no progress files"):
        class_summary(tmp_path, pack)


@pytest.fixture
def run(monkeypatch, pack):
    monkeypatch.setattr(command, "load_pack", lambda *_: pack)

    def go(*args, said=None):
        result = CliRunner().invoke(app, list(map(str, args)), input=said)
        if isinstance(result.exception, AdvisorError):
            return 2, result.output + str(result.exception)
        assert result.exception is None or isinstance(result.exception, SystemExit)
        return result.exit_code, result.output

    return go


PLAY = """\
topics
ask sensation
ask onset
do wheel-nut-check all
do tread-full-turn all
do hub-heat all
do lateral-runout steer
known
name bent_wheel steer_right 80
"""


def test_a_drill_from_a_file_with_debrief_and_progress(run, tmp_path):
    answers = tmp_path / "play.txt"
    answers.write_text(PLAY)
    page = tmp_path / "debrief.html"
    args = ["drill", "k17", "--answers", answers, "--apprentice", "nia", "--class", tmp_path]
    code, said = run(*args, "-o", page)
    assert code == 0
    assert "Passed." in said and "Brier" in said and "k17-curb" in said
    before = said.split("Debrief:")[0]
    assert "bent wheel" not in before and "k17" not in before
    assert max(map(len, said.replace(str(tmp_path), "").splitlines())) <= 80
    html = page.read_text()
    assert "<svg" in html and "How the right cause stood" in html
    assert len(read(tmp_path / "nia.jsonl")) == 1
    code, said = run("drill", "--class", tmp_path, "--format", "json")
    assert json.loads(said)["apprentices"] == {"nia": 1}


def test_a_drill_that_is_broken_off_has_no_score(run, tmp_path):
    code, said = run("drill", "k17", said="ask sensation\nstop\n")
    assert code == 2 and "no score" in said
    code, said = run("drill", "k17", said="")
    assert code == 2 and "no score" in said


def test_worksheet_and_key_by_command(run, tmp_path):
    code, _ = run("drill", "k17", "--worksheet", "-o", tmp_path / "sheet.html")
    assert code == 0 and "Worksheet" in (tmp_path / "sheet.html").read_text()
    code, _ = run("drill", "k17", "--key", "-o", tmp_path / "key.html")
    assert code == 0 and "Answer key" in (tmp_path / "key.html").read_text()


@pytest.mark.parametrize(
    ("args", "complaint"),
    [
        (["nothing-like-it"], "not a worked case"),
        (["--vehicle", "coch"], "coach"),
        (["--difficulty", "brutal"], "easy, medium, hard"),
        (["k17", "--apprentice", "nia"], "--class"),
        (["k17", "--answers", "no-such-file"], "cannot read"),
    ],
)
def test_bad_input_is_one_clear_message(run, args, complaint):
    code, said = run("drill", *args)
    assert code == 2 and complaint in said
