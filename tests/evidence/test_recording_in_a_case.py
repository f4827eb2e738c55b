"""A recording beside a case file moves the right causes, once, and says what it changed."""

import pytest

from advisor.errors import InputProblems
from advisor.intake.case_file import read_case
from advisor.intake.recording_file import read_recording
from advisor.pipeline import assess, rank
from tests.evidence.recorded import RATIO, fixed_mode, short_run, vertical, write_csv

CASE = """\
case: shakes-at-55
vehicle: {{type: linehaul_tractor, tire: 295/75R22.5, axle_ratio: 3.36}}
symptoms:
  sensation: [vibration]
{more}
"""
READING = "readings:\n  - {{kind: recording, file: run.csv{more}}}"
PLAIN = READING.format(more="")


@pytest.fixture
def weigh_with(pack, tmp_path):
    """weigh_with(lines) -> probabilities with the recording over those without it, and the case."""

    def weighed(lines, *, extra=None, reading=PLAIN, before=""):
        run = short_run()
        up = vertical(run, lines)
        write_csv(tmp_path / "run.csv", run, up if extra is None else up + extra(run))
        path = tmp_path / "case.yaml"
        found = []
        for more in (before, before + reading):
            path.write_text(CASE.format(more=more), "utf-8")
            case = read_case(path, pack)
            found.append(assess(case, pack).now.cause)
        first, then = found
        return {cause: then[cause] / first[cause] for cause in first}, case

    return weighed


def test_wheel_orders_raise_wheels_and_lower_shaft_and_engine(pack, weigh_with):
    moved, case = weigh_with({1: 0.3})
    assert moved["imbalance"] > 1.2 and moved["off_center_mounting"] > 1.2
    assert moved["driveline_imbalance"] < 0.8 and moved["wheel_end_ringing"] < 0.8
    document = rank(case, pack)
    (note,) = document.readings
    assert "It is wheel order 1" in note.lines[0]
    assert {p.kind for p in note.pictures} == {"waterfall", "order_spectrum"}
    assert "recorder-not-by-driver" in note.cautions
    (change,) = document.changes
    assert "Recording run.csv" in change.what and "decibans" in change.says


def test_shaft_orders_raise_the_driveline(weigh_with):
    moved, _ = weigh_with({RATIO: 0.3, 1: 0.05})
    assert moved["driveline_imbalance"] > 2 and moved["imbalance"] < 0.8
    moved, _ = weigh_with({2 * RATIO: 0.2, 1: 0.05})
    assert moved["universal_joint"] > 2 and moved["off_center_mounting"] < 0.8


def test_a_fixed_pitch_raises_what_rings(weigh_with):
    moved, _ = weigh_with({}, extra=lambda run: fixed_mode(run, 8.2, 0.3))
    assert moved["frame_or_cab_resonance"] > 2
    assert moved["imbalance"] < 1 and moved["driveline_imbalance"] < 1


def test_the_check_done_by_hand_and_by_recording_counts_once(pack, weigh_with):
    by_hand = "inspections:\n  - {id: road-recording-wheel-order, result: found}\n"
    _, both = weigh_with({1: 0.3}, before=by_hand)
    _, alone = weigh_with({1: 0.3})
    assert assess(both, pack).now.cause == assess(alone, pack).now.cause


def test_the_same_recording_twice_is_one_recording(pack, weigh_with):
    twice = PLAIN + "\n  - {kind: recording, file: run.csv}"
    _, both = weigh_with({1: 0.3}, reading=twice)
    _, alone = weigh_with({1: 0.3})
    assert assess(both, pack).now.cause == assess(alone, pack).now.cause


def test_constant_speed_and_engine_speed_may_be_said(pack, weigh_with):
    said = READING.format(more=", speed: 100 km/h, engine_rpm: 1400, time: time_s")
    moved, case = weigh_with({1: 0.3}, reading=said)
    assert all(ratio == pytest.approx(1) for ratio in moved.values())
    assert any("the speed was not steady" in p for p in assess(case, pack).notes[0].problems)


def test_a_wild_cell_in_the_speed_is_left_out_and_said(tmp_path):
    """The drive ends at 70 mph, 31.3 m/s; one line says 1e9 mph."""
    run = short_run(seconds=20)
    path = write_csv(tmp_path / "run.csv", run, vertical(run, {1: 0.3}))
    lines = path.read_text("utf-8").splitlines()
    lines[2000] = lines[2000].rpartition(",")[0] + ",1e9"
    path.write_text("\n".join(lines), "utf-8")
    found = read_recording(str(path))
    assert found.speed_m_s.max() == pytest.approx(70 * 0.44704, rel=0.05)
    (wild,) = [flaw.what for flaw in found.findings if "beyond" in flaw.what]
    assert wild == 'speed "speed_mph" beyond 50 m/s: 1 of 4000 cells'


def test_a_steady_line_without_speed_is_held_against_the_drivers_speed(pack, tmp_path):
    run = short_run(mph=(62, 62.2))
    write_csv(tmp_path / "run.csv", run, vertical(run, {RATIO: 0.3}), speed=False)
    more = "  speed: {low_mph: 60, high_mph: 64}\n" + PLAIN
    path = tmp_path / "case.yaml"
    path.write_text(CASE.format(more=more), "utf-8")
    document = rank(read_case(path, pack), pack)
    assert any("29.8 Hz at 62 mph" in answer for answer in document.answers)


def test_bad_readings_are_all_told_at_once(pack, tmp_path):
    path = tmp_path / "case.yaml"
    readings = (
        "readings:\n"
        "  - {kind: recording, file: nowhere.csv}\n"
        "  - {kind: recording}\n"
        "  - {kind: recording, file: run.csv, sped: 62}\n"
        "  - {kind: recording, file: run.csv, speed: fast}\n"
    )
    run = short_run()
    write_csv(tmp_path / "run.csv", run, vertical(run, {1: 0.3}))
    path.write_text(CASE.format(more=readings), "utf-8")
    with pytest.raises(InputProblems) as caught:
        read_case(path, pack)
    told = str(caught.value)
    assert "nowhere.csv: cannot be read" in told
    assert 'the key "file" is missing' in told
    assert 'unknown key "sped"' in told and 'did you mean "speed"?' in told
    assert '"fast" is not a speed' in told
    assert len(caught.value.problems) == 4
