"""Readings as written down: closing, wrapped, missing, repeated, out of order."""

import math

import numpy as np
import pytest

from advisor.physics.dial import CLOSURE_TIR_JUMP, CLOSURE_TIR_STEADY, tidy_readings
from advisor.physics.problem import PhysicsError
from advisor.physics.runout import fit_runout

ROUND = np.radians(np.arange(0, 361, 30))  # 13 readings, the last back at the start


def kinds(tidy):
    return [flaw.kind for flaw in tidy.flaws]


def test_a_clean_turn_passes_and_its_closing_reading_is_kept_apart():
    tidy = tidy_readings(ROUND, np.cos(ROUND))
    assert kinds(tidy) == []
    assert tidy.closure_m == pytest.approx(0, abs=1e-12)
    assert len(tidy.angle_rad) == 12


@pytest.mark.parametrize("turn", [lambda a: a[::-1], lambda a: np.roll(a[:-1], 5)])
def test_backward_or_started_elsewhere_is_still_in_order(turn):
    angle = turn(ROUND)
    tidy = tidy_readings(angle, np.cos(angle))
    assert kinds(tidy) == []
    np.testing.assert_allclose(tidy.reading_m, np.cos(tidy.angle_rad), atol=1e-12)
    assert (np.diff(tidy.angle_rad) > 0).all()


def test_a_turn_that_does_not_close_is_named():
    drift = 1e-4 * ROUND / (2 * math.pi)
    tidy = tidy_readings(ROUND, 2e-4 * np.cos(ROUND) + drift, reading_sd_m=1e-5)
    assert tidy.closure_m == pytest.approx(1e-4)
    assert kinds(tidy) == ["closure"]
    assert kinds(tidy_readings(ROUND, 2e-4 * np.cos(ROUND) + drift, reading_sd_m=1e-4)) == []
    assert kinds(tidy_readings(ROUND, 2e-4 * np.cos(ROUND) + drift)) == ["closure"]


@pytest.mark.parametrize(("errors", "named"), [(4.2, []), (4.3, ["closure"])])
def test_a_closing_reading_differs_by_two_reading_errors(errors, named):
    """Of two equal errors the difference has sqrt(2); three of those are 4.24."""
    reading = 1e-3 * np.cos(ROUND)
    reading[-1] += errors * 1e-5
    assert kinds(tidy_readings(ROUND, reading, reading_sd_m=1e-5)) == named


def test_a_turn_closes_wherever_it_starts():
    tidy = tidy_readings(ROUND + 0.5, np.cos(ROUND))
    assert len(tidy.angle_rad) == 12
    assert tidy.closure_m == pytest.approx(0, abs=1e-12)


def test_a_hair_before_the_mark_is_the_mark():
    tidy = tidy_readings(ROUND[:-1] - 1e-12, np.cos(ROUND[:-1]))
    assert tidy.angle_rad[0] == 0.0 and tidy.reading_m[0] == 1.0


def test_closure_bounds_hold_for_creep_and_for_a_jump_anywhere():
    angle = np.linspace(0, 2 * math.pi, 2000, endpoint=False)
    creep = fit_runout(angle, angle / (2 * math.pi), highest_order=1).offset.tir_m
    assert creep == pytest.approx(CLOSURE_TIR_STEADY, rel=1e-3)
    jumps = [
        fit_runout(angle, (angle >= start) * 1.0, highest_order=1).offset.tir_m
        for start in np.linspace(0.1, 6.2, 40)
    ]
    assert max(jumps) == pytest.approx(CLOSURE_TIR_JUMP, rel=5e-3)


def test_a_wrapped_needle_is_named_and_turned_back():
    true = 0.0007 * np.cos(ROUND) + 0.0005
    shown = np.mod(true, 0.001)
    tidy = tidy_readings(ROUND, shown, dial_turn_m=0.001)
    assert kinds(tidy) == ["wrapped_needle"]
    fit = fit_runout(tidy.angle_rad, tidy.reading_m)
    assert fit.offset.amplitude_m == pytest.approx(0.0007, abs=1e-12)
    assert tidy.closure_m == pytest.approx(0, abs=1e-12)


def test_a_missed_position_is_left_out_and_named():
    reading = np.cos(ROUND)
    reading[4] = math.nan
    tidy = tidy_readings(ROUND, reading)
    assert kinds(tidy) == ["missing_reading"]
    assert len(tidy.reading_m) == 11
    with pytest.raises(PhysicsError, match="no reading"):
        tidy_readings(ROUND, np.full(13, math.nan))


def test_repeated_and_shuffled_angles_are_named_and_sorted():
    angle = np.radians([0, 90, 45, 180, 135, 270, 225, 315, 90])
    tidy = tidy_readings(angle, np.cos(angle))
    assert kinds(tidy) == ["unsorted_angles", "duplicate_angle"]
    assert (np.diff(tidy.angle_rad) >= 0).all()


def test_one_pair_read_in_the_wrong_order_is_named():
    angle = np.radians(np.arange(0, 360, 20))
    angle[[3, 4]] = angle[[4, 3]]
    assert kinds(tidy_readings(angle, np.cos(angle))) == ["unsorted_angles"]


@pytest.mark.parametrize("way", [1, -1])
def test_a_position_read_twice_is_no_wrong_order(way):
    angle = np.radians([0, 90, 90, 180, 270])[::way]
    assert kinds(tidy_readings(angle, np.cos(angle))) == ["duplicate_angle"]


def test_every_flaw_says_what_still_holds_and_what_to_measure():
    reading = np.where(ROUND > 3, 0.9, 0.0) + ROUND / 10
    reading[2] = math.nan
    tidy = tidy_readings(ROUND, reading, dial_turn_m=1.0, reading_sd_m=1e-3)
    assert set(kinds(tidy)) == {"missing_reading", "wrapped_needle", "closure"}
    assert all(flaw.what and flaw.still and flaw.remeasure for flaw in tidy.flaws)
