"""Case files: what loads, and every problem of one that does not, in one go, each at its place."""

from __future__ import annotations

import pytest

from advisor.errors import InputProblems
from advisor.intake.case_file import read_case, read_case_bytes
from advisor.model.case import ConfirmedCause, InspectionDone, WorkDone
from advisor.model.place import Place, parse_place
from advisor.pipeline import rank
from tests.intake.reading import problem, problems, read

# A file as the project's design writes it: with comments, folded text and every kind of entry.
FULL = """\
case: K-014-hop-after-tire-change      # unique slug
title: Seat hop at 60 after new steer tires
unit: "T-27"
reported: 2031-04-12
vehicle: {type: linehaul_tractor, tire: 295/75R22.5, axle_ratio: 3.36}   # see rules/vehicles.yaml
write_up: >                            # the driver's words, optional
  Hops in the seat 58 to 64 loaded or empty. Started after new steers.
symptoms:                              # answers; a list of symptom ids, or id: yes|no|value
  sensation: [hop]
  felt_at: [seat]
  speed: {low_mph: 58, high_mph: 64, pattern: only_in_band}
  onset: after_tire_work
  wear: {steer_left: none}
work_done: [{what: balanced, when: 2031-04-14, result: no_change}]
inspections: [{id: tread-runout, place: steer_left, result: {tir_in: 0.110}}]
readings: []                           # runout, balance, recording files
confirmed: {causes: [{id: off_center_mounting, place: steer_left}], by: rim runout re-indexed, date: 2031-04-15}
"""  # noqa: E501


def test_the_full_example(pack):
    case = read_case_bytes(FULL.encode(), pack)
    left = Place("steer", "left")
    assert (case.id, case.unit, case.reported) == (
        "K-014-hop-after-tire-change",
        "T-27",
        "2031-04-12",
    )
    assert case.write_up == "Hops in the seat 58 to 64 loaded or empty. Started after new steers."
    assert (case.vehicle.tire, case.vehicle.axle_ratio) == ("295/75R22.5", 3.36)
    assert (case.speed.low_mph, case.speed.high_mph) == (58, 64)
    assert case.work_done == (WorkDone("balanced", "no_change", "2031-04-14"),)
    assert case.inspections == (InspectionDone("tread-runout", left, None, {"tir_in": 0.11}),)
    assert case.confirmed.causes == (ConfirmedCause("off_center_mounting", left),)
    yes = {a.symptom for a in case.answers if a.state == "yes"}
    assert yes == {"sensation.hop", "felt_at.seat", "speed.only_in_band", "onset.after_tire_work"}


def test_the_full_example_ranks_its_confirmed_cause_near_the_top(pack):
    diagnosis = rank(read_case_bytes(FULL.encode(), pack), pack)
    assert "off_center_mounting" in [c.id for c in diagnosis.causes[:3]]
    assert diagnosis.safety.level == "soon"  # a wheel had been off


def test_an_empty_but_valid_case_ranks_by_priors_and_says_so(pack):
    """Causes compete for the complaint, so the order is that of the priors, raised together."""
    diagnosis = rank(read(pack, ""), pack)
    by_prior = sorted(diagnosis.causes, key=lambda c: (-c.prior, c.id))
    first = [c.id for c in diagnosis.causes if c.prior > 0.02]
    assert first == [c.id for c in by_prior if c.prior > 0.02]
    assert "nothing-reported" in [note.id for note in diagnosis.limitations]
    assert diagnosis.safety.level == "none"
    assert "does not show that it is safe" in diagnosis.safety.verdict


def test_keys_left_blank_are_not_given(pack):
    head = "case: t-1\nvehicle: {type: coach, axle_ratio: , tire: , trailer: ~}\n"
    body = "symptoms:\ninspections:\nwork_done:\nreadings:\nconfirmed:\nreported:\ntitle:\n"
    case = read(pack, body, head)
    assert case == read(pack, "", "case: t-1\nvehicle: {type: coach}\n")


def test_an_old_minimal_file_loads(pack):
    """The least a file of schema 1 ever had to hold."""
    case = read(pack, "symptoms: [sensation.hop]\n", "case: old\nvehicle: {type: motorhome}\n")
    assert case.answers[0].symptom == "sensation.hop"
    assert case.vehicle.duty == "private"
    assert (case.vehicle.tire, case.speed, case.confirmed) == (None, None, None)


def test_a_file_and_standard_input_are_the_same_case(pack, tmp_path):
    file = tmp_path / "c.yaml"
    file.write_text(FULL, encoding="utf-8")
    case = read_case(file, pack)
    assert case.path == str(file)
    assert case.with_changes(path="-") == read_case_bytes(FULL.encode(), pack)


VEHICLES = {
    "{}": 'vehicle.type: the key "type" is missing',
    "coach": 'vehicle: "coach" does not fit; allowed: a mapping',
    "{type: linehaul}": 'did you mean "linehaul_tractor"?',
    "{type: [coach]}": "vehicle.type: a list does not fit; allowed: text",
    "{type: coach, tyre: 11R22.5}": 'unknown key "tyre"; allowed: type, tire, axle_ratio',
    "{type: coach, axle_ratio: 0.5}": '"0.5" does not fit; allowed: above 1.2',
    "{type: coach, axle_ratio: 3.36 to 1}": "does not fit; allowed: a number",
    "{type: coach, cylinders: 6.5}": "does not fit; allowed: a whole number",
    "{type: coach, duty: linehaul}": 'did you mean "line_haul"?',
    "{type: coach, wheel: aluminium}": 'did you mean "aluminum_disc"?',
    "{type: coach, trailer: maybe}": "does not fit; allowed: yes or no",
    "{type: coach, engine_rpm: 90000}": "does not fit; allowed: below 6000",
    "{type: coach, tire: 999/99R99}": "would be 4.49 m across, which no road tire is; allowed: ",
    "{type: coach, tire: 4000/90R22.5}": "is not a tire size",
    "{type: coach, tire: banana}": '"banana" is not a tire size',
    "{type: coach, tire: 13R22.5}": "is an inch size that is not in the table",
    "{type: coach, tire: 295/75R2.5}": 'did you mean "295/75R22.5"?',
    "{type: coach, tire: 11-22.5}": 'did you mean "11R22.5"?',
}  # fmt: skip


@pytest.mark.parametrize("written", VEHICLES)
def test_a_vehicle_that_is_refused(pack, written):
    found = problem(pack, "", f"case: t\nvehicle: {written}\n")
    assert found.startswith("2:")
    assert VEHICLES[written] in found


def test_a_wrong_spelling_of_a_tire_key_points_to_the_right_one(pack):
    found = problem(pack, "", "case: t\nvehicle: {type: coach, tyre: 11R22.5}\n")
    assert found.endswith('did you mean "tire"?')


@pytest.mark.parametrize(
    ("written", "tire"),
    [
        ("275/80R22.5", "275/80R22.5"),
        ("295/75 r 22,5 (H)", "295/75R22.5"),
        ("11r22.5 load range G", "11R22.5"),
        ("315/80R22.5 156/150 L", "315/80R22.5"),
        ("lt225/75r16", "LT225/75R16"),
        ("35X12.50R17", "35X12.50R17"),
    ],
)
def test_tire_sizes_as_people_write_them(pack, written, tire):
    case = read(pack, "", f'case: t\nvehicle: {{type: coach, tire: "{written}"}}\n')
    assert case.vehicle.tire == tire


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("symptom: {}", '"symptom"; allowed: case, vehicle,'),
        ("symptom: {}", 'did you mean "symptoms"?'),
        ("symptoms: hop", '"hop" does not fit; allowed: a mapping of keys to values or a list'),
        ("title: [a, b]", "title: a list does not fit; allowed: text"),
        ("demo: perhaps", '"perhaps" does not fit; allowed: yes or no'),
        ("reported: 12/04/2031", "is not a date; allowed: year-month-day as 2031-04-12"),
        ("reported: 2031-02-30", '"2031-02-30" is not a date'),
        ("work_done: [balanced]", 'work_done[0]: "balanced" does not fit; allowed: a mapping'),
        ("work_done: [{what: balance}]", 'did you mean "balanced"?'),
        ("work_done: [{what: balanced, result: nothing}]", 'did you mean "no_change"?'),
        ("work_done: [{what: balanced, where: tag}]", "has no tag axle"),
        ("work_done: [{what: balanced, when: spring}]", '"spring" is not a date'),
        ("confirmed: {causes: [{id: off_center}], by: x}", 'did you mean "off_center_mounting"?'),
        ("confirmed: {causes: [{id: imbalance, place: tag}], by: x}", "has no tag axle"),
        ("confirmed: {causes: []}", 'confirmed.by: the key "by" is missing'),
    ],
)
def test_what_else_is_refused(pack, line, expected):
    found = problem(pack, line + "\n")
    assert found.startswith("3:")
    assert expected in found


@pytest.mark.parametrize("text", ["- a\n", "hello\n", "---\n"])
def test_what_is_no_case_at_all(pack, text):
    assert "a case is a mapping" in problem(pack, "", text)


def test_a_case_id_without_blanks(pack):
    found = problem(pack, "", "case: my case\nvehicle: {type: coach}\n")
    assert "letters, digits, dots and hyphens, without blanks" in found


# Inspections


def done(pack, entry: str, head: str | None = None) -> tuple[InspectionDone, ...]:
    body = f"inspections:\n  - {entry}\n"
    return (read(pack, body) if head is None else read(pack, body, head)).inspections


@pytest.mark.parametrize(
    ("result", "outcome", "values"),
    [
        ("found", "found", {}),
        ("yes", "found", {}),
        ("clear", "clear", {}),
        ("OK", "clear", {}),
        ("none", "clear", {}),
        ("skipped", "skipped", {}),
        ("{tir_in: 0.110}", None, {"tir_in": 0.110}),
        ("{tir_in: 0.110 in}", None, {"tir_in": 0.110}),
        ("{tir_mm: 2.794}", None, {"tir_in": pytest.approx(0.110)}),  # 1 in = 25.4 mm
        ("{outcome: found, tir_in: 0.2}", "found", {"tir_in": 0.2}),
    ],
)
def test_results_as_people_write_them(pack, result, outcome, values):
    (one,) = done(pack, f"{{id: tread-runout, place: steer_left, result: {result}}}")
    assert (one.outcome, one.values, str(one.place)) == (outcome, values, "steer_left")


def test_all_stands_for_every_axle_where_the_check_is_done(pack):
    nuts = done(pack, "{id: wheel-nut-check, place: all, result: clear}")
    assert [str(d.place) for d in nuts] == ["steer", "drive", "trailer"]
    duals = done(pack, "{id: dual-match, place: ALL, result: clear}")
    assert [str(d.place) for d in duals] == ["drive", "trailer"]
    alone = "case: t\nvehicle: {type: linehaul_tractor, trailer: no}\n"
    nuts = done(pack, "{id: wheel-nut-check, place: all, result: clear}", alone)
    assert [str(d.place) for d in nuts] == ["steer", "drive"]


def test_a_check_of_the_whole_vehicle_needs_no_place(pack):
    assert done(pack, "{id: joint-play, result: clear}")[0].place is None


@pytest.mark.parametrize(
    ("entry", "expected"),
    [
        ("{id: thread-runout, place: steer, result: clear}", 'did you mean "tread-runout"?'),
        ("{id: tread-runout, result: clear}", "needs a place, such as steer_left, or all"),
        ("{id: tread-runout, place: tag, result: clear}", "has no tag axle"),
        ("{id: dual-match, place: steer, result: clear}", "is not done at the steer axle"),
        ("{id: tread-runout, place: steer}", 'the key "result" is missing'),
        ("{id: tread-runout, place: steer, result: }", '"" is not a known result'),
        ("{id: tread-runout, place: steer, result: {}}", "no result is given"),
        ("{id: tread-runout, place: steer, result: perhaps}", '"perhaps" is not a known result'),
        ("{id: tread-runout, place: steer, result: [a]}", "allowed: text or a mapping"),
        ("{id: tread-runout, place: steer, result: {tirr_in: 1}}", 'did you mean "tir_in"?'),
        ("{id: tread-runout, place: steer, result: {tir_in: 110}}", "are the units right?"),
        ("{id: tread-runout, place: steer, result: {tir_in: nan}}", "nan is outside"),
        ("{id: tread-runout, place: steer, result: {tir_in: 1, tir_mm: 2}}", "given twice"),
        ("{id: tread-runout, place: steer, result: clear, date: today}", "is not a date"),
    ],
)
def test_inspections_that_are_refused(pack, entry, expected):
    found = problem(pack, f"inspections:\n  - {entry}\n")
    assert found.startswith("4:")
    assert expected in found


@pytest.mark.parametrize("clear_at", ["steer_left", "steer", "all"])
@pytest.mark.parametrize("turned", [False, True])
def test_found_and_clear_at_the_same_wheel_is_refused(pack, clear_at, turned):
    entries = [
        f"  - {{id: wheel-nut-check, place: {clear_at}, result: clear}}\n",
        "  - {id: wheel-nut-check, place: steer_left, result: found}\n",
    ]
    body = "inspections:\n" + "".join(entries[::-1] if turned else entries)
    assert all("as found and as clear" in text for text in problems(pack, body))


def test_found_on_the_axle_and_clear_at_one_wheel_is_no_contradiction(pack):
    body = """inspections:
  - {id: wheel-nut-check, place: steer, result: found}
  - {id: wheel-nut-check, place: steer_left, result: clear}
"""
    assert len(read(pack, body).inspections) == 2


def test_a_trailer_that_is_not_there_has_no_wheels(pack):
    head = "case: t\nvehicle: {type: linehaul_tractor, trailer: no}\n"
    found = problem(pack, "symptoms:\n  wear: {trailer_left: cupping}\n", head)
    assert "has no trailer axle" in found


# All in one go

BAD = """\
case: bad
vehicle: {type: linehaul_tractor, tyre: 295/75R22.5, tire: 999/99R99, axle_ratio: -3, wheel: gold}
reported: yesterday
symptom: {}
title: [a]
symptoms:
  sensation: [hopp]
  speed: {low_mph: 900, high_mph: 55}
  wear: {tag_left: cupping}
work_done: [{what: balanced, result: nothing}]
inspections:
  - {id: tread-runout, place: steer, result: {tir: 0.1}}
  - {id: no-such-check, place: steer, result: clear}
confirmed: {causes: [{id: gremlin}], by: x}
"""


def test_all_problems_of_a_file_in_one_go(pack):
    found = problems(pack, "", BAD)
    assert [text.split(":")[0] for text in found] == [
        "2", "2", "2", "2", "3", "4", "5", "7", "8", "9", "10", "12", "13", "14",
    ]  # fmt: skip
    fields = [text.split(": ")[1] for text in found]
    assert fields[:4] == ["vehicle.tyre", "vehicle.tire", "vehicle.axle_ratio", "vehicle.wheel"]
    assert fields[-1] == "confirmed.causes[0].id"


def test_problems_name_file_line_column_and_field(pack):
    with pytest.raises(InputProblems) as caught:
        read(pack, "symptoms:\n  sensation: [hopp]\n")
    assert str(caught.value).startswith("c.yaml:4:3: symptoms.sensation: ")


def test_a_missing_vehicle_does_not_hide_the_other_problems(pack):
    found = problems(pack, "symptoms:\n  sensation: hopp\n", "case: t\n")
    assert [text.split(": ")[1] for text in found] == ["vehicle", "symptoms.sensation"]


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("steer", Place("steer")),
        ("Drive_Left", Place("drive", "left")),
        ("trailer-right-outer", Place("trailer", "right", "outer")),
        ("tag_inner", Place("tag", "", "inner")),
        ("front_left", None),
        ("steer_left_left", None),
        ("", None),
    ],
)
def test_places(text, place):
    assert parse_place(text) == place
    if place and place.side:
        assert parse_place(str(place)) == place
