"""Runout readings as evidence. Every expected figure is worked out here from the parts put in."""

from __future__ import annotations

import dataclasses
import math

import pytest

from advisor.evidence.reading_result import Shop
from advisor.evidence.reading_words import clock
from advisor.evidence.runout_result import runout_result
from advisor.model.case import Vehicle
from tests.evidence.dial_data import M_PER_IN, runout, set_up

NONE = (0.0, 0.0)
TRACTOR = Vehicle("linehaul_tractor", "295/75R22.5", duty="line_haul", wheel="steel_disc", studs=10)


@pytest.fixture(scope="module")
def shop(pack):
    return Shop(TRACTOR, pack)


def found(result, check):
    return next((s.lambda1 for s in result.softs if s.symptom == f"found.{check}"), None)


def test_total_high_spot_and_limit(shop):
    """0.060 in once a turn at 118 degrees; steer limit 0.095 in, RP 214C table B (quoted)."""
    result = runout_result(runout(set_up((0.030, 118), NONE, NONE)), shop)
    numbers = result.note.numbers
    assert numbers["offset_tir_in"] == pytest.approx(0.060, abs=1e-5)
    assert numbers["high_spot_deg"] == pytest.approx(118, abs=0.1)
    assert numbers["limit_in"] == 0.095
    assert found(result, "tread-runout") < 0.05
    assert any("4 o'clock with the valve stem at 12" in line for line in result.note.lines)
    assert any("RP 214C" in line and "quoted, not read" in line for line in result.note.lines)


def test_over_the_limit_is_found_and_near_it_undecided(shop):
    over = runout_result(runout(set_up((0.065, 0), NONE, NONE)), shop)
    near = runout_result(runout(set_up((0.0475, 0), NONE, NONE)), shop)
    assert found(over, "tread-runout") == 1.0
    assert found(near, "tread-runout") == pytest.approx(0.5, abs=0.02)


@pytest.mark.parametrize(
    "degrees,said",
    [(0, "12 o'clock"), (30, "1 o'clock"), (47, "half past 1"), (120, "4 o'clock"),
     (359, "12 o'clock"), (345, "half past 11")],
)  # fmt: skip
def test_clock_words(degrees, said):
    assert clock(math.radians(degrees)) == said


def test_lobes_that_look_like_an_offset_are_named(shop):
    """Sampling: 9 positions show 8 and 10 lobes as one; with ten studs that is the bolt pattern."""
    result = runout_result(runout(set_up((0.02, 0), NONE, NONE, positions=9)), shop)
    assert {8, 10} <= set(result.note.numbers["lobes_as_offset"])
    assert any("bolt pattern" in line for line in result.note.lines)


def test_the_same_runout_in_inches_and_millimeters_is_the_same_evidence(shop):
    one = runout(set_up((0.05, 40), NONE, NONE, noise_in=0.001))
    other = dataclasses.replace(one, unit="mm")
    assert runout_result(one, shop).softs[0].lambda1 == runout_result(other, shop).softs[0].lambda1
    assert " mm " in runout_result(other, shop).note.lines[0]


def test_too_few_positions_still_show_that_it_is_over(shop):
    bad = runout(set_up((0.08, 0), NONE, NONE, positions=4))
    good = runout(set_up((0.03, 0), NONE, NONE, positions=4))
    result = runout_result(bad, shop)
    assert "4 positions" in result.note.problems[0]
    assert found(result, "tread-runout") == 1.0
    # four positions can miss the high spot: they do not clear it
    assert found(runout_result(good, shop), "tread-runout") is None


def test_readings_that_do_not_close_are_said_and_widen_the_error(shop):
    good = set_up((0.030, 0), NONE, NONE)
    angle = (*good.angle_rad, 2 * math.pi)
    shut = dataclasses.replace(good, angle_rad=angle, reading_m=(*good.reading_m, 0.030 * M_PER_IN))
    ajar = dataclasses.replace(good, angle_rad=angle, reading_m=(*good.reading_m, 0.055 * M_PER_IN))
    assert not runout_result(runout(shut), shop).note.problems
    result = runout_result(runout(ajar), shop)
    assert "differs from the first" in result.note.problems[0]
    sd = runout_result(runout(shut), shop).note.numbers["tir_sd_in"]
    assert result.note.numbers["tir_sd_in"] == pytest.approx(math.hypot(sd, 0.0125), abs=1e-5)


def test_a_wrapped_needle_is_unwrapped_and_said(shop):
    good = set_up((0.030, 0), NONE, NONE)
    wrapped = tuple((r + 0.005 * M_PER_IN) % (0.1 * M_PER_IN) for r in good.reading_m)
    reading = runout(dataclasses.replace(good, reading_m=wrapped), dial_turn_m=0.1 * M_PER_IN)
    result = runout_result(reading, shop)
    assert any("turn of the needle" in p for p in result.note.problems)
    assert result.note.numbers["tir_in"] == pytest.approx(0.060, abs=1e-4)


def test_a_single_dip_is_no_smooth_low(shop):
    flat = set_up(NONE, NONE, NONE)
    readings = tuple(-0.06 * M_PER_IN if k == 3 else 0.0 for k in range(12))
    result = runout_result(runout(dataclasses.replace(flat, reading_m=readings)), shop)
    assert any("sudden dip" in p and "3 o'clock" in p for p in result.note.problems)
    smooth = runout_result(runout(set_up((0.03, 90), NONE, NONE)), shop)
    assert not smooth.note.problems


def re_indexed(hub, wheel, tire, *turns, noise=0.001, **more):
    """As found, then each (wheel turn, tire turn)."""
    all_turns = [(0, 0), *turns]
    return runout(
        *(
            set_up(hub, wheel, tire, wheel_turn=w, tire_turn=t, noise_in=noise, seed=n)
            for n, (w, t) in enumerate(all_turns)
        ),
        **more,
    )


@pytest.mark.parametrize(
    "hub,wheel,tire,stays",
    [((0.06, 70), (0.005, 10), (0.008, 200), True), ((0.006, 70), NONE, (0.06, 200), False)],
)
def test_half_a_turn_tells_mounting_from_part(shop, hub, wheel, tire, stays):
    result = runout_result(re_indexed(hub, wheel, tire, (180, 0)), shop)
    p = found(result, "reindex-wheel")
    assert p > 0.95 if stays else p < 0.05
    parts = result.note.numbers["parts"]
    assert parts["hub"]["tir_in"] == pytest.approx(2 * hub[0], abs=0.004)
    assert parts["hub"]["high_spot_deg"] == pytest.approx(hub[1], abs=15 if stays else 60)


def test_recovery_is_exact_without_noise_whichever_part_is_counted_from(shop):
    hub, wheel, tire = (0.021, 33), (0.013, 140), (0.034, 275)
    turns = [(0, 0), (144, 0), (0, 108)]
    for from_valve, counted in ((True, "valve"), (False, "stud")):
        made = [set_up(hub, wheel, tire, wheel_turn=w, tire_turn=t, from_valve=from_valve)
                for w, t in turns]  # fmt: skip
        numbers = runout_result(runout(*made, counted_from=counted), shop).note.numbers["parts"]
        for name, (size, at) in {"hub": hub, "wheel": wheel, "tire": tire}.items():
            assert numbers[name]["tir_in"] == pytest.approx(2 * size, abs=1e-5), counted
            assert numbers[name]["high_spot_deg"] == pytest.approx(at, abs=0.1)


def test_rotating_all_positions_rotates_the_answer_and_moves_no_evidence(shop):
    one = re_indexed((0.05, 70), NONE, (0.02, 200), (180, 0), noise=0)
    moved = dataclasses.replace(
        one,
        set_ups=tuple(
            dataclasses.replace(s, angle_rad=tuple(a + math.radians(25) for a in s.angle_rad))
            for s in one.set_ups
        ),
    )
    a, b = (runout_result(r, shop) for r in (one, moved))
    assert b.note.numbers["high_spot_deg"] == pytest.approx(a.note.numbers["high_spot_deg"] + 25)
    assert [s.lambda1 for s in b.softs] == pytest.approx([s.lambda1 for s in a.softs], abs=1e-6)


def test_a_constant_on_every_reading_changes_nothing(shop):
    one = re_indexed((0.05, 70), NONE, (0.02, 200), (180, 0))
    shifted = dataclasses.replace(
        one,
        set_ups=tuple(
            dataclasses.replace(s, reading_m=tuple(r + 0.001 for r in s.reading_m))
            for s in one.set_ups
        ),
    )
    a, b = runout_result(one, shop), runout_result(shifted, shop)
    assert [s.lambda1 for s in a.softs] == pytest.approx([s.lambda1 for s in b.softs], abs=1e-9)


def test_one_stud_of_ten_is_too_little(shop):
    """Error gain sqrt(2) / (2 sin 18 deg) = 2.29 by hand."""
    result = runout_result(re_indexed((0.05, 0), NONE, (0.02, 90), (36, 0)), shop)
    assert any("2.3 times" in p and "5 of 10 studs" in p for p in result.note.problems)
    good = runout_result(re_indexed((0.05, 0), NONE, (0.02, 90), (180, 0)), shop)
    assert not good.note.problems


def test_two_readings_mounted_alike_that_differ_say_seating(shop):
    first, second = set_up((0.04, 0), NONE, NONE), set_up((0.03, 90), NONE, NONE)
    result = runout_result(runout(first, second), shop)
    assert result.note.numbers["seating"] is True
    assert found(result, "reindex-wheel") > 0.95
    alike = runout_result(runout(first, first), shop)
    assert alike.note.numbers["seating"] is False
    assert found(alike, "reindex-wheel") is None


def test_small_parts_count_little_whoever_is_larger(shop):
    small = runout_result(re_indexed((0.010, 0), NONE, (0.001, 0), (180, 0)), shop)
    assert found(small, "reindex-wheel") == pytest.approx(0.5, abs=0.02)
    assert any("counts little" in line for line in small.note.lines)


def test_turning_the_tire_tells_it_from_the_wheel(shop):
    on_tire = re_indexed(NONE, (0.01, 0), (0.06, 90), (180, 0), (0, 180))
    on_wheel = re_indexed(NONE, (0.06, 0), (0.01, 90), (180, 0), (0, 180))
    assert found(runout_result(on_tire, shop), "reindex-tire") > 0.95
    assert found(runout_result(on_wheel, shop), "reindex-tire") < 0.05


def test_sideways_readings_speak_about_tilt_not_about_centering(shop):
    reading = re_indexed((0.06, 0), (0.01, 90), NONE, (180, 0), of="wheel_face")
    result = runout_result(reading, shop)
    assert found(result, "reindex-wheel-sideways") > 0.95
    assert found(result, "lateral-runout") > 0.95
    assert found(result, "reindex-wheel") is None


def test_match_mounting_against_the_law_of_cosines(shop):
    """Wheel 12 at 30 degrees, tire 18 at 100 (thousandths, total): best leaves 6, half a turn
    sqrt(12^2 + 18^2 - 2*12*18*cos 70) = 18.0 by hand."""
    reading = re_indexed(NONE, (0.006, 30), (0.009, 100), (180, 0), (0, 180), noise=0)
    numbers = runout_result(reading, shop).note.numbers["match_mounting"]
    assert numbers["turn_deg"] == pytest.approx(110, abs=0.1)
    assert numbers["left_tir_in"] == pytest.approx(0.006, abs=1e-5)
    by_hand = math.sqrt(12**2 + 18**2 - 2 * 12 * 18 * math.cos(math.radians(70))) / 1000
    assert numbers["half_turn_rule_tir_in"] == pytest.approx(by_hand, abs=1e-4)


@pytest.mark.parametrize(
    "of,check",
    [("rim", "rim-runout"), ("bead_seat_outer", "bare-wheel-runout"), ("hub_pilot", "pilot-check"),
     ("drum", "drum-runout"), ("rim_side", "lateral-runout")],
)  # fmt: skip
def test_each_place_of_the_dial_enters_its_check(shop, of, check):
    result = runout_result(runout(set_up((0.1, 0), NONE, NONE), of=of), shop)
    assert found(result, check) == 1.0
    assert result.note.cautions


def test_sidewall_has_a_limit_but_moves_nothing(shop):
    result = runout_result(runout(set_up((0.1, 0), NONE, NONE), of="sidewall"), shop)
    assert result.note.numbers["limit_in"] == 0.095
    assert result.softs == ()


def test_a_face_no_limit_is_known_for_is_told_and_moves_nothing(shop):
    result = runout_result(runout(set_up((0.1, 0), NONE, NONE), of="hub_face"), shop)
    assert "0.200 in" in result.note.lines[0] and "no limit is known" in result.note.lines[0]
    assert result.softs == ()


def test_a_spot_that_is_lost_in_the_error_is_not_chalked(shop):
    """0.001 in half the total, read to 0.010 in: no position is given."""
    lost = runout(set_up((0.001, 40), NONE, NONE), reading_sd_m=0.010 * M_PER_IN)
    lines = runout_result(lost, shop).note.lines
    assert any("cannot be told from reading error" in line for line in lines)
    assert not any("Chalk" in line for line in lines)


def test_a_turn_that_gains_less_than_the_error_is_not_advised(shop):
    """Wheel and tire 0.001 in each, read to 0.010 in."""
    turned = runout(
        set_up(NONE, (0.001, 0), (0.001, 0)),
        set_up(NONE, (0.001, 0), (0.001, 0), wheel_turn=180),
        set_up(NONE, (0.001, 0), (0.001, 0), tire_turn=180),
        reading_sd_m=0.010 * M_PER_IN,
    )
    lines = runout_result(turned, shop).note.lines
    assert not any("rule of thumb" in line for line in lines)
    assert any("no more than reading error" in line for line in lines)


def test_a_shape_that_makes_up_much_of_it_is_named(shop):
    """0.020 in twice a turn, high at 40 and 220 degrees, on 0.010 in once a turn."""
    plain = set_up((0.010, 0), NONE, NONE)
    oval = [0.020 * math.cos(2 * (a - math.radians(40))) * M_PER_IN for a in plain.angle_rad]
    read = tuple(r + o for r, o in zip(plain.reading_m, oval, strict=True))
    result = runout_result(runout(dataclasses.replace(plain, reading_m=read)), shop)
    (line,) = [line for line in result.note.lines if "of it is" in line]
    assert line.startswith("0.040 in of it is oval")
    assert "half past 1" in line or "half past 7" in line  # either high will do
