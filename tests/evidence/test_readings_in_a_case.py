"""Readings inside a case: they move the ranking, are told, and never count twice."""

from __future__ import annotations

import pytest

from advisor.evidence.readings import enter_readings, without_repeats
from advisor.intake.case_file import read_case_bytes
from advisor.model.case import Case, InspectionDone, SoftFinding, Vehicle
from advisor.model.place import Place
from advisor.pipeline import rank
from tests.evidence.dial_data import runout, set_up

TRACTOR = Vehicle("linehaul_tractor", "295/75R22.5", duty="line_haul", wheel="steel_disc", studs=10)
LEFT, RIGHT = Place("steer", "left"), Place("steer", "right")
NONE = (0.0, 0.0)
BASE = """
case: hop
vehicle: {type: linehaul_tractor, tire: 295/75R22.5, axle_ratio: 2.64, studs: 10}
symptoms: {sensation: [hop], felt_at: [seat], speed: {low_mph: 57, high_mph: 66}}
"""


def case_with(*readings, **more):
    return Case("hop", TRACTOR, readings=readings, **more)


def probability(diagnosis, cause):
    return next(c.probability for c in diagnosis.causes if c.id == cause)


def turned(hub, wheel_and_tire, **more):
    return runout(
        set_up(hub, wheel_and_tire, NONE, noise_in=0.001, seed=1),
        set_up(hub, wheel_and_tire, NONE, wheel_turn=180, noise_in=0.001, seed=2),
        **more,
    )


def test_mounting_and_part_change_places(pack):
    mounting = rank(case_with(turned((0.06, 40), (0.01, 0))), pack)
    part = rank(case_with(turned((0.01, 40), (0.06, 0))), pack)
    assert mounting.causes[0].id == "off_center_mounting"
    assert part.causes[0].id in ("out_of_round_tire", "out_of_round_wheel")
    assert probability(part, "off_center_mounting") < 0.1
    assert mounting.causes[0].places[0].place == "steer_right"


def test_tilt_and_bend_change_places(pack):
    tilt = rank(case_with(turned((0.06, 40), NONE, of="rim_side")), pack)
    bend = rank(case_with(turned(NONE, (0.06, 40), of="rim_side")), pack)
    assert probability(tilt, "tilted_mounting") > 3 * probability(tilt, "bent_wheel")
    assert probability(bend, "bent_wheel") > 3 * probability(bend, "tilted_mounting")


def test_the_document_says_what_each_reading_changed(pack):
    reading = turned((0.06, 40), (0.01, 0))
    diagnosis = rank(case_with(reading), pack)
    (change,) = diagnosis.changes
    assert change.what == diagnosis.readings[0].title
    assert "wheel mounted off center on the hub +" in change.says
    assert "first without it:" in change.says and "first with it:" in change.says
    before = rank(case_with(), pack)
    assert probability(diagnosis, "off_center_mounting") > probability(
        before, "off_center_mounting"
    )
    shown = {c.id for c in diagnosis.cautions}
    assert set(diagnosis.readings[0].cautions) <= shown
    assert set(diagnosis.readings[0].sources) <= {s.id for s in diagnosis.sources}


def test_without_readings_nothing_is_added(pack):
    diagnosis = rank(case_with(), pack)
    assert diagnosis.readings == [] and diagnosis.changes == []


def test_a_check_that_was_read_is_not_proposed_again(pack):
    over = runout(set_up((0.06, 0), NONE, NONE))
    plan = [(i.id, i.place) for i in rank(case_with(over), pack).inspections]
    assert ("tread-runout", "steer_right") not in plan


def test_a_reading_and_the_same_inspection_count_once(pack):
    over = runout(set_up((0.06, 0), NONE, NONE))
    number = InspectionDone("tread-runout", RIGHT, None, {"tir_in": 0.12})
    alone = rank(case_with(over), pack)
    both = rank(case_with(over, inspections=(number,)), pack)
    assert {c.id: c.probability for c in alone.causes} == {c.id: c.probability for c in both.causes}


def test_the_same_reading_twice_counts_once(pack):
    over = runout(set_up((0.06, 0), NONE, NONE))
    once, twice = rank(case_with(over), pack), rank(case_with(over, over), pack)
    assert probability(once, "out_of_round_tire") == probability(twice, "out_of_round_tire")


def test_the_other_side_of_a_wider_inspection_stays():
    soft = SoftFinding("found.tread-runout", 0.9, 0.1, RIGHT, "")
    wide = InspectionDone("tread-runout", Place("steer"), "clear")
    (left,) = without_repeats([wide], [soft])
    assert left.place == LEFT and left.outcome == "clear"
    other = InspectionDone("rim-runout", RIGHT, "clear")
    assert without_repeats([other], [soft]) == [other]


def test_a_fault_found_by_a_person_is_not_outvoted(pack):
    """Bad studs found by eye stay found though the pilots run true."""
    true_pilots = runout(set_up(NONE, NONE, NONE), of="hub_pilot")
    found = InspectionDone("pilot-check", RIGHT, "found")
    entered = enter_readings(case_with(true_pilots, inspections=(found,)), pack).case
    assert entered.measured == ()
    assert found in entered.inspections
    clear = InspectionDone("pilot-check", RIGHT, "clear")
    assert (
        len(enter_readings(case_with(true_pilots, inspections=(clear,)), pack).case.measured) == 1
    )


def test_entering_twice_changes_nothing(pack):
    once = enter_readings(case_with(turned((0.06, 40), NONE)), pack)
    again = enter_readings(once.case, pack)
    assert again.case == once.case and again.notes == ()


def test_tread_against_rim_gives_the_tire_by_subtraction(pack):
    """Tread 60 at 0 less rim 20 at 0 (thousandths) is a tire of 40 at 0."""
    tread = runout(set_up((0.010, 0), NONE, (0.020, 0)))
    rim = runout(set_up((0.010, 0), NONE, NONE), of="rim")
    notes = enter_readings(case_with(tread, rim), pack).notes
    (note,) = [n for n in notes if n.title.startswith("Tread against rim")]
    assert note.numbers["tire_tir_in"] == pytest.approx(0.040, abs=1e-4)
    assert note.numbers["match_mounting"]["turn_deg"] == pytest.approx(180, abs=0.5)
    assert note.pictures[0].kind == "vector_diagram"
    assert "restrain-and-stand-clear-inflating" in note.cautions


def test_tread_and_rim_are_not_subtracted_when_the_wheel_was_turned_between(pack):
    tread = runout(set_up((0.010, 0), NONE, (0.020, 0)))
    rim = runout(set_up((0.010, 0), NONE, NONE, wheel_turn=180), of="rim")
    notes = enter_readings(case_with(tread, rim), pack).notes
    assert len(notes) == 2 and not any("Tread against rim" in n.title for n in notes)


IN_CASE = """
readings:
  - {kind: runout, of: rim, place: steer_right, unit: mm, counted_from: valve,
     readings: [0.1, 0.2, 0.5, 0.6, 0.4, 0.2]}
  - {kind: balance, place: steer_right, unit: oz,
     readings: [{of: tire, amount: 9, at: 0}, {of: wheel, amount: 3, at: 0}]}
  - {kind: runout, of: tread, place: steer_right, unit: mm, counted_from: valve,
     readings: [0.1, 0.4, 1.1, 1.2, 0.9, 0.4]}
"""


def test_runout_and_imbalance_together_are_traded_off(pack):
    diagnosis = rank(read_case_bytes((BASE + IN_CASE).encode(), pack), pack)
    (note,) = [n for n in diagnosis.readings if n.title.startswith("Runout and imbalance")]
    own = note.numbers["compromise"]["own_turn_deg"]
    turn = note.numbers["compromise"]["turn_deg"]
    assert own["imbalance"] == pytest.approx(180, abs=0.1)
    assert min(own.values()) <= turn % 360 <= max(own.values()) or turn in own.values()
    assert len(diagnosis.changes) == 3


def test_figures_counted_from_different_marks_are_not_traded_off(pack):
    """From the stud and from the valve: nobody said how far apart the two are."""
    body = IN_CASE.replace("unit: oz,", "unit: oz, counted_from: stud,")
    titles = [n.title for n in rank(read_case_bytes((BASE + body).encode(), pack), pack).readings]
    assert any(t.startswith("Tread against rim") for t in titles)
    assert not any(t.startswith("Runout and imbalance") for t in titles)


def test_readings_in_files_beside_the_case(pack, tmp_path):
    (tmp_path / "rim.csv").write_text(
        "kind,of,unit,counted_from,reading\nrunout,rim,in,valve,0.01\n"
        + "".join(f",,,,0.0{n}\n" for n in range(2, 8))
    )
    case = tmp_path / "c.yaml"
    case.write_text(BASE + "readings: [{file: rim.csv, place: steer_right}]\n")
    from advisor.intake.case_file import read_case

    (reading,) = read_case(case, pack).readings
    assert reading.place == RIGHT


@pytest.mark.parametrize(
    "body,said",
    [
        ("readings: [{kind: runout, of: rim, unit: in, counted_from: valve, readings: [1, 2]}]",
         "a reading needs a place"),
        ("readings: [{kind: sonar, place: steer_left}]", "not read here"),
        ("readings: [{place: steer_left}]", 'the key "kind" is missing'),
        ("readings: [{kind: runout, place: tag_left}]", "has no tag axle"),
        ("readings: [{file: gone.csv}]", "standard input cannot name a file"),
    ],
)  # fmt: skip
def test_bad_readings_in_a_case_name_their_line(pack, body, said):
    from advisor.errors import InputProblems

    with pytest.raises(InputProblems) as caught:
        read_case_bytes((BASE + body).encode(), pack)
    assert any(said in str(p) and p.line == 5 for p in caught.value.problems)
