"""A whole recording in one go: what comes out, and what is said when something is missing."""

import numpy as np
import pytest

from advisor.physics.recording_analysis import analyze_recording
from advisor.physics.samples import Samples
from advisor.physics.waterfall import waterfall
from tests.physics.run_up import CIRCUMFERENCE_M, run_up

ORDERS = {f"wheel order {n}": n for n in (1, 2, 3, 4)} | {
    "shaft order 1": 3.36,
    "shaft order 2": 6.72,
}


def three_axes(run):
    vertical = 9.81 + run.order(1, 0.3) + run.order(2, 0.1) + run.order(6.72, 0.08)
    return np.stack(
        [run.noise(0.1), run.order(1, 0.05) + run.noise(0.1), vertical + run.noise(0.1)]
    )


def analyze(run, *, speed=True, circumference_m=CIRCUMFERENCE_M, orders=ORDERS, valid=None):
    log = (run.log_s, run.log_m_s) if speed else (np.zeros(0), np.zeros(0))
    samples = Samples(three_axes(run), run.rate_hz, *log, valid=valid, vertical=2)
    return analyze_recording(samples, circumference_m=circumference_m, orders=orders)


def amplitude(result, axis, order):
    return next(a.amplitude for a in result.tracks[axis].averages if a.order == order)


def test_a_run_up_gives_orders_verdict_and_picture():
    run = run_up(1, rate_hz=250.0)
    result = analyze(run)
    assert (result.speed_from, result.main_axis) == ("given", 2)
    assert amplitude(result, 2, 1) == pytest.approx(0.3, rel=0.02)
    assert amplitude(result, 2, 6.72) == pytest.approx(0.08, rel=0.1)
    assert amplitude(result, 2, 3) < 0.02
    assert result.verdict.name == "wheel order 1"
    speeds = result.waterfall.speed_m_s
    loudest = result.waterfall.frequency_hz[result.waterfall.amplitude[:, 4:].argmax(axis=1) + 4]
    np.testing.assert_allclose(loudest, speeds / CIRCUMFERENCE_M, atol=0.3)


def lateral(run, lines, valid=None):
    """Only the second axis shakes; the third is up."""
    axes = np.stack([run.noise(0.1), lines + run.noise(0.1), 9.81 + run.noise(0.1)])
    samples = Samples(axes, run.rate_hz, run.log_s, run.log_m_s, valid=valid, vertical=2)
    orders = {"wheel order 1": 1, "wheel order 2": 2}
    return analyze_recording(samples, circumference_m=CIRCUMFERENCE_M, orders=orders)


def test_the_axis_that_shakes_leads_and_a_gap_counts_nowhere():
    """In the gap stands what the recorder made up: a line of 5 m/s2 beside the order."""
    run = run_up(1, rate_hz=100.0)
    gap = (run.time_s > 50) & (run.time_s < 60)
    made_up = np.where(gap, run.order(1.03, 5.0), 0.0)
    result = lateral(run, run.order(1, 0.3) + made_up, ~gap)
    assert result.main_axis == 1
    assert amplitude(result, 1, 1) == pytest.approx(0.3, rel=0.03)
    assert not any("too weak" in note for note in result.notes)


def test_without_order_1_the_axis_of_the_loudest_order_leads_and_that_is_said():
    run = run_up(1, rate_hz=100.0)
    result = lateral(run, run.order(2, 0.3))
    assert result.main_axis == 1
    assert any("order 1 is too weak to refine" in note for note in result.notes)


def test_without_speed_it_is_read_from_the_ridge_and_said():
    run = run_up(1, rate_hz=250.0)
    result = analyze(run, speed=False)
    assert result.speed_from == "ridge"
    assert amplitude(result, 2, 1) == pytest.approx(0.3, rel=0.03)
    assert result.verdict is None
    assert any("read from the strongest ridge" in note for note in result.notes)


def test_without_circumference_the_spectrum_remains():
    run = run_up(1, seconds=40, mph=(60, 60.2))
    result = analyze(run, circumference_m=None)
    assert result.tracks == () and result.verdict is None
    assert any("no rolling circumference" in note for note in result.notes)
    assert result.peaks[2][0].amplitude > 0.2


def test_a_ratio_that_sits_on_a_wheel_order_is_not_told_apart():
    result = analyze(run_up(1, rate_hz=250.0), orders={"wheel order 3": 3, "shaft order 1": 3.005})
    assert result.orders == {3: ("wheel order 3", "shaft order 1")}
    assert any("cannot be told from" in note for note in result.notes)


def test_orders_beyond_the_sample_rate_are_refused_aloud():
    result = analyze(run_up(1, rate_hz=50.0))
    assert 6.72 not in result.orders
    assert any("shaft order 2 is too fast" in note for note in result.notes)


def test_weighted_vibration_needs_a_scale():
    run = run_up(1, seconds=40)
    assert analyze(run).weighted_total_m_s2 > 0.1
    samples = Samples(three_axes(run), run.rate_hz, run.log_s, run.log_m_s, None, 2, False)
    result = analyze_recording(samples, circumference_m=CIRCUMFERENCE_M, orders=ORDERS)
    assert result.weighted == () and result.weighted_total_m_s2 is None


def test_waterfall_bins_hold_the_power_of_their_frames():
    run = run_up(2)
    signal = run.order(1, 0.3)
    picture = waterfall(signal, run.rate_hz, run.log_s, run.log_m_s, bin_m_s=100.0)
    assert picture.frames.sum() == picture.frames.max()
    assert picture.amplitude.shape == (1, len(picture.frequency_hz))
    # All power of a sine of peak 0.3 in one row; a Hann bin holds 1.5 bins of noise bandwidth.
    row = picture.amplitude[0, 2:]
    assert np.sum(row**2) / 1.5 == pytest.approx(0.3**2, rel=0.05)


def test_a_parked_vehicle_and_scraps_of_samples_give_notes_not_crashes():
    rng = np.random.default_rng(0)
    for count in (16, 200, 3000):
        for speed in (0.0, 25.0):
            samples = Samples(
                rng.standard_normal((2, count)), 100.0, np.zeros(1), np.array([speed]), None, 0
            )
            result = analyze_recording(samples, circumference_m=3.143, orders=ORDERS)
            assert result.notes
            assert (result.tracks == ()) == (speed == 0 or count < 3000)
