"""`advisor read` and `advisor triage` as a user runs them."""

from __future__ import annotations

import csv
import io
import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from typer.testing import CliRunner

from advisor.cli.main import app
from advisor.errors import AdvisorError

from ..triage.invented import stack_lines

DEMO = Path(__file__).parents[2] / "cases" / "write_ups" / "demo_stack.csv"


def run(*args, stdin=None):
    return CliRunner().invoke(app, [*map(str, args)], input=stdin)


def test_read_gives_the_contract_and_every_span_is_its_text():
    text = "HOPS IN SEAT 55 TO 65, had em balanced twice no change"
    shown = json.loads(run("read", text, "--format", "json").stdout)
    assert shown["is_vibration"] is True
    assert shown["symptoms"]["sensation"] == ["hop"]
    assert shown["symptoms"]["speed"]["low_mph"] == 55
    assert shown["work_done"] == [{"what": "balanced", "result": "no_change"}]
    for span in shown["spans"]:
        assert text[span["start"] : span["end"]] == span["text"]


def test_what_was_read_can_be_put_into_a_case(tmp_path):
    """`symptoms` of read has the shape of a case file."""
    text = "lf cupping, hops in seat 55 to 65 loaded"
    symptoms = json.loads(run("read", text, "--format", "json").stdout)["symptoms"]
    file = tmp_path / "case.yaml"
    case = {"case": "x", "vehicle": {"type": "coach"}, "symptoms": symptoms}
    file.write_text(json.dumps(case))
    assert run("rank", file).exit_code == 0


@pytest.mark.parametrize("kind", ["text", "markdown", "html"])
def test_read_in_every_form_hides_the_phone_number(kind):
    result = run("read", "shakes at 60 call 555-201-3344", "--format", kind)
    assert "3344" not in result.stdout
    assert "shake" in result.stdout.lower()
    shown = run("read", "shakes at 60 call 555-201-3344", "--show-personal", "--format", kind)
    assert "3344" in shown.stdout


def test_read_marks_the_words_in_html():
    shown = run("read", "hops at 60", "--format", "html").stdout
    assert "<mark>hops</mark>" in shown
    assert "<script" not in run("read", "<script>hops</script>", "--format", "html").stdout


def test_read_takes_a_file_and_standard_input(tmp_path):
    file = tmp_path / "said.txt"
    file.write_text("shimmy at 45")
    assert run("read", file).stdout == run("read", "-", stdin="shimmy at 45").stdout


def test_read_says_stop_and_exits_so():
    result = run("read", "lug nuts missing on rr")
    assert result.exit_code == 3
    assert "STOP" in result.stdout


def test_nothing_to_read_is_one_clear_message():
    result = run("read", "  ")
    assert isinstance(result.exception, AdvisorError)
    assert "there is no write-up" in str(result.exception)


def test_rank_reads_the_write_up_and_an_answer_wins(tmp_path):
    file = tmp_path / "case.yaml"
    file.write_text(
        "case: x\nvehicle: {type: coach}\nwrite_up: 'Hops 58 to 64, shakes when braking. call "
        "555-201-3344'\nsymptoms: {condition: {braking: 'no'}}\n"
    )
    shown = json.loads(run("rank", file, "--format", "json").stdout)
    assert {"sensation", "speed"} <= {mark["symptom"] for mark in shown["spans"]}
    assert [c["symptom"] for c in shown["conflicts"]] == ["condition.braking"]
    assert "not: under braking" in shown["answers"]
    assert "3344" not in shown["write_up"]
    for mark in shown["spans"]:
        assert len(mark["text"]) == mark["end"] - mark["start"]
    hop = [s for c in shown["causes"] for s in c["for"] if s["symptom"] == "sensation.hop"]
    assert {s["origin"] for s in hop} == {"read"}


def test_the_demo_stack_comes_out_whole_and_marked_as_demo():
    rows = list(csv.DictReader(io.StringIO(DEMO.read_text(encoding="utf-8"))))
    assert all(row["Demo"].startswith("demo") for row in rows)
    result = run("triage", DEMO, "--format", "json")
    board = json.loads(result.stdout)
    assert result.exit_code == 3
    counts = board["counts"]
    assert counts["rows"] == len(rows)
    assert counts["rows"] == counts["vibration"] + counts["not_vibration"] + counts["rejects"]
    assert [unit["level"] for unit in board["units"]][:2] == ["stop", "stop"]
    assert {pattern["kind"] for pattern in board["patterns"]} >= {"wear", "batch"}
    back = next(unit for unit in board["units"] if unit["unit"] == "T-120")
    assert len(back["lines"]) == 3
    assert "balanced" in back["again"]


@pytest.mark.parametrize("kind", ["text", "markdown", "html", "csv", "json"])
def test_every_form_names_every_urgent_unit_and_no_driver(kind):
    first = run("triage", DEMO, "--format", kind).stdout
    if kind == "html":
        assert first == run("triage", DEMO, "--format", kind).stdout
    for unit in ("T-130", "R-63", "X-207", "T-133"):
        assert unit in first
    assert "Ottilie" not in first


def test_csv_holds_no_formula_and_loses_nothing():
    evil = ['=HYPERLINK("x")', "+1 shakes at 60", "-2+3 hops", "@sum", " =1+1 shimmy", "\t=2"]
    table = io.StringIO()
    written = csv.writer(table, lineterminator="\n")
    written.writerow(("Unit", "Complaint"))
    written.writerows((e, f"hops at 60 {e}" if n % 2 else e) for n, e in enumerate(evil))
    shown = run("triage", "-", "--format", "csv", stdin=table.getvalue()).stdout
    rows = list(csv.reader(io.StringIO(shown)))
    assert len(rows) == 1 + len(evil)
    for row in rows[1:]:
        for cell in row:
            assert not cell.lstrip().startswith(("=", "@", "+"))
            assert not cell.startswith("-") or cell.lstrip("-").replace(".", "").isdigit()


def test_rejects_go_into_a_file_beside_the_output(tmp_path):
    file, out = tmp_path / "in.csv", tmp_path / "board.csv"
    file.write_text("Unit,Complaint\nT-1,shakes at 60\nT-2,\nT-3,a,b,c\n")
    result = run("triage", file, "-o", out)
    rejects = list(csv.DictReader(io.StringIO((tmp_path / "board-rejects.csv").read_text())))
    assert [(r["line"], bool(r["reason"]), r["raw"]) for r in rejects] == [
        ("3", True, "T-2,"),
        ("4", True, "T-3,a,b,c"),
    ]
    assert "2 of 3 rows set aside" in result.stderr


def test_a_bench_sheet_for_a_chosen_unit(tmp_path):
    out = tmp_path / "board.html"
    run("triage", DEMO, "-o", out, "--sheet", "t-120")
    sheet = (tmp_path / "board-T-120.html").read_text(encoding="utf-8")
    assert "<mark>" in sheet
    assert 'href="board-T-120.html"' in out.read_text(encoding="utf-8")
    file = tmp_path / "one.csv"
    file.write_text("Unit,Complaint\nT-1,hops at 60\n")
    wrong = run("triage", file, "-o", out, "--sheet", "T-999")
    assert "no unit of that name" in str(wrong.exception)


def test_the_board_asks_nothing_of_the_outside():
    shown = run("triage", "-", "--format", "html", stdin="Unit,Complaint\nT-1,hops at 60\n").stdout
    assert "Questions about T-1" in shown
    for outside in ("http:", "https:", "<script", "src="):
        assert outside not in shown


@pytest.mark.parametrize(
    ("args", "says"),
    [
        (["nothere.csv"], "cannot read it"),
        ([DEMO, "--vehicle", "coch"], 'did you mean "coach"'),
        ([DEMO, "--encoding", "utf-99"], "utf-8, cp1252 and utf-16"),
        ([DEMO, "--delimiter", "ab"], "one character"),
        ([DEMO, "--column", "text=Writeupp"], "there is no column"),
        ([DEMO, "--sheet", "T-120"], "-o"),
    ],
)
def test_bad_options_are_one_message(args, says):
    result = run("triage", *args)
    assert isinstance(result.exception, AdvisorError)
    assert says in str(result.exception)


def test_nothing_is_left_when_it_is_interrupted(tmp_path):
    file, out = tmp_path / "in.csv", tmp_path / "board.json"
    file.write_text("\n".join(stack_lines(30_000)))
    command = [sys.executable, "-m", "advisor", "triage", str(file), "-o", str(out)]
    process = subprocess.Popen(
        command, stderr=subprocess.PIPE, text=True, start_new_session=True, env={**os.environ}
    )
    time.sleep(2.5)
    os.killpg(process.pid, signal.SIGINT)
    _, errors = process.communicate(timeout=20)
    assert process.returncode == 130
    assert "Traceback" not in errors
    assert [path.name for path in tmp_path.iterdir()] == ["in.csv"]
