"""Order, resonance, or an order lifted by a resonance: told apart on synthetic run-ups."""

import numpy as np
import pytest
from scipy import signal as sp

from advisor.physics.ridge import follow_ridge, speed_from_ridge
from advisor.physics.ridge_verdict import fit_ridge_line, judge_ridge
from tests.physics.run_up import CIRCUMFERENCE_M, MPH, run_up

ORDERS = {"wheel order 1": 1, "wheel order 2": 2, "wheel order 3": 3, "shaft order 1": 3.36}


def through_mode(signal, rate_hz, natural_hz, damping):
    """Pass a signal through one damped mode (scipy, bilinear with the mode kept in place)."""
    w = 2 * rate_hz * np.tan(np.pi * natural_hz / rate_hz)
    return sp.lfilter(*sp.bilinear([w * w], [1, 2 * damping * w, w * w], rate_hz), signal)


def judge(run, signal, **band):
    ridge = follow_ridge(signal, run.rate_hz, **band)
    speed = np.interp(ridge.time_s, run.log_s, run.log_m_s)
    return judge_ridge(ridge, speed, circumference_m=CIRCUMFERENCE_M, orders=ORDERS)


@pytest.mark.parametrize("seed", range(4))
def test_an_order_goes_through_zero(seed):
    run = run_up(seed)
    verdict = judge(run, run.order(1, 0.3) + run.noise(0.1), low_hz=3.4)
    assert verdict.kind == "order"
    assert verdict.name == "wheel order 1"
    # 1/C = 0.3182 Hz per m/s.
    assert verdict.line.slope_hz_s_m == pytest.approx(
        1 / CIRCUMFERENCE_M, abs=4 * verdict.line.slope_sd
    )
    assert abs(verdict.line.intercept_hz) < 4 * verdict.line.intercept_sd_hz
    assert verdict.order == pytest.approx(1.0, abs=0.01)


def test_order_2_is_named_when_it_is_the_loudest():
    run = run_up(1)
    verdict = judge(run, run.order(2, 0.3) + run.noise(0.1), low_hz=8, high_hz=24)
    assert (verdict.kind, verdict.name) == ("order", "wheel order 2")


@pytest.mark.parametrize("seed", range(4))
def test_a_resonance_stays_where_it_is(seed):
    run = run_up(seed)
    verdict = judge(run, through_mode(run.noise(1.0), run.rate_hz, 7.9, 0.03), low_hz=3.4)
    assert verdict.kind == "resonance"
    assert verdict.resonance_hz == pytest.approx(7.9, abs=0.25)
    assert abs(verdict.line.slope_hz_s_m) < 4 * verdict.line.slope_sd


def test_an_order_through_a_resonance_is_an_amplified_order():
    run = run_up(2)
    signal = through_mode(run.order(1, 0.3), run.rate_hz, 8.2, 0.15) + run.noise(0.03)
    verdict = judge(run, signal, low_hz=3.4)
    assert verdict.kind == "amplified_order"
    assert verdict.name == "wheel order 1"
    assert verdict.resonance_hz == pytest.approx(8.2, abs=0.1)
    assert verdict.gain == pytest.approx(1 / 0.3, rel=0.15)


def test_an_order_that_grows_like_imbalance_is_not_called_amplified():
    run = run_up(3)
    signal = run.order(1, 0.3) * (run.speed_m_s / 25) ** 2 + run.noise(0.05)
    assert judge(run, signal, low_hz=3.4).kind == "order"


def test_too_little_change_of_speed_is_undecided():
    run = run_up(0, mph=(59, 60))
    verdict = judge(run, run.order(1, 0.3) + run.noise(0.1), low_hz=3.4)
    assert verdict.kind == "undecided"
    assert "too close together" in verdict.because


def test_a_line_that_neither_stays_nor_passes_zero_is_undecided():
    run = run_up(0)
    # Half an order plus a constant, like a line that folds or an engine in changing gears.
    phase = 2 * np.pi * (0.5 * run.turns + 5.0 * run.time_s)
    assert judge(run, 0.3 * np.cos(phase) + run.noise(0.1), low_hz=3.4).kind == "undecided"


def test_noise_gives_no_line():
    run = run_up(0)
    ridge = follow_ridge(run.noise(0.3), run.rate_hz, low_hz=3.4)
    assert ridge.clear.mean() < 0.1
    with pytest.raises(ValueError, match="clear points"):
        fit_ridge_line(ridge, np.interp(ridge.time_s, run.log_s, run.log_m_s))


def test_speed_is_read_from_the_ridge():
    run = run_up(5, mph=(30, 65))
    signal = run.order(1, 0.2) + run.order(2, 0.1) + run.noise(0.1)
    found = speed_from_ridge(signal, run.rate_hz, CIRCUMFERENCE_M)
    true = np.interp(found.time_s, run.time_s, run.speed_m_s)
    np.testing.assert_allclose(found.speed_m_s, true, atol=0.2)
    assert found.moves and found.clear_share > 0.95


def test_a_flat_ridge_is_reported_as_ambiguous():
    run = run_up(0, mph=(60, 60.1))
    assert not speed_from_ridge(run.order(1, 0.3) + run.noise(0.1), run.rate_hz, 3.143).moves


def test_ridge_lies_within_the_speeds_of_the_run():
    run = run_up(6)
    ridge = follow_ridge(run.order(1, 0.3) + run.noise(0.1), run.rate_hz, low_hz=3.4)
    speeds = ridge.frequency_hz * CIRCUMFERENCE_M / MPH
    assert speeds.min() > 39 and speeds.max() < 71
