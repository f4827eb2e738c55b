"""Exports as they come: encodings, delimiters, columns, dates, broken lines. Nothing is lost."""

from __future__ import annotations

import csv
import io

import pytest

from advisor.errors import AdvisorError
from advisor.intake.stack_columns import asked_columns
from advisor.intake.stack_dates import read_date
from advisor.intake.stack_lines import read_folder, read_lines
from advisor.intake.stack_table import read_table
from advisor.intake.stack_text import encoding_of

ROWS = [("Unit", "Complaint"), ("T-1", "shakes at 60 – bad"), ("T-2", "café stop, “hops”, 55 mph")]


def written(delimiter: str) -> str:
    out = io.StringIO()
    csv.writer(out, delimiter=delimiter, lineterminator="\r\n").writerows(ROWS)
    return out.getvalue()


@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "cp1252", "utf-16", "utf-16-le"])
def test_every_encoding_and_delimiter_gives_the_same_rows(pack, encoding, delimiter):
    stack = read_table(written(delimiter).encode(encoding), "x.csv", pack.columns, {})
    assert [(row.unit, row.text) for row in stack.rows] == ROWS[1:]
    assert not stack.rejects
    assert stack.read_as[0].startswith(encoding)


def test_a_file_pasted_together_from_two_encodings_is_read_line_by_line(pack):
    raw = "Unit,Complaint\nT-1,café\n".encode() + "T-2,café\n".encode("cp1252")
    stack = read_table(raw, "x.csv", pack.columns, {})
    assert [row.text for row in stack.rows] == ["café", "café"]
    assert encoding_of(raw) == "cp1252"


def test_columns_can_be_named_and_what_was_guessed_is_said(pack):
    raw = b"a,b,c\nT-1,2031-04-01,shakes at 60\n"
    stack = read_table(raw, "x.csv", pack.columns, asked_columns(["text=C", "unit=a"]))
    assert (stack.rows[0].unit, stack.rows[0].text) == ("T-1", "shakes at 60")
    assert 'text from "c"' in stack.read_as


@pytest.mark.parametrize(
    ("options", "says"),
    [
        (["text=Complant"], 'there is no column "Complant"; found: Unit, Complaint; did you mean'),
        (["txt=Complaint"], 'did you mean "text"'),
        (["text"], "write it as text=Complaint"),
    ],
)
def test_a_wrong_column_is_told_with_what_is_there(pack, options, says):
    with pytest.raises(AdvisorError, match=says):
        read_table(b"Unit,Complaint\nT-1,x\n", "x.csv", pack.columns, asked_columns(options))


def test_a_file_without_a_known_heading_says_how_to_name_it(pack):
    with pytest.raises(AdvisorError, match=r"--column text="):
        read_table(b"alpha,beta\n1,2\n", "x.csv", pack.columns, {})


@pytest.mark.parametrize(
    ("line", "reason"),
    [
        ("T-2,", "there is no write-up"),
        ("T-2,a,b,c", "4 cells under 2 headings"),
        (",,", "no cell holds anything"),
        ('T-2,"never closed', "a quote is opened and not closed"),
        ("T-2,a\x00b", "zero bytes"),
        ("T-2," + "x" * 20_001, "longer than"),
    ],
)
def test_a_bad_line_is_set_aside_and_the_rest_goes_through(pack, line, reason):
    raw = f"Unit,Complaint\nT-1,shakes at 60\n{line}\nT-3,hops at 55\n".encode()
    stack = read_table(raw, "x.csv", pack.columns, {})
    assert [row.unit for row in stack.rows] == ["T-1", "T-3"]
    (reject,) = stack.rejects
    assert reject.line == 3
    assert reason in reject.reason
    assert reject.raw == line


def test_a_quoted_cell_may_run_over_lines(pack):
    raw = b'Unit,Complaint\nT-1,"shakes\nat 60"\nT-2,hops\n'
    stack = read_table(raw, "x.csv", pack.columns, {})
    assert [(row.line, row.text) for row in stack.rows] == [(2, "shakes\nat 60"), (4, "hops")]


def test_an_inch_mark_inside_a_cell_opens_no_quote(pack):
    raw = b'Unit,Complaint\nT-1,has a 5" dent shakes\nT-2,4" drop hops\nT-3,"said ""shakes"" bad"\n'
    stack = read_table(raw, "x.csv", pack.columns, {})
    said = ['has a 5" dent shakes', '4" drop hops', 'said "shakes" bad']
    assert [row.text for row in stack.rows] == said


def test_one_open_quote_does_not_swallow_the_rest_of_the_file(pack):
    body = [f"T-{n},shakes at {n}" for n in range(3, 203)]
    raw = "\n".join(["Unit,Complaint", 'T-2,"open', *body]).encode()
    stack = read_table(raw, "x.csv", pack.columns, {})
    assert len(stack.rows) == 200
    assert [reject.line for reject in stack.rejects] == [2]


def test_json_lines_set_aside_what_is_no_object(pack):
    good = [b'{"unit": "T-1", "complaint": "shakes at 60"}', b'{"unit": 7, "complaint": "hops"}']
    raw = b"\n".join([good[0], b"[1]", b"{broken", good[1], b""])
    stack = read_lines(raw, "x.jsonl", pack.columns, {})
    assert [(row.unit, row.text) for row in stack.rows] == [("T-1", "shakes at 60"), ("7", "hops")]
    assert [reject.line for reject in stack.rejects] == [2, 3]


def test_a_folder_sets_bad_case_files_aside(pack, tmp_path):
    (tmp_path / "good.yaml").write_text(
        "case: a\nvehicle: {type: coach}\nsymptoms: {sensation: [hop]}\n"
    )
    (tmp_path / "bad.yaml").write_text("case: b\nvehicle: {type: spaceship}\n")
    stack = read_folder(tmp_path, pack)
    assert [row.case.id for row in stack.rows] == ["a"]
    assert "spaceship" in stack.rejects[0].reason


@pytest.mark.parametrize(
    ("text", "day_first", "iso"),
    [
        ("2031-04-03", False, "2031-04-03"),
        ("2031-04-03T08:15:00Z", False, "2031-04-03"),
        ("4/3/2031", False, "2031-04-03"),
        ("4/3/2031", True, "2031-03-04"),
        ("25/3/2031", False, "2031-03-25"),
        ("04-03-31 7:05 PM", False, "2031-04-03"),
        ("3 Apr 2031", False, "2031-04-03"),
        ("April 3, 2031", False, "2031-04-03"),
        ("03-Apr-31", False, "2031-04-03"),
        ("20310403", False, "2031-04-03"),
        ("3.4.2031", False, "2031-04-03"),
        ("2031-02-30", False, None),
        ("yesterday", False, None),
        ("", False, None),
    ],
)
def test_dates_in_common_forms(text, day_first, iso):
    assert read_date(text, day_first) == iso
