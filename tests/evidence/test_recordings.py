"""What a recording may say as evidence: the right kind of line, never more than it can."""

from dataclasses import replace

import numpy as np
import pytest

from advisor.evidence.recording_pictures import pictures_of
from advisor.evidence.recordings import drive_findings
from advisor.model.case import SpeedRange, Vehicle
from tests.evidence.recorded import RATIO, TRUCK, drive_of, fixed_mode, short_run, vertical

WHEEL, SHAFT, ENGINE, FIXED = (
    f"found.road-recording-{kind}"
    for kind in ("wheel-order", "shaft-order", "engine-order", "fixed-frequency")
)


def found_in(pack, lines, *, vehicle=TRUCK, speed=None, extra=None, seed=1, **changes):
    run = short_run(seed, **changes)
    up = vertical(run, lines)
    up = up if extra is None else up + extra(run)
    return drive_findings(drive_of(run, up), vehicle, pack, speed)


def ratios(found):
    return {soft.symptom: soft.lambda1 / soft.lambda0 for soft in found.softs}


def line(found, name):
    return next(one for one in found.lines if one.sought.name == name)


@pytest.mark.parametrize(
    ("lines", "yes", "no"),
    [
        ({1: 0.3}, WHEEL, (SHAFT, FIXED)),
        ({RATIO: 0.3, 1: 0.05}, SHAFT, (WHEEL,)),
        ({2 * RATIO: 0.2, 1: 0.05}, SHAFT, (WHEEL,)),
    ],
)
def test_the_kind_that_turns_is_found_and_the_others_are_not(pack, lines, yes, no):
    told = ratios(found_in(pack, lines))
    assert told[yes] == pytest.approx(9, rel=0.05)  # 0.9 against 0.1 of rules/recordings.yaml
    assert all(told[other] < 1 for other in no)
    # They follow in part from the line that stands out: half strength, so no less than 1/3.
    assert all(told[other] >= 1 / 3 - 1e-3 for other in no)


def test_amplitudes_of_a_run_up_are_right(pack):
    found = found_in(pack, {1: 0.3, 2: 0.1, 2 * RATIO: 0.08})
    for name, true in (("wheel order 1", 0.3), ("wheel order 2", 0.1)):
        assert line(found, name).amplitude == pytest.approx(true, rel=0.02)
    # The higher the order, the more an error of the turns smears it.
    assert line(found, "shaft order 2").amplitude == pytest.approx(0.08, rel=0.06)
    assert line(found, "wheel order 1").felt == pytest.approx(1.0)
    assert line(found, "wheel order 3").there < 0.5


def test_what_rings_at_one_pitch_is_no_order(pack):
    found = found_in(pack, {}, extra=lambda run: fixed_mode(run, 8.2, 0.3))
    told = ratios(found)
    assert found.analysis.verdict.kind == "resonance"
    assert told[FIXED] == pytest.approx(9, rel=0.05)
    # Wheel order 1 passes 8.2 Hz on the way: nothing is said about it, for or against.
    assert WHEEL not in told
    assert line(found, "wheel order 1").passes_hz == pytest.approx(8.2, abs=0.1)


def test_an_order_that_swells_says_nothing_about_a_fixed_pitch(pack):
    def mode(run):
        q = 8.2**-1 * np.fft.rfftfreq(len(run.time_s), 1 / run.rate_hz)
        through = 1 / (1 - q**2 + 0.2j * q)
        return np.fft.irfft(np.fft.rfft(run.order(1, 0.1)) * through, len(run.time_s))

    found = found_in(pack, {}, extra=mode)
    assert found.analysis.verdict.kind == "amplified_order"
    assert WHEEL in ratios(found) and FIXED not in ratios(found)


def test_engine_orders_need_gear_or_engine_speed(pack):
    assert ENGINE not in ratios(found_in(pack, {1: 0.3}))
    geared = replace(TRUCK, gear_ratio=0.78, cylinders=6)
    found = found_in(pack, {3 * RATIO * 0.78: 0.4}, vehicle=geared)
    assert ratios(found)[ENGINE] > 5 and ratios(found)[WHEEL] < 1
    steady = {"mph": (62, 62.2), "seconds": 60}
    wheel_hz = 62.1 * 0.44704 / 3.14325
    at_rpm = replace(TRUCK, cylinders=6, engine_rpm=1390.0)
    found = found_in(pack, {69.4 / wheel_hz: 0.4}, vehicle=at_rpm, **steady)  # 3 x 1388 / 60 Hz
    assert ratios(found)[ENGINE] > 3


def test_a_steady_drive_proves_less_than_a_run_up(pack):
    steady = found_in(pack, {1: 0.3}, mph=(62, 62.2))
    assert 4 < ratios(steady)[WHEEL] < 5 < ratios(found_in(pack, {1: 0.3}))[WHEEL]
    assert steady.steady[0].may_be == ("wheel order 1",)
    assert steady.steady[0].hz == pytest.approx(62.1 * 0.44704 / 3.143, rel=0.003)


def test_orders_that_coincide_prove_neither(pack):
    on_three = replace(TRUCK, axle_ratio=3.005)
    found = found_in(pack, {3: 0.3}, vehicle=on_three)
    assert line(found, "shaft order 1").with_ == ("wheel order 3",)
    assert SHAFT not in ratios(found) or ratios(found)[SHAFT] == pytest.approx(1, abs=0.01)
    # 2 / df for a Hann window: 0.005 of 7.8 turns a second
    assert found.lengths["wheel order 3 from shaft order 1"] == pytest.approx(51, abs=2)


@pytest.mark.parametrize(
    ("change", "reason"),
    [
        ({"speed": SpeedRange(80, 85)}, "record where it is felt"),
        ({"vehicle": Vehicle("linehaul_tractor", axle_ratio=RATIO)}, "tire size is not known"),
        ({"lines": {1: 0.05}}, "nothing that was looked for stands out"),
        ({"lines": {1.31: 0.3}}, "order 1.31 of the wheel, which was not looked for"),
    ],
)
def test_what_cannot_be_counted_says_why(pack, change, reason):
    found = found_in(pack, **({"lines": {1: 0.3}} | change))
    assert found.softs == ()
    assert reason in " ".join(found.not_counted)


def test_a_speed_from_the_ridge_proves_no_wheel_order(pack):
    run = short_run()
    drive = drive_of(run, vertical(run, {1: 0.3}))
    none = replace(drive.samples, speed_time_s=np.zeros(0), speed_m_s=np.zeros(0))
    found = drive_findings(replace(drive, samples=none, speed_from="none"), TRUCK, pack)
    assert found.analysis.speed_from == "ridge" and found.softs == ()
    assert "read from the vibration itself" in found.not_counted[0]


@pytest.mark.parametrize(
    ("seconds", "said"), [(60, "no ridge stands out"), (5, "none from the vibration")]
)
def test_without_speed_and_without_a_ridge_there_are_no_orders(pack, seconds, said):
    run = short_run(seconds=seconds)
    drive = drive_of(run, vertical(run, {}))
    none = replace(drive.samples, speed_time_s=np.zeros(0), speed_m_s=np.zeros(0))
    found = drive_findings(replace(drive, samples=none, speed_from="none"), TRUCK, pack)
    assert found.analysis.speed_from == "none" and found.softs == ()
    assert any(said in note for note in found.analysis.notes)


def test_one_speed_given_for_a_run_up_is_noticed(pack):
    run = short_run()
    drive = drive_of(run, vertical(run, {1: 0.3}), speed_from="constant")
    held = replace(drive.samples, speed_time_s=np.zeros(1), speed_m_s=np.array([24.6]))
    found = drive_findings(replace(drive, samples=held), TRUCK, pack)
    assert found.softs == () and "the speed was not steady" in found.not_counted[0]


def test_a_slow_recorder_names_the_line_that_poses_as_a_wheel_order(pack):
    # At 50 samples a second a line at f shows at |f - 50| Hz (sampling theorem): shaft order 2
    # falls on wheel order 1 where 6.72 w - 50 = w, that is w = 8.74 Hz or 61.5 mph on this tire.
    vehicle = replace(TRUCK, gear_ratio=0.78, cylinders=6)
    found = found_in(pack, {1: 0.3}, vehicle=vehicle, rate_hz=50.0, mph=(61.3, 61.6))
    (note,) = (n for n in found.looks if n.startswith("shaft order 2"))
    assert "too fast for 50 samples a second" in note and "on wheel order 1: repeat" in note
    assert line(found, "wheel order 1").stands_out <= 0.5 and found.softs == ()
    unknown = found_in(pack, {1: 0.3}, rate_hz=50.0, mph=(62, 62.2))
    assert any("may pose as a wheel order" in note for note in unknown.looks)
    assert unknown.softs == ()  # the only line that stands out is in doubt
    # A run-up settles it: what folds down does not go through zero.
    assert ratios(found_in(pack, {1: 0.3}, rate_hz=50.0))[WHEEL] == pytest.approx(9, rel=0.05)


def test_judged_values_come_from_the_rules(pack):
    changed = pack.recordings["shows-anyway"].model_copy(update={"value": 0.3})
    other = pack.model_copy(update={"recordings": {**pack.recordings, "shows-anyway": changed}})
    assert ratios(found_in(other, {1: 0.3}))[WHEEL] == pytest.approx(3, rel=0.05)


def test_causes_with_the_same_orders_stand_together(pack):
    speaks = found_in(pack, {1: 0.3}).speaks
    of = {cause: s for s in speaks for cause in s.causes}
    assert of["imbalance"] is of["off_center_mounting"]
    assert of["imbalance"].log10_ratio > 0.5 > 0 > of["driveline_imbalance"].log10_ratio
    two = {cause: s for s in found_in(pack, {1: 0.3, 2: 0.2}).speaks for cause in s.causes}
    assert two["out_of_round_wheel"].log10_ratio > two["imbalance"].log10_ratio


def test_pictures_of_an_hour_are_no_larger_than_those_of_a_minute(pack):
    long = pictures_of(found_in(pack, {1: 0.3}, seconds=900, rate_hz=100.0))
    short = pictures_of(found_in(pack, {1: 0.3}, rate_hz=100.0))
    for one, other in zip(long, short, strict=True):
        assert len(str(one.data)) < 1.3 * len(str(other.data)) < 90_000
