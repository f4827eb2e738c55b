"""Several files become one board: the same as on the command line, and no name leads outside."""

from __future__ import annotations

import csv
import io
import json
import shutil
from pathlib import Path

import pytest
from starlette.testclient import TestClient
from typer.testing import CliRunner

from advisor.cli.main import app
from advisor.model.stack import FIELDS
from advisor.web import asked, board_work
from advisor.web.laid_out import harmless, lay_out
from advisor.web.pages_board import COLUMNS
from tests.conftest import ROOT
from tests.web.conftest import words

pytestmark = pytest.mark.usefixtures("at_once")
MAY = "Unit,Date,Complaint\nT-1,2031-05-01,hops in the seat 58-64\nT-7,,\n"
JUNE = '[{"unit": "T-2", "complaint": "lug nuts loose and it wobbles"},\n7]'
JULY = '{"unit": "T-1", "complaint": "still hops at 60", "date": "2031-07-01"}'


def send(page: TestClient, files: dict[str, str | bytes], **form: str):
    """Files as a browser sends them: one field, several times."""
    parts = [("file", (n, t.encode() if isinstance(t, str) else t)) for n, t in files.items()]
    return page.post("/board", data={"do": "file"} | form, files=parts)


def kept(folder: Path) -> dict[str, object]:
    """The list as it lies in the folder, without the sheet to print."""
    data: dict[str, object] = json.loads((folder / ".board" / "today.json").read_text())
    assert "Day's list" in str(data.pop("sheet"))
    return data


def test_several_exports_become_one_list(page: TestClient, folder: Path):
    before = sorted(p.name for p in folder.iterdir())
    text = words(send(page, {"may.csv": MAY, "june.json": JUNE, "july.jsonl": JULY}).text)
    assert "5 rows: 3 vibration complaints of 2 units" in text
    assert text.index("1. T-2") < text.index("2. T-1")
    assert "2 complaints since 2031-05-01" in text  # joined over two files
    assert "june.json line 2: not a JSON object" in text
    assert "may.csv line 3: there is no write-up in it" in text
    reply = page.get("/board/set-aside.csv")
    assert "attachment" in reply.headers["content-disposition"]
    rows = list(csv.DictReader(io.StringIO(reply.text)))
    assert [(r["file"], r["line"], bool(r["reason"])) for r in rows] == [
        ("june.json", "2", True), ("may.csv", "3", True),
    ]  # fmt: skip
    # nothing but the list is left in the shop's folder
    assert sorted(p.name for p in folder.iterdir()) == sorted([*before, ".board"])
    assert [p.name for p in (folder / ".board").iterdir()] == ["today.json"]


def test_a_folder_of_cases_gives_what_the_command_line_gives(
    page: TestClient, folder: Path, tmp_path: Path, monkeypatch
):
    shop = tmp_path / "shop"
    for name in ("t60-bead-line", "m23-house-shakes-at-one-speed", "x207-empty-trailer-thump"):
        shop.mkdir(exist_ok=True)
        shutil.copy(ROOT / "cases" / f"{name}.yaml", shop)
    (shop / "readings").mkdir()
    shutil.copy(ROOT / "cases" / "readings" / "m23-run-up.csv", shop / "readings")
    (shop / "broken.yaml").write_text("case: x\nvehicle: {type: spaceship}\n")
    files = sorted(p for p in shop.rglob("*") if p.is_file())
    assert send(page, {str(p.relative_to(tmp_path)): p.read_bytes() for p in files}).status_code
    monkeypatch.chdir(tmp_path)
    told = CliRunner().invoke(app, ["triage", "shop", "--format", "json"])
    ours, theirs = kept(folder), json.loads(told.stdout)
    left_out = "1 file read only where a case names it: shop/readings/m23-run-up.csv"
    assert ours["source"]["read_as"] == [*theirs["source"].pop("read_as"), left_out]  # type: ignore[index]
    del ours["source"]["read_as"]  # type: ignore[attr-defined]
    assert ours == theirs
    assert len(theirs["units"]) == 3 and theirs["rejects"][0]["file"] == "shop/broken.yaml"


CLIMBING = {
    "../../up.yaml": "up.yaml",
    "/etc/up.yaml": "etc/up.yaml",
    "C:\\shop\\..\\up.csv": "C_/shop/up.csv",
    "a/./b//c.csv": "a/b/c.csv",
    "..": "file",
    "": "file",
    "a\x00\n\u202eb.csv": "a___b.csv",
    "x" * 300 + ".csv": "x" * 117 + ".csv",
    "/".join("abcdefghijkl"): "e/f/g/h/i/j/k/l",
}


@pytest.mark.parametrize(("named", "made"), CLIMBING.items(), ids=range(len(CLIMBING)))
def test_names_are_made_harmless(named: str, made: str):
    assert harmless(named) == made


def test_no_file_leads_out_or_over_another(tmp_path: Path):
    home = tmp_path / "home"
    home.mkdir()
    names = ["../a.csv", "a.csv", "/a.csv", "a.csv/b.csv", "..\\..\\a.csv"]
    lay_out([(name, str(n).encode()) for n, name in enumerate(names)], home)
    assert [p.name for p in tmp_path.iterdir()] == ["home"]
    held = {str(p.relative_to(home)): p.read_text() for p in home.rglob("*")}
    assert sorted(held.values()) == ["0", "1", "2", "3", "4"]
    assert set(held) == {"a.csv", "a (2).csv", "a (3).csv", "a (4).csv", "b.csv"}


def test_climbing_names_are_flattened_on_the_board(page: TestClient, folder: Path):
    text = words(send(page, {"../../may.csv": MAY, "june.json": JUNE}).text)
    assert "june.json and 1 more" in text and "may.csv line 3" in text and ".." not in text
    assert not (folder.parent / "may.csv").exists()


def test_too_many_and_too_much_are_said_clearly(page: TestClient, folder: Path, monkeypatch):
    many = {f"f{n}.csv": MAY for n in range(asked.MOST_FILES + 1)}
    reply = send(page, many)
    assert reply.status_code == 400
    assert f"at most {asked.MOST_FILES} at once; advisor triage FOLDER" in words(reply.text)
    rows = board_work.MOST_ROWS // 2 + 1
    long = "Unit,Complaint\n" + "T-1,hops\n" * rows
    reply = send(page, {"a.csv": long, "b.csv": long})
    assert reply.status_code == 422
    assert f"{2 * rows} rows; {board_work.MOST_ROWS} are taken here" in words(reply.text)
    assert "choose files" in words(page.post("/board", data={"do": "file"}).text)
    assert not (folder / ".board").exists()


def test_files_that_all_cannot_be_read_leave_the_last_list(page: TestClient, folder: Path):
    send(page, {"may.csv": MAY})
    before = kept(folder)
    reply = send(page, {"a.csv": "a,b\n1,2\n", "b.jpg": "x"})
    assert reply.status_code == 422 and "a.csv line 1: text: no column" in words(reply.text)
    assert kept(folder) == before


def test_a_folder_that_takes_no_list_is_said(page: TestClient, folder: Path):
    (folder / ".board").write_text("in the way")
    reply = send(page, {"may.csv": MAY})
    assert reply.status_code == 422 and "the list cannot be kept" in words(reply.text)


def test_a_disk_that_is_full_is_said(page: TestClient, folder: Path, monkeypatch):
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(board_work, "lay_out", full)
    reply = send(page, {"may.csv": MAY})
    assert reply.status_code == 422 and "no space left on device" in words(reply.text)
    assert not (folder / ".board").exists()


def test_dates_may_begin_with_the_day(page: TestClient, folder: Path):
    row = "Unit,Date,Complaint\nT-1,3/4/2031,hops at 60\n"
    for form, date in (({}, "2031-03-04"), ({"day_first": "1"}, "2031-04-03")):
        send(page, {"may.csv": row}, **form)
        assert kept(folder)["units"][0]["date"] == date  # type: ignore[index]


def test_a_broken_case_of_the_shop_is_not_passed_over(page: TestClient, folder: Path):
    (folder / "t92.yaml").write_text("case: t92\nvehicle: {type: spaceship}\n")
    text = words(page.post("/board", data={"do": "cases"}).text)
    assert "T-90" in text and "t92.yaml line 2: vehicle.type" in text


def test_a_column_with_a_heading_of_its_own_is_named_on_the_page(page: TestClient, folder: Path):
    table = {"may.csv": "Rig,What he said\nT-1,hops in the seat 58-64\n"}
    reply = send(page, table, column_unit="Rig")
    assert reply.status_code == 422
    assert "no column looks like the write-up" in reply.text
    assert "on the page under Columns" in words(reply.text)
    assert 'value="Rig"' in reply.text  # nothing is to be written twice
    text = words(send(page, table, column_unit="rig", column_text="What he said").text)
    assert "1 row: 1 vibration complaint of 1 unit" in text
    assert "1. T-1" in text


def test_every_field_but_the_person_can_be_named():
    assert {*COLUMNS, "driver"} == set(FIELDS)
