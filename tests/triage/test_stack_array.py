"""One JSON array of rows: the same rows as JSON Lines, each with its line, and nothing lost in
silence."""

from __future__ import annotations

import json

import pytest
from typer.testing import CliRunner

from advisor.cli.main import app
from advisor.errors import AdvisorError
from advisor.intake.stack_file import read_export
from advisor.model.stack import Stack

ROWS = [
    {"unit": "T-1", "complaint": "shakes at 60", "date": "2031-05-01"},
    {"unit": "T-2", "complaint": 'says "hops"\nin the seat', "date": "2031-05-02"},
    {"unit": 3, "complaint": "wobbles", "date": None},
]
WANTED = [
    ("T-1", "shakes at 60", "2031-05-01"),
    ("T-2", 'says "hops"\nin the seat', "2031-05-02"),
    ("3", "wobbles", ""),
]


def read(text: str | bytes, pack, name: str = "rows.json") -> Stack:
    """An export of this name and content."""
    raw = text if isinstance(text, bytes) else text.encode()
    return read_export(raw, name, pack.columns, {})


@pytest.mark.parametrize("indent", [None, 0, 1, 4])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le"])
def test_an_array_reads_as_the_same_rows_as_lines(pack, indent, encoding):
    array = read(json.dumps(ROWS, indent=indent).encode(encoding), pack)
    lines = read("\n".join(map(json.dumps, ROWS)), pack, "rows.jsonl")
    for stack in (array, lines):
        assert [(r.unit, r.text, r.date) for r in stack.rows] == WANTED
        assert stack.rejects == ()
    assert array.columns == lines.columns


def test_the_command_reads_both_forms_from_a_file_and_from_a_pipe(tmp_path):
    shown = []
    for name, text in (
        ("rows.json", json.dumps(ROWS)),
        ("rows.jsonl", "\n".join(map(json.dumps, ROWS))),
    ):
        (tmp_path / name).write_text(text)
        for file, piped in ((str(tmp_path / name), None), ("-", text)):
            told = CliRunner().invoke(app, ["triage", file, "--format", "json"], input=piped)
            shown.append([(u["unit"], u["date"]) for u in json.loads(told.stdout)["units"]])
    assert shown == [shown[0]] * 4
    assert {unit for unit, _ in shown[0]} == {"T-1", "T-2", "3"}


def test_lines_count_in_the_file(pack):
    text = '\n[\n  {"complaint": "hops"},\r\n\n  {\n    "complaint": "shakes"\n  }\n]\n'
    assert [r.line for r in read(text, pack).rows] == [3, 5]


BROKEN = [
    # what stands between two good rows, why it is set aside, and on which line
    ("  [1, 2],", "not a JSON object", 3),
    ('  "hops",', "not a JSON object", 3),
    ('  {"complaint": "hops",,},', "not JSON", 3),
    ('  {"complaint": "no end"', "not JSON", 3),
    ('  {"complaint": {"deep": "x"', "not JSON", 3),
    ('  {"unit": "T-9"},', "no write-up", 3),
    ('  {"complaint": ' + "[" * 100_000 + "},", "nested too deep", 3),
    ('  {"complaint": ' + "9" * 5_000 + "},", "not JSON", 3),
]


@pytest.mark.parametrize(("bad", "reason", "line"), BROKEN, ids=range(len(BROKEN)))
def test_a_broken_row_takes_no_other_with_it(pack, bad, reason, line):
    text = f'[\n  {{"complaint": "first"}},\n{bad}\n  {{"complaint": "last"}}\n]'
    stack = read(text, pack)
    assert [r.text for r in stack.rows] == ["first", "last"]
    (reject,) = stack.rejects
    assert (reject.line, reject.raw) == (line, bad.strip().removesuffix(","))
    assert reason in reject.reason


def test_what_cannot_be_told_apart_is_kept_whole_and_said(pack):
    text = '[{"complaint": "first"}, {"complaint": oops}, {"complaint": "last"}]'
    stack = read(text, pack)
    (reject,) = stack.rejects
    assert len(stack.rows) == 1 and reject.raw == text.removeprefix('[{"complaint": "first"}, ')
    assert "nothing from here on could be read" in reject.reason


@pytest.mark.parametrize(
    ("tail", "reason", "line"),
    [("", "not closed", 2), ("]\nmore", "behind the end", 3), ("]\n[{}]", "behind the end", 3)],
)
def test_the_end_of_the_list_is_looked_at(pack, tail, reason, line):
    stack = read('[{"complaint": "hops"},\n{"complaint": "shakes"}' + tail, pack)
    assert len(stack.rows) == 2
    assert [(r.line, reason in r.reason) for r in stack.rejects] == [(line, True)]


def test_a_key_that_comes_late_is_read_in_both_forms(pack):
    rows = [{"complaint": "hops"}, {"complaint": "shakes", "unit": "T-4"}]
    for text in (json.dumps(rows), "\n".join(map(json.dumps, rows))):
        assert [r.unit for r in read(text, pack).rows] == ["", "T-4"]


def test_a_heading_in_brackets_begins_a_table(pack):
    stack = read("[Unit],[Complaint]\nT-1,hops\n", pack, "may.csv")
    assert [(r.unit, r.text) for r in stack.rows] == [("T-1", "hops")]


@pytest.mark.parametrize("text", ["[]", "[ ]\n", "", "  \n", '[{"a": 1}]'])
def test_nothing_to_read_is_said(pack, text):
    with pytest.raises(AdvisorError, match=r"rows\.json.*(is empty|looks like the write-up)"):
        read(text, pack)
