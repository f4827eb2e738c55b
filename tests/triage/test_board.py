"""The day's list: nothing lost, safety first, repeats joined, alone and in a batch the same."""

from __future__ import annotations

import json
import random

import pytest

from advisor.report.page import render_page
from advisor.triage import tables
from advisor.triage.board import ORDER
from advisor.triage.pages import board_page
from advisor.triage.say import cautions
from advisor.triage.sheet import unit_sheet

from .invented import stack_lines


@pytest.fixture(scope="module")
def small(board_of):
    return board_of(stack_lines(160, seed=3))


def test_every_row_is_in_the_list_or_apart_or_set_aside(board_of):
    lines = stack_lines(120, seed=9)
    lines[10:10] = ["U-1,2031-01-01,coach,,", "U-2,2031-01-01,coach,,a,b,c"]
    board = board_of(lines)
    listed = [row.line for line in board.lines for row in line.unit.complaints]
    apart = [row.line for row in board.apart]
    rejected = [reject.line for reject in board.rejects]
    assert sorted(listed + apart + rejected) == list(range(2, len(lines) + 1))
    assert board.rows == len(lines) - 1 == board.complaints + len(apart) + len(rejected)
    assert len(rejected) == 2


def test_what_must_not_roll_comes_first_then_loss_avoided_per_minute(small):
    keys = [(ORDER[line.level], -line.glance.per_minute[1]) for line in small.lines]
    assert keys == sorted(keys)
    assert len({line.level for line in small.lines}) > 1
    levels = [ORDER[row.level] for row in small.apart]
    assert levels == sorted(levels)
    assert levels[0] == ORDER["stop"]  # loose nuts and smoke without any vibration


def test_one_row_gives_the_same_alone_and_in_a_batch_byte_for_byte(board_of, pack):
    lines = stack_lines(60, seed=4)
    batch = {r["line"]: r for r in json.loads(tables.board_json(board_of(lines), pack))["rows"]}
    assert len(batch) > 10
    for number, row in batch.items():
        alone = board_of([lines[0], *[""] * (number - 2), lines[number - 1]])
        (single,) = json.loads(tables.board_json(alone, pack))["rows"]
        assert json.dumps(single) == json.dumps(row)


def test_two_processes_give_what_one_gives(board_of, pack):
    lines = stack_lines(420, seed=6, a_unit=60)
    assert tables.board_json(board_of(lines, 2), pack) == tables.board_json(board_of(lines), pack)


def test_the_order_of_the_rows_does_not_matter(board_of):
    lines = stack_lines(60, seed=8)
    body = lines[1:]
    random.Random(1).shuffle(body)

    def judged(board):
        return {
            line.unit.name: line.glance
            for line in board.lines
            if len({row.date for row in line.unit.complaints}) == len(line.unit.complaints)
        }

    assert judged(board_of(lines)) == judged(board_of([lines[0], *body]))


def test_repeats_of_a_unit_are_joined_and_say_what_came_back(board_of):
    board = board_of(
        [
            "Unit,Date,Complaint",
            "T-7,2031-04-20,shakes in the steering wheel over 55",
            "t-7 ,2031-03-01,shakes in the steering wheel over 55",
            "T-7,2031-03-10,balanced all tires for shake better now",
        ]
    )
    (line,) = board.lines
    joined = [row.date for row in line.unit.rows]
    assert joined[0] == "2031-03-01"
    assert joined[-1] == "2031-04-20"
    assert ("balanced", "2031-03-10") in line.unit.again_after
    assert dict(line.unit.told.work)["balanced"] == "came_back"


def test_complaints_far_apart_are_two_matters(board_of):
    lines = ["Unit,Date,Complaint", "T-7,2030-01-01,shimmy at 40", "T-7,2031-04-20,hops at 60"]
    (line,) = board_of(lines).lines
    assert [row.text for row in line.unit.rows] == ["hops at 60"]
    assert [row.text for row in line.unit.earlier] == ["shimmy at 40"]
    assert len(line.alone) == 2


def test_a_failed_balance_lowers_imbalance(board_of):
    def imbalance(text):
        (line,) = board_of(["Complaint", text]).lines
        return dict(line.alone[0].causes).get("imbalance", 0.0)

    said = "shakes in the steering wheel over 55"
    assert imbalance(f"{said} balanced twice no change") < imbalance(said)


def test_safety_words_beside_other_defects_are_flagged(board_of):
    board = board_of(["Unit,Item,Remark", "T-1,Wheels and rims,loose", "T-2,Tires,bulge lf"])
    assert not board.lines
    assert {row.unit: row.level for row in board.apart} == {"T-1": "stop", "T-2": "stop"}
    assert board.must_stop
    assert all(row.act for row in board.apart)


def test_items_of_the_inspection_report_are_read_with_their_part(board_of, pack):
    """49 CFR 396.11(a)(1) lists eleven parts and accessories (read at ecfr.io)."""
    named = {item.says for item in pack.report_items.values()}
    assert len(named) == 11
    assert {"steering mechanism", "tires", "wheels and rims", "coupling devices"} <= named
    board = board_of(["Unit,Item,Remark", "T-1,STEERING MECHANISM,shimmy over 50", "T-2,Horn,weak"])
    assert [line.unit.name for line in board.lines] == ["T-1"]
    assert ("felt_at.steering_wheel", "yes", "") in board.lines[0].unit.told.answers
    assert [row.unit for row in board.apart] == ["T-2"]


def test_what_cannot_be_understood_is_noted_not_dropped(board_of):
    board = board_of(
        ["Unit,Date,Vehicle,Tire,Complaint", "T-1,someday,rocket,huge,vibrates at 60 mph"]
    )
    notes = " ".join(board.lines[0].unit.latest.notes)
    for said in ("someday", "rocket", "huge"):
        assert said in notes


def test_personal_data_is_masked_unless_asked_for(board_of, pack):
    lines = ["Unit,Driver,Complaint", "T-1,Ottilie Brandt,shakes at 60 call 555-201-3344 a@b.org"]
    hidden = tables.board_json(board_of(lines), pack)
    for said in ("Ottilie", "Brandt", "3344", "a@b.org"):
        assert said not in hidden
    shown = tables.board_json(board_of(lines, show_personal=True), pack)
    assert "Ottilie Brandt" in shown
    assert "555-201-3344" in shown


def test_what_must_not_roll_is_shown_however_few_lines_are_asked_for(board_of, pack):
    rows = [f"T-{n},lug nuts loose and wheel wobbles at 40" for n in range(5)]
    board = board_of(["Unit,Complaint", *rows, "R-1,hops at 60"])
    text = render_page(board_page(board, pack, most=1), "text")
    for n in range(5):
        assert f"T-{n}:" in text
    assert "R-1:" not in text
    assert all(caution in text.replace("\n    ", " ") for caution in cautions(board.lines, pack))


def test_the_light_path_agrees_with_the_whole_pipeline(board_of, pack):
    """Same verdict, causes and first inspection as the bench sheet of the unit."""
    board = board_of(stack_lines(40, seed=11, share=0.9, a_unit=6))
    assert len(board.lines) >= 5
    for line in board.lines[:6]:
        sheet, look = unit_sheet(line, pack), line.glance
        assert sheet.safety.level == look.quick.level
        causes = [(c.id, pytest.approx(c.probability, abs=1e-4)) for c in sheet.causes[:3]]
        assert sorted(look.quick.causes) == sorted(causes)
        first = next((i for i in sheet.inspections if not i.safety), None)
        assert (first.id if first else "") == look.inspection
        safety = [i.id for i in sheet.inspections if i.safety]
        assert safety == list(look.checks)
        minutes = sum(i.minutes_with_access for i in sheet.inspections if i.safety)
        minutes += first.minutes_with_access if first else 0
        assert minutes == pytest.approx(look.minutes, abs=0.1)
