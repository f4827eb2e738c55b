"""What a case says, as evidence: unknown is not no, order is nothing, numbers act as expected."""

from __future__ import annotations

import random
import shutil

import numpy as np
import pytest

from advisor.assessment import Assessment
from advisor.evidence.findings import gather
from advisor.evidence.results import MOST_CERTAIN, probability_over
from advisor.model.pack import Limit, Measure, Pack
from advisor.pipeline import assess, rank
from advisor.report.as_json import render_json
from advisor.rulebook.load import load_folder
from tests.conftest import ROOT
from tests.intake.reading import HEAD, read

TELLING = """\
symptoms:
  sensation: {hop: yes, shimmy: no, buzz: no}
  felt_at: [rear]
  speed: {low_mph: 42, high_mph: 62}
  wear: {drive_left: [cupping], drive_right: none}
  growth: slowly
work_done:
  - {what: balanced, when: 2031-01-04, result: no_change}
  - {what: rotated, when: 2031-02-04, result: better}
inspections:
  - {id: tread-runout, place: drive_left, result: {tir_in: 0.150}}
  - {id: tread-runout, place: drive_right, result: {tir_in: 0.040}}
  - {id: bearing-play, place: drive_left, result: clear}
"""


def weigh(pack: Pack, body: str, head: str = HEAD) -> Assessment:
    return assess(read(pack, body, head), pack)


def cause(pack: Pack, body: str, head: str = HEAD) -> dict[str, float]:
    return dict(weigh(pack, body, head).now.cause)


def say(text: str) -> str:
    return f"symptoms:\n  {text}\n"


def at_places(assessed: Assessment, cause_id: str) -> dict[str, float]:
    network = assessed.network
    return {
        str(place): float(assessed.now.state[i])
        for i, place in enumerate(network.place)
        if network.nodes[network.state_node[i]].cause == cause_id
    }


# Unknown, order, repetition


@pytest.mark.parametrize("said", ["unknown", "'?'", "", "not asked"])
def test_unknown_changes_nothing(pack, said):
    told = f"sensation: {{hop: yes, shimmy: {said}, buzz: {said}}}"
    assert cause(pack, say(told)) == cause(pack, say("sensation: [hop]"))
    assert cause(pack, say(f"sensation: {{hop: {said}}}")) == cause(pack, "")


def test_no_is_not_unknown(pack):
    assert cause(pack, say("sensation: {hop: no}")) != cause(pack, "")


def test_a_skipped_inspection_changes_nothing(pack):
    body = "inspections:\n  - {id: tread-runout, place: steer, result: skipped}\n"
    assert cause(pack, body) == pytest.approx(cause(pack, ""), abs=1e-12)


@pytest.mark.parametrize("seed", range(2))
def test_the_order_of_everything_changes_nothing_to_the_last_byte(pack, seed):
    """Answers, inspections and work shuffled; the report is the same, byte for byte."""
    case = read(pack, TELLING)
    rng = random.Random(seed)
    mixed = case.with_changes(
        **{
            name: tuple(rng.sample(getattr(case, name), len(getattr(case, name))))
            for name in ("answers", "inspections", "work_done")
        }
    )
    assert mixed != case
    assert render_json(rank(mixed, pack)) == render_json(rank(case, pack))


def test_the_order_of_keys_in_a_file_changes_nothing(pack):
    blocks = TELLING.split("\nwork_done")[0].splitlines()
    turned = (
        "\n".join([blocks[0], *blocks[:0:-1]]) + "\nwork_done" + TELLING.split("\nwork_done")[1]
    )
    assert turned != TELLING
    assert read(pack, turned) == read(pack, TELLING)


def test_names_and_order_of_rule_files_change_nothing(pack, tmp_path):
    copy = tmp_path / "rules"
    shutil.copytree(ROOT / "rules", copy)
    files = sorted((copy / "evidence").rglob("*.yaml"))
    for number, file in enumerate(reversed(files)):
        file.rename(file.with_name(f"{number:03d}.yaml"))
    renamed = load_folder(copy).pack
    assert renamed.rules == pack.rules
    assert cause(renamed, TELLING) == cause(pack, TELLING)


def test_the_same_thing_twice_is_not_double_proof(pack):
    once = "  - {id: tread-runout, place: steer_left, result: {tir_in: 0.150}}\n"
    found = "  - {id: bearing-play, place: steer_left, result: found}\n"
    assert cause(pack, "inspections:\n" + once + found) == cause(
        pack, "inspections:\n" + once + found + once + found
    )
    assert cause(pack, say("sensation: [hop]")) == cause(
        pack, "symptoms:\n  - sensation.hop\n  - sensation: [hop, hop]\n"
    )


def test_two_readings_of_one_wheel_count_alike_in_either_order(pack):
    one = "  - {id: tread-runout, place: steer_left, result: {tir_in: 0.150}}\n"
    two = "  - {id: tread-runout, place: steer_left, result: {tir_in: 0.100}}\n"
    assert cause(pack, "inspections:\n" + one + two) == cause(pack, "inspections:\n" + two + one)


# Places


def test_both_sides_are_one_finding_about_the_axle(pack):
    both = weigh(pack, say("wear: {steer_left: cupping, steer_right: cupping}"))
    axle = weigh(pack, say("wear: {steer: cupping}"))
    assert [str(f.place) for f in both.findings if f.symptom == "wear.cupping"] == ["steer"]
    assert both.now.cause == axle.now.cause


@pytest.mark.parametrize("result", ["found", "clear"])
def test_a_check_with_the_same_result_on_both_sides_is_about_the_axle(pack, result):
    sides = "".join(
        f"  - {{id: bearing-play, place: steer_{side}, result: {result}}}\n"
        for side in ("left", "right")
    )
    axle = f"  - {{id: bearing-play, place: steer, result: {result}}}\n"
    assert cause(pack, "inspections:\n" + sides) == pytest.approx(
        cause(pack, "inspections:\n" + axle)
    )


def test_two_loose_bearings_do_not_speak_against_bearings(pack):
    left = "  - {id: bearing-play, place: steer_left, result: found}\n"
    one = cause(pack, "inspections:\n" + left)
    two = cause(pack, "inspections:\n" + left + left.replace("left", "right"))
    assert two["wheel_bearing"] > one["wheel_bearing"]


def test_two_tires_over_the_limit_do_not_speak_for_nothing_wrong(pack):
    """Runout on both sides needs no cause beyond runout."""
    left = "  - {id: tread-runout, place: steer_left, result: {tir_in: 0.150}}\n"
    both = cause(pack, "inspections:\n" + left + left.replace("left", "right"))
    one = cause(pack, "inspections:\n" + left)
    assert both["out_of_round_tire"] > one["out_of_round_tire"]
    assert both["normal_condition"] < 1.1 * one["normal_condition"]


@pytest.mark.parametrize("side", ["left", "right"])
def test_a_finding_at_one_side_moves_that_side(pack, side):
    other = "right" if side == "left" else "left"
    body = f"inspections:\n  - {{id: tread-runout, place: drive_{side}, result: found}}\n"
    where = at_places(weigh(pack, body), "out_of_round_tire")
    assert where[f"drive_{side}"] > 5 * where[f"drive_{other}"]
    assert where[f"drive_{side}"] > where["steer"]
    clear = at_places(weigh(pack, body.replace("found", "clear")), "out_of_round_tire")
    assert clear[f"drive_{side}"] < clear[f"drive_{other}"]


def test_left_and_right_are_mirror_images(pack):
    left = weigh(pack, say("wear: {steer_left: cupping}"))
    right = weigh(pack, say("wear: {steer_right: cupping}"))
    assert left.now.cause == pytest.approx(right.now.cause)
    mirrored = {k.replace("left", "right"): v for k, v in at_places(left, "imbalance").items()
                if k != "steer_right"}  # fmt: skip
    seen = at_places(right, "imbalance")
    assert {k: seen[k] for k in mirrored} == pytest.approx(mirrored)


def test_inner_and_outer_are_told_apart_only_where_somebody_did(pack):
    plain = at_places(weigh(pack, say("wear: {drive_left: cupping}")), "imbalance")
    finer = at_places(weigh(pack, say("wear: {drive_left_inner: cupping}")), "imbalance")
    assert {"drive_left", "drive_right", "steer"} <= set(plain)
    assert {"drive_left_inner", "drive_left_outer", "drive_right_inner"} <= set(finer)
    assert finer["drive_left_inner"] == max(v for k, v in finer.items() if k.startswith("drive"))


def test_an_axle_the_vehicle_does_not_have_is_not_in_the_network(pack):
    alone = "case: t\nvehicle: {type: linehaul_tractor, trailer: no}\n"
    groups = {node.group for node in weigh(pack, "", alone).network.nodes}
    assert groups == {"steer", "drive", None}


# Rules


def only(pack: Pack, *rules: dict) -> Pack:
    """The pack with made rules only, built on one of its own."""
    base = pack.rules[0]
    made = [base.model_copy(update={"otherwise": None, "id": f"r{i}", **rule})
            for i, rule in enumerate(rules)]  # fmt: skip
    return pack.model_copy(update={"rules": tuple(made)})


def link_of(pack: Pack, cause_id: str, symptom: str = "sensation.hop", group: str = "steer"):
    assessed = weigh(pack, say(f"{symptom}: yes"))
    finding = next(f for f in assessed.findings if f.symptom == symptom)
    for index, node in enumerate(assessed.network.nodes):
        if node.cause == cause_id and node.group in (group, None):
            return float(finding.link[assessed.network.first_state[index]])
    raise AssertionError(f"no node for {cause_id}")


def given(pack: Pack, **context):
    return type(pack.rules[0].given)(**context)


def test_a_family_stands_for_all_its_causes(pack):
    rule = {"symptom": "sensation.hop", "given": given(pack),
            "shows": {"usually": ["radial_runout_type_1"]}}  # fmt: skip
    made = only(pack, rule)
    members = pack.causes_named("radial_runout_type_1")
    assert len(members) == 4
    for member in members:
        assert link_of(made, member) == pack.info.scale["usually"]
    assert link_of(made, "imbalance") == 0


@pytest.mark.parametrize("turned", [False, True])
def test_a_cause_named_itself_beats_its_family(pack, turned):
    rules = [
        {"symptom": "sensation.hop", "given": given(pack), "shows": {"usually": ["fitment_fault"]}},
        {
            "symptom": "sensation.hop",
            "given": given(pack),
            "shows": {"seldom": ["loose_fastening"]},
        },
    ]
    made = only(pack, *(rules[::-1] if turned else rules))
    assert link_of(made, "loose_fastening") == pack.info.scale["seldom"]
    assert link_of(made, "wrong_or_mixed_parts") == pack.info.scale["usually"]


@pytest.mark.parametrize("turned", [False, True])
def test_a_rule_for_a_narrower_context_beats_a_general_one(pack, turned):
    rules = [
        {"symptom": "sensation.hop", "given": given(pack), "shows": {"often": ["flat_spot"]}},
        {"symptom": "sensation.hop", "given": given(pack, place=["steer"]),
         "shows": {"rarely": ["flat_spot"]}},
        {"symptom": "sensation.hop", "given": given(pack, vehicle=["coach"]),
         "shows": {"usually": ["flat_spot"]}},
    ]  # fmt: skip
    made = only(pack, *(rules[::-1] if turned else rules))
    assert link_of(made, "flat_spot", group="steer") == pack.info.scale["rarely"]
    assert link_of(made, "flat_spot", group="drive") == pack.info.scale["often"]


def test_a_retired_rule_is_silent(pack):
    rule = {"symptom": "sensation.hop", "given": given(pack), "shows": {"usually": ["flat_spot"]},
            "status": "retired"}  # fmt: skip
    assert link_of(only(pack, rule), "flat_spot") == 0


def test_one_value_of_an_exclusive_key_speaks_against_the_others_at_half_strength(pack):
    findings = gather(read(pack, say("growth: slowly")), pack).findings
    implied = {f.symptom: f for f in findings if f.implied}
    assert set(implied) == {"growth.within_days", "growth.steady"}
    assert {f.kind for f in implied.values()} == {"absent"}
    assert {f.power for f in implied.values()} == {0.5}
    assert {f.from_symptom for f in implied.values()} == {"growth.slowly"}
    several = gather(read(pack, say("sensation: [hop]")), pack).findings
    assert not any(f.implied for f in several)


@pytest.mark.parametrize(
    ("speed", "yes", "no"),
    [
        ("low_mph: 25", "felt_below_30", "only_above_45"),
        ("low_mph: 30", "felt_below_30", "only_above_45"),
        ("low_mph: 33", "", "only_above_45"),
        ("low_mph: 42", "", "felt_below_30"),
        ("low_mph: 50", "only_above_45", "felt_below_30"),
        ("low_mph: 50, high_mph: 60", "only_above_45 narrow_band", "felt_below_30"),
        ("low_mph: 50, high_mph: 66", "only_above_45", "felt_below_30"),
        ("low_mph: 45, high_mph: 70", "only_above_45", "felt_below_30 narrow_band"),
        ("high_mph: 60", "", ""),
    ],
)
def test_symptoms_that_follow_from_the_speeds(pack, speed, yes, no):
    """The gray zone between a limit and `absent_beyond` stays unknown."""
    findings = gather(read(pack, say(f"speed: {{{speed}}}")), pack).findings
    made = {f.symptom.partition(".")[2]: f.kind for f in findings if "speed_range" in f.symptom}
    assert {k for k, kind in made.items() if kind == "present"} == set(yes.split())
    assert {k for k, kind in made.items() if kind == "absent"} == set(no.split())


def test_what_was_answered_wins_over_what_would_follow(pack):
    body = "symptoms:\n  speed: {low_mph: 25}\n  speed_range.felt_below_30: no\n"
    findings = gather(read(pack, body), pack).findings
    assert [f.kind for f in findings if f.symptom == "speed_range.felt_below_30"] == ["absent"]


# Remedies and readings


def test_balanced_without_change_points_past_imbalance(pack):
    """Published and common: 'balanced off-vehicle, still shakes' -> drum or hub, off-centre fit
    ('Tire and wheel balance: a lost art?', 2008); the shaft by exclusion (common practice)."""
    body = say("speed: {low_mph: 55, pattern: grows_with_speed}")
    before = cause(pack, body)
    after = cause(pack, body + "work_done: [{what: balanced, result: no_change}]\n")
    assert after["imbalance"] < 0.5 * before["imbalance"]
    for other in ("hub_or_drum_imbalance", "out_of_round_tire", "out_of_round_wheel",
                  "off_center_mounting", "driveline_imbalance"):  # fmt: skip
        assert after[other] > before[other], other


def test_balanced_and_cured_points_to_imbalance_and_better_lies_between(pack):
    results = ["no_change", "unknown", "better", "cured"]
    found = [
        cause(pack, f"work_done: [{{what: balanced, result: {result}}}]\n")["imbalance"]
        for result in results
    ]
    assert found == sorted(found)
    assert len(set(found)) == len(found)


def test_the_last_result_of_a_remedy_counts_by_date_not_by_line(pack):
    early = "  - {what: balanced, when: 2031-01-04, result: no_change}\n"
    late = "  - {what: balanced, when: 2031-03-04, result: cured}\n"
    straight = cause(pack, "work_done:\n" + early + late)
    assert straight == cause(pack, "work_done:\n" + late + early)
    assert straight == cause(pack, "work_done:\n" + late)


def test_balancing_twice_without_change_is_one_finding(pack):
    once = "  - {what: balanced, when: 2031-01-04, result: no_change}\n"
    twice = once + once.replace("01-04", "02-04")
    assert cause(pack, "work_done:\n" + once) == cause(pack, "work_done:\n" + twice)


def runout(value: float, unit: str = "in", place: str = "steer_left") -> str:
    return (
        f"inspections:\n  - {{id: tread-runout, place: {place}, result: {{tir_{unit}: {value}}}}}\n"
    )


def test_a_reading_moves_its_causes_steadily_through_the_limit(pack):
    """Steer, highway: 0.095 in (RP 214C, Table B, as reprinted)."""
    values = [0.0, 0.05, 0.09, 0.094, 0.095, 0.096, 0.1, 0.12, 0.3]
    found = [cause(pack, runout(v))["out_of_round_tire"] for v in values]
    assert found == sorted(found)
    assert found[0] < cause(pack, "")["out_of_round_tire"] < found[-1]
    assert found[4] == pytest.approx(cause(pack, "")["out_of_round_tire"], rel=1e-6)


def test_a_reading_at_the_limit_says_nothing_and_none_says_everything():
    limit = Limit(id="x", what="", value=0.095, unit="in", applies_to="", source="x",
                  seen="memory", checked_on="")  # fmt: skip
    measure = Measure(key="tir_in", what="", unit="in", repeatability=0.005,
                      repeatability_source="x")  # fmt: skip
    assert probability_over(0.095, limit, measure) == pytest.approx(0.5)
    # one standard deviation over: 0.8413 (table of the normal distribution)
    assert probability_over(0.100, limit, measure) == pytest.approx(0.8413, abs=1e-4)
    assert probability_over(0.090, limit, measure) == pytest.approx(0.1587, abs=1e-4)
    assert probability_over(9.0, limit, measure) == 1.0
    assert probability_over(0.0, limit, measure) == pytest.approx(0.0, abs=1e-9)
    both = limit.model_copy(update={"low": 0.05})
    assert probability_over(0.0, both, measure) == 1.0
    assert probability_over(0.0725, both, measure) == pytest.approx(0.0, abs=1e-4)


def test_a_reading_far_off_its_limit_is_as_good_as_a_plain_result(pack):
    """The rules know the errors of the check; the reading adds none of its own."""
    plain = "inspections:\n  - {id: tread-runout, place: steer_left, result: found}\n"
    assert cause(pack, runout(0.300)) == pytest.approx(cause(pack, plain))
    assert cause(pack, runout(0.0)) == pytest.approx(cause(pack, plain.replace("found", "clear")))
    assert 0.9 < MOST_CERTAIN < 1


def test_the_limit_fits_vehicle_axle_and_tire(pack):
    """RP 214C, Table B: steer 0.095, drive 0.125, on/off road 0.110, wide base 0.125 in."""

    def limit_in(head: str, place: str) -> str:
        findings = gather(read(pack, runout(0.118, place=place), head), pack).findings
        return next(f.says for f in findings if f.symptom == "found.tread-runout")

    tractor = "case: t\nvehicle: {type: linehaul_tractor, tire: 295/75R22.5}\n"
    dump = "case: t\nvehicle: {type: vocational_truck, tire: 11R22.5}\n"
    wide = "case: t\nvehicle: {type: linehaul_tractor, tire: 425/65R22.5}\n"
    assert "limit 0.095" in limit_in(tractor, "steer_left")
    assert "limit 0.125" in limit_in(tractor, "drive_left")
    assert "limit 0.11" in limit_in(dump, "steer_left")
    assert "limit 0.125" in limit_in(wide, "steer_left")


def test_units_change_nothing(pack):
    """1 in = 25.4 mm, 1 mile = 1.609344 km, 1 Hz = 60 a minute (naval SI table, Appendix B)."""
    assert cause(pack, runout(3.048, "mm")) == pytest.approx(cause(pack, runout(0.120)), abs=1e-9)
    mph = say("speed: {low_mph: 55, high_mph: 65}")
    kmh = say("speed: {low_kmh: 88.51392, high_kmh: 104.60736}")
    assert cause(pack, kmh) == pytest.approx(cause(pack, mph), abs=1e-9)
    hz = say("frequency: {hz: 8.4, at_mph: 60, uncertainty_hz: 0.2}")
    cpm = say("frequency: {cycles_per_minute: 504, at_kmh: 96.56064, uncertainty_hz: 0.2}")
    assert cause(pack, cpm) == pytest.approx(cause(pack, hz), abs=1e-9)


# Speeds and frequencies


def band_links(pack: Pack, low: float, high: float, head: str = HEAD) -> dict[str, float]:
    assessed = weigh(pack, say(f"speed: {{low_mph: {low}, high_mph: {high}}}"), head)
    finding = next(f for f in assessed.findings if f.symptom == "speed.band")
    first = assessed.network.first_state
    return {str(n): float(finding.link[first[i]]) for i, n in enumerate(assessed.network.nodes)}


def test_low_bands_speak_for_runout_and_high_bands_for_imbalance(pack):
    """Quarter model of a loaded steer corner (own computation, checked in tests/physics): runout
    is felt most near 60 mph and falls by 31 % from 55 to 75; imbalance rises by 29 % over the same
    span. So the ratio of the two must fall as the reported band moves up."""
    ratios = []
    for low, high in [(25, 35), (40, 50), (50, 56), (57, 63), (65, 75)]:
        links = band_links(pack, low, high)
        ratios.append(links["out_of_round_tire@steer"] / links["imbalance@steer"])
    assert ratios == sorted(ratios, reverse=True)
    assert ratios[0] > 1.2
    assert ratios[-1] < 0.75


def test_a_band_at_highway_speed_speaks_for_what_grows_with_speed(pack):
    up_there, down_there = band_links(pack, 62, 72), band_links(pack, 25, 35)
    assert up_there["imbalance@steer"] > 2 * down_there["imbalance@steer"]
    assert up_there["imbalance@steer"] > up_there["out_of_round_tire@steer"]


def test_a_shaft_needs_an_axle_ratio_to_be_compared(pack):
    without = "case: t\nvehicle: {type: linehaul_tractor, tire: 295/75R22.5}\n"
    low = band_links(pack, 25, 35, without)["driveline_imbalance"]
    assert band_links(pack, 62, 72, without)["driveline_imbalance"] == pytest.approx(low)
    assert band_links(pack, 62, 72)["driveline_imbalance"] != pytest.approx(low)


@pytest.mark.parametrize(
    ("order", "expected"),
    [(1.0, "imbalance"), (3.36, "driveline_imbalance"), (6.72, "universal_joint")],
)
def test_a_measured_frequency_points_to_the_part_that_turns_so_fast(pack, order, expected):
    """295/75R22.5: 512 turns a mile (trade table), so 9.24 Hz at 65 mph; ratio 3.36 -> 31.1 and
    62.1 Hz (own computation from the same figure)."""
    hz = order * 512 * 65 / 3600
    before = cause(pack, "")
    after = cause(pack, say(f"frequency: {{hz: {hz:.3f}, at_mph: 65, uncertainty_hz: 0.2}}"))
    gain = {
        c: after[c] / before[c] for c in ("imbalance", "driveline_imbalance", "universal_joint")
    }
    assert max(gain, key=gain.get) == expected
    assert gain[expected] > 1.2


@pytest.mark.parametrize(
    ("known", "hz"),
    [("engine_rpm: 1390", 3 * 1390 / 60), ("gear_ratio: 0.78", 3 * 0.78 * 3.36 * 512 * 65 / 3600)],
)
def test_the_firing_order_is_known_by_engine_speed_or_by_gear(pack, known, hz):
    """Six cylinders, four strokes: three firings a turn. At 65 mph, 512 wheel turns a mile."""
    head = HEAD.replace("}", f", cylinders: 6, {known}}}")
    told = say(f"frequency: {{hz: {hz:.2f}, at_mph: 65, uncertainty_hz: 0.2}}")
    before, after = cause(pack, "", head), cause(pack, told, head)
    assert after["engine_or_mounts"] > 1.2 * before["engine_or_mounts"]
    assert after["universal_joint"] < before["universal_joint"]
    assert cause(pack, told)["engine_or_mounts"] < after["engine_or_mounts"]


def test_a_frequency_without_any_speed_is_left_out(pack):
    assert cause(pack, say("frequency: {hz: 8.4}")) == cause(pack, "")


def test_a_frequency_no_part_makes_raises_none_of_these(pack):
    before = cause(pack, "")
    after = cause(pack, say("frequency: {hz: 1500, at_mph: 65, uncertainty_hz: 1}"))
    assert after["imbalance"] < before["imbalance"] * 1.01
    assert np.isfinite(list(after.values())).all()


def test_every_worked_case_gathers_finite_evidence(closed_cases):
    for name, assessed in closed_cases.items():
        for finding in assessed.findings:
            assert np.isfinite(finding.link).all(), (name, finding.key)
            assert (finding.link >= 0).all() and (finding.link < 1).all(), (name, finding.key)
            assert 0 <= finding.leak < 1


def test_links_of_many_symptoms_are_those_of_each(pack):
    assessed = weigh(pack, TELLING)
    ids = ["sensation.hop", "felt_at.seat", "growth.slowly"]
    for asked in (ids[:1], ids, ids[::-1]):  # whatever was asked for before
        links, backgrounds = assessed.links_each(asked)
        for symptom, link, background in zip(asked, links, backgrounds, strict=True):
            one, leak = assessed.links(symptom, None)
            assert np.array_equal(link, one)
            assert background == leak
