"""Files of readings: what is read, and one clear message for each thing that is wrong."""

from __future__ import annotations

import math
import textwrap

import pytest

from advisor.errors import InputProblems
from advisor.intake.readings import read_readings, readings_from_bytes
from advisor.model.place import Place
from tests.conftest import ROOT

RUNOUT = """
kind: runout
of: tread
place: steer_left
unit: in
counted_from: valve
studs: 10
readings: [0.010, 0.012, 0.015, 0.012, 0.010, 0.007]
"""
BALANCE = """
kind: balance
method: measured
place: steer_left
unit: oz
readings:
  - {amount: 8, at: "3:00"}
"""
FOUR_RUN = """
kind: balance
method: four_run
unit: oz
readings:
  - {run: original, amount: 6}
  - {weight: 8, weight_at: 0, amount: 9}
  - {weight: 8, weight_at: 120, amount: 6}
  - {weight: 8, weight_at: 240, amount: 4}
"""


def read(text, pack, name="r.yaml"):
    return readings_from_bytes(textwrap.dedent(text).encode(), name, pack)


def problems(text, pack, name="r.yaml"):
    with pytest.raises(InputProblems) as caught:
        read(text, pack, name)
    return [str(p) for p in caught.value.problems]


def changed(text, line, by):
    """The sample with one line (found by its start) replaced."""
    lines = text.strip().splitlines()
    index = next(i for i, one in enumerate(lines) if one.strip().startswith(line))
    lines[index] = by
    return "\n".join(lines) + "\n"


def test_a_runout_file_is_si_and_clockwise(pack):
    (one,) = read(RUNOUT, pack)
    assert one.place == Place("steer", "left")
    assert one.set_ups[0].reading_m[0] == pytest.approx(0.010 * 0.0254)
    assert one.set_ups[0].angle_rad[1] == pytest.approx(math.radians(60))
    backward = RUNOUT + "direction: counterclockwise\n"
    assert read(backward, pack)[0].set_ups[0].angle_rad[1] == pytest.approx(-math.radians(60))


@pytest.mark.parametrize("unit,factor", [("mm", 0.001), ("thousandths", 0.0000254)])
def test_other_units_are_the_same_length(pack, unit, factor):
    """Factors: international inch, exact (from memory)."""
    text = changed(RUNOUT, "unit", f"unit: {unit}")
    assert read(text, pack)[0].set_ups[0].reading_m[2] == pytest.approx(0.015 * factor)


def test_clock_positions_are_clockwise_whatever_the_counting(pack):
    text = changed(RUNOUT, "readings", "readings: [0, 1, 2, 3, 4, 5]").replace("in\n", "mm\n")
    text += 'positions: ["12:00", "1:30", "4 o\'clock", "6:00", "8:00", "10:00"]\n'
    text += "direction: counterclockwise\n"
    angles = read(text, pack)[0].set_ups[0].angle_rad
    assert [round(math.degrees(a)) for a in angles] == [0, 45, 120, 180, 240, 300]


def test_turns_in_studs_and_degrees(pack):
    text = changed(RUNOUT, "readings", "set_ups:")
    text += "  - {readings: [0, 0.01, 0, 0.01, 0, 0.01]}\n"
    text += "  - {wheel_turn_studs: 3, tire_turn_degrees: 90, readings: [0, 0, 0, 0.01, 0, 0.01]}\n"
    turned = read(text, pack)[0].set_ups[1]
    assert math.degrees(turned.wheel_turn_rad) == pytest.approx(108)
    assert math.degrees(turned.tire_turn_rad) == pytest.approx(90)


def test_a_closing_reading_and_missed_positions(pack):
    text = changed(RUNOUT, "readings", "readings: [0.01, missed, 0.02, '-', 0.01, 0, 0.011]")
    set_up = read(text + "positions: 6\n", pack)[0].set_ups[0]
    assert math.degrees(set_up.angle_rad[-1]) == pytest.approx(360)
    assert [math.isnan(r) for r in set_up.reading_m].count(True) == 2


BAD_RUNOUT = [
    ("unit", "unit: furlong", 'furlong" is not a known unit'),
    ("unit", "", '"unit" is missing'),
    ("of", "of: treat", 'did you mean "tread"?'),
    ("counted_from", "counted_from: bumper", "not a known counted from"),
    ("studs", "stud: 10", 'unknown key "stud"'),
    ("studs", "studs: 99", "outside what is possible"),
    ("place", "place: bow", '"bow" is not a place'),
    ("readings", "readings: [0.01, 0.30 mm, 0, 0, 0, 0]", "mixes units"),
    ("readings", "readings: [0.01, abc, 0, 0, 0, 0]", '"abc" is not a number'),
    ("readings", "readings: [0.01, 0.02, 3.5, 0, 0, 0]", "more than a dial indicator travels"),
    ("readings", "readings: [0.0, 0.9, -0.9, 0, 0, 0]", "is the unit right?"),
    ("readings", "readings: [missed, missed, missed, nan, nan, nan]", "nothing can be said"),
    ("readings", "readings: 0.01", "must be a list"),
    ("studs", "positions: 8", "8 positions and 6 readings"),
    ("studs", "positions: [12, 2, 4, 6, 8, 10]", "look like hours of the clock"),
    ("studs", "positions: [0, 60, 120, 180, 240]", "5 positions and 6 readings"),
    ("studs", 'positions: [0, 60, 120, 180, 240, "13:20"]', "not a clock position"),
    ("studs", "positions: [0, 60, 120, 180, 240, up]", '"up" is not a position'),
    ("studs", "wheel_turn_studs: 5", "needs the number of studs"),
    ("studs", "dial_range: -1", "above zero"),
]  # fmt: skip


@pytest.mark.parametrize("line,by,said", BAD_RUNOUT)
def test_bad_runout_is_said_with_its_line(pack, line, by, said):
    (one, *_) = problems(changed(RUNOUT, line, by), pack)
    assert said in one
    assert one.startswith("r.yaml:")


def test_a_mark_must_say_its_part_when_something_was_turned(pack):
    text = changed(RUNOUT, "counted_from", "counted_from: mark") + "wheel_turn_studs: 5\n"
    assert "which part the mark is on" in problems(text, pack)[0]


def test_all_problems_come_in_one_go(pack):
    text = changed(changed(RUNOUT, "unit", "unit: ell"), "of", "of: tyre")
    assert len(problems(text, pack)) == 2


@pytest.mark.parametrize(
    "line,by,said",
    [
        ("unit", "unit: stone", "not a known unit"),
        ("method", "method: magic", "not a known method"),
        ("- {amount", '  - {amount: 8 g, at: "3:00"}', "mixes units"),
        ("- {amount", '  - {amount: -8, at: "3:00"}', "too small"),
        ("- {amount", "  - {at: 3}", 'key "amount" is missing'),
        ("- {amount", "  - {amount: 900, at: 3}", "is the unit right?"),
        ("- {amount", '  - {amount: 8, at: "3:00", plane: middle}', "not a known plane"),
        ("method", "speed_mph: 0", "at 0 mph nothing pulls"),
        ("method", "material: gold", "not a known material"),
        ("method", "weight_step: 0", "above zero"),
        ("method", "mass_lb: 9000", "outside what is possible"),
    ],
)
def test_bad_balance_is_said(pack, line, by, said):
    assert said in problems(changed(BALANCE, line, by), pack)[0]


def test_the_heavy_side_is_turned_into_where_to_add(pack):
    (shown,) = read(BALANCE, pack)
    (heavy,) = read(BALANCE + "shows: heavy\n", pack)
    assert heavy.masses[0].add_kg == pytest.approx(-shown.masses[0].add_kg)


@pytest.mark.parametrize(
    "line,by,said",
    [
        ("- {run: original", "  - {weight: 8, weight_at: 60, amount: 5}", "0 runs without"),
        ("- {run: original", "  - {run: original, amount: 0}", "nothing to balance"),
        ("- {weight: 8, weight_at: 0", "  - {weight: 0, weight_at: 0, amount: 9}", "tells nothing"),
        ("- {weight: 8, weight_at: 0", "  - {weight: 9, weight_at: 0, amount: 9}", "differs"),
        ("- {weight: 8, weight_at: 0", "  - {weight: 8, amount: 9}", '"weight_at" is missing'),
    ],
)
def test_bad_trial_runs_are_said(pack, line, by, said):
    assert any(said in one for one in problems(changed(FOUR_RUN, line, by), pack))


CSV = """\
kind,of,place,unit,counted_from,studs,set_up,wheel_turn_studs,position,reading
runout,tread,steer_left,in,valve,10,1,,12:00,0.010
,,,,,,1,,2:00,0.012
,,,,,,1,,4:00,0.015
,,,,,,2,5,12:00,0.009
,,,,,,2,,2:00,0.011
,,,,,,2,,4:00,
"""


def test_csv_says_the_same_as_yaml(pack):
    (one,) = read(CSV, pack, "r.csv")
    assert [len(s.reading_m) for s in one.set_ups] == [3, 3]
    assert math.degrees(one.set_ups[1].wheel_turn_rad) == pytest.approx(180)
    assert math.isnan(one.set_ups[1].reading_m[2])
    assert read(CSV, pack, "-") == (one,)
    assert read(CSV.replace(",", ";"), pack, "r.csv") == (one,)


@pytest.mark.parametrize(
    "old,new,said",
    [
        ("reading\n", "redding\n", 'unknown column "redding"'),
        ("0.015", "0,015", "11 cells under 10 columns"),
        ("0.015", "x", 'r.csv:4:15: set_ups[0].readings[2]: "x" is not a number'),
        ("0.012", "0.3 mm", "mixes units"),
        (",,,,,,1,,2:00", ",,,mm,,,1,,2:00", '"mm" here and "in" on line 2'),
        (",,,,,,2,,2:00", ",,,,,,2,4,2:00", "one turn in a set-up"),
        (",4:00,0.015", ",,0.015", "is not a position"),
        ("position,", "place,", "given twice"),
    ],
)
def test_bad_csv_is_said_with_its_line(pack, old, new, said):
    assert any(said in one for one in problems(CSV.replace(old, new), pack, "r.csv"))


@pytest.mark.parametrize("text", ["", "a,b\n", "kind\n", "kind,reading\n", "\x00,\n", "[1, 2]"])
@pytest.mark.parametrize("name", ["r.csv", "r.yaml", "-"])
def test_rubbish_never_makes_a_traceback(pack, text, name):
    with pytest.raises(InputProblems):
        read(text, pack, name)


def test_example_files_are_read(pack):
    folder = ROOT / "cases" / "readings"
    files = [file for kind in ("runout", "balance") for file in sorted(folder.glob(f"{kind}-*"))]
    assert len(files) >= 5
    for file in files:
        assert read_readings(file, pack)
