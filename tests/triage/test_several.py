"""Several files as one stack: every row knows its file, and none is taken for another's."""

from __future__ import annotations

import contextlib
from pathlib import Path

import pytest

from advisor.errors import AdvisorError
from advisor.intake.stack_lines import read_folder
from advisor.intake.stack_several import read_several
from advisor.intake.stack_table import read_table
from advisor.model.stack import Stack
from advisor.triage.board import make_board
from advisor.triage.work import Options

CASE = "case: {0}\nunit: {0}\nvehicle: {{type: coach}}\nsymptoms: {{sensation: [hop]}}\n"
MAY = "Unit,Complaint\nT-1,hops at 60\n,shakes at 55\n"
JUNE = '[{"unit": "T-1", "complaint": "hops again"},\n{"complaint": "shakes at 55"}]'


@pytest.fixture
def several(pack, tmp_path):
    """Files by name -> one stack, read from inside their folder."""

    def read(files: dict[str, str]) -> Stack:
        for name, text in files.items():
            path = tmp_path / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text)
        with contextlib.chdir(tmp_path):
            return read_several(Path(), pack)

    return read


def test_one_export_reads_as_it_does_alone(pack, several):
    assert several({"may.csv": MAY}) == read_table(MAY.encode(), "may.csv", pack.columns, {})


def test_a_folder_of_cases_reads_as_it_does_alone(pack, several, tmp_path):
    files = {f"shop/{n}/{n}.yaml": CASE.format(n) for n in ("b", "a")}
    tables = {"shop/a/runs.csv": "time_s,z_g\n0,0\n", "shop/notes.pdf": "x", "shop/.old/c.csv": "x"}
    files["shop/.old/c.yaml"] = CASE.format("c")
    stack = several(files | {"shop/bad.yaml": "case: [\n"} | tables)
    with contextlib.chdir(tmp_path):
        alone = read_folder(Path("shop"), pack)
    assert (stack.rows, stack.rejects, stack.name) == (alone.rows, alone.rejects, alone.name)
    assert stack.read_as == (
        *alone.read_as,
        "2 files read only where a case names them: shop/a/runs.csv, shop/notes.pdf",
    )
    assert [(r.file, r.line) for r in stack.rejects] == [("shop/bad.yaml", 2)]


def test_rows_of_one_line_in_two_files_stay_two(pack, several):
    stack = several({"may.csv": MAY, "june.json": JUNE})
    assert [(r.file, r.line, r.unit) for r in stack.rows] == [
        ("june.json", 1, "T-1"), ("june.json", 2, ""), ("may.csv", 2, "T-1"), ("may.csv", 3, ""),
    ]  # fmt: skip
    board = make_board(stack, pack, Options("linehaul_tractor"), 1)
    names = {line.unit.name: [r.file for r in line.unit.complaints] for line in board.lines}
    assert names == {
        "T-1": ["june.json", "may.csv"],
        "june.json line 2": ["june.json"],
        "may.csv line 3": ["may.csv"],
    }


def test_the_same_line_without_a_unit_in_two_files_is_two_units(pack, several):
    one = "Unit,Complaint\n,shakes at 55\n"
    stack = several({"a.csv": one, "b.csv": one})
    assert len(make_board(stack, pack, Options("linehaul_tractor"), 1).lines) == 2


def test_a_file_that_cannot_be_read_is_set_aside_with_its_line(several):
    stack = several({"may.csv": MAY, "odd.csv": "\n\na,b\n1,2\n", "empty.csv": ""})
    assert [(r.file, r.line) for r in stack.rejects] == [("empty.csv", 0), ("odd.csv", 3)]
    assert "is empty" in stack.rejects[0].reason and "write-up" in stack.rejects[1].reason
    assert len(stack.rows) == 2 and stack.name == "empty.csv and 2 more"


@pytest.mark.parametrize(
    ("files", "said"),
    [
        ({"a.csv": "a,b\n1,2\n", "b.csv": ""}, r"a\.csv line 1: .*\nb\.csv: the file is empty"),
        ({"a.pdf": "x", "b.jpg": "y"}, r"a\.pdf, b\.jpg: neither a case file"),
        ({"shop/bad.yaml": "case: b\nvehicle: {type: spaceship}\n"}, r"shop/bad.yaml line 2: .*"),
    ],
)
def test_where_nothing_reads_everything_is_said(several, files, said):
    with pytest.raises(AdvisorError, match=said):
        several(files)
