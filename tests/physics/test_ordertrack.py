"""Order amplitudes over a run-up: what naive integration loses and refinement recovers."""

import numpy as np
import pytest

from advisor.physics.ordertrack import block_turns_for, order_amplitudes, order_spectrum
from advisor.physics.refine import refine_rotation
from advisor.physics.revolutions import (
    AngleSignal,
    resample_by_angle,
    rotation_from_rate,
    rotation_from_speed,
)
from tests.physics.run_up import CIRCUMFERENCE_M, run_up


def by_angle(run, signal, rotation, **options):
    options = {"max_order": 5, "min_rate_hz": 2.0, **options}
    return resample_by_angle(signal, run.rate_hz, rotation, **options)


def whole_run_amplitude(angle, order=1.0):
    turn = np.arange(len(angle.values)) / angle.samples_per_revolution
    return abs(2 * np.mean(angle.values * np.exp(-2j * np.pi * order * turn)))


def logged(run, smoothing_s=0.0, circumference_m=CIRCUMFERENCE_M):
    return rotation_from_speed(
        run.log_s, run.log_m_s, circumference_m, end_s=run.time_s[-1], smoothing_s=smoothing_s
    )


def true_rotation(run):
    grid_s = np.arange(0, run.time_s[-1] + 0.1, 0.1)
    return rotation_from_rate(
        grid_s, np.interp(grid_s, run.time_s, run.speed_m_s) / CIRCUMFERENCE_M
    )


def test_resampling_recovers_what_a_plain_spectrum_smears():
    # Computed in the physics notes: 0.10 of 1 in a plain FFT, 0.998 after resampling.
    run = run_up(log_noise_m_s=0.0)
    signal = run.order(1, 1.0)
    plain = 2 * np.abs(np.fft.rfft(signal)).max() / len(signal)
    assert plain < 0.13
    angle = by_angle(run, signal, true_rotation(run))
    assert whole_run_amplitude(angle) == pytest.approx(1.0, abs=0.01)


def test_a_one_percent_wrong_circumference_moves_the_peak_to_0_99():
    run = run_up(log_noise_m_s=0.0)
    wrong = logged(run, circumference_m=CIRCUMFERENCE_M * 0.99)
    spectrum = order_spectrum(by_angle(run, run.order(1, 1.0), wrong), block_turns=64)
    peak = spectrum.order[spectrum.amplitude.argmax()]
    assert peak == pytest.approx(0.99, abs=0.005)


@pytest.mark.parametrize("log_scale", [0.98, 1.0, 1.02])
def test_refinement_recovers_the_order_within_two_percent(log_scale):
    naive, refined, scale = [], [], []
    for seed in range(6):
        run = run_up(seed, log_scale=log_scale)
        signal = run.order(1, 0.3) + run.order(2, 0.1) + run.noise(0.1)
        found = refine_rotation(signal, run.rate_hz, logged(run, smoothing_s=1.5), min_rate_hz=2)
        assert found.found
        naive.append(whole_run_amplitude(by_angle(run, signal, logged(run))) / 0.3)
        refined.append(whole_run_amplitude(by_angle(run, signal, found.rotation)) / 0.3)
        scale.append(found.scale)
    assert np.mean(naive) < 0.9
    np.testing.assert_allclose(refined, 1.0, atol=0.02)
    np.testing.assert_allclose(scale, 1 / log_scale, atol=0.001)


def test_refinement_finds_nothing_in_noise_and_leaves_the_turns_alone():
    for seed in range(5):
        run = run_up(seed)
        given = logged(run, smoothing_s=1.5)
        result = refine_rotation(run.noise(0.3), run.rate_hz, given, min_rate_hz=2)
        assert not result.found
        assert result.rotation is given


def test_block_amplitudes_and_their_errors_hold_in_monte_carlo():
    rng = np.random.default_rng(4)
    orders = (1.0, 2.0, 3.0, 3.08)
    true = np.array([0.3, 0.0, 0.1, 0.05])
    turn = np.arange(24 * 600) / 24
    found, claimed = [], []
    for _ in range(150):
        phases = rng.uniform(0, 2 * np.pi, 4)
        signal = true @ np.cos(2 * np.pi * np.outer(orders, turn) + phases[:, None])
        signal = signal + 0.2 * rng.standard_normal(len(turn))
        whole = np.ones(len(turn), bool)
        angle = AngleSignal(signal, whole, np.full(len(turn), 8.0), 24, 5.0)
        averages = order_amplitudes(angle, orders).averages
        found.append([a.amplitude for a in averages])
        claimed.append([a.amplitude_sd for a in averages])
    lines = [0, 2, 3]
    np.testing.assert_allclose(np.mean(found, axis=0)[lines], true[lines], rtol=0.02)
    ratio = np.std(found, axis=0)[lines] / np.mean(claimed, axis=0)[lines]
    assert (ratio > 0.75).all() and (ratio < 1.3).all()
    # An order that is not there reads zero about half the time and never far above its noise.
    silent = np.array(found)[:, 1]
    assert 0.3 < np.mean(silent == 0) < 0.7
    assert np.quantile(silent, 0.95) < 2 * averages[1].noise_amplitude


def test_a_gap_is_left_out_and_changes_no_amplitude():
    run = run_up(log_noise_m_s=0.0)
    signal = run.order(1, 0.3) + run.noise(0.05)
    valid = np.ones(len(signal), bool)
    valid[4000:4700] = False
    signal[~valid] = 50.0
    angle = by_angle(run, signal, true_rotation(run), valid=valid)
    track = order_amplitudes(angle, (1, 2))
    assert track.averages[0].amplitude == pytest.approx(0.3, abs=0.01)
    assert track.averages[1].amplitude < 0.02


def test_lines_above_the_highest_order_do_not_fold_onto_it():
    run = run_up(rate_hz=500.0, seconds=60, log_noise_m_s=0.0)
    rotation = true_rotation(run)
    per_turn = by_angle(run, run.order(1, 0.0), rotation).samples_per_revolution
    loud = run.order(per_turn - 1, 1.0) + run.order(1, 0.1)
    track = order_amplitudes(by_angle(run, loud, rotation), (1, 2))
    assert track.averages[0].amplitude == pytest.approx(0.1, abs=0.005)


def test_near_orders_ask_for_longer_blocks_and_equal_ones_are_refused():
    assert block_turns_for((1, 2, 3, 3.36)) == 16
    assert block_turns_for((1, 2, 3, 3.08)) > block_turns_for((1, 2, 3, 3.36))
    with pytest.raises(ValueError, match="cannot be told apart"):
        block_turns_for((3, 3.005))


def test_a_standing_wheel_has_no_orders():
    still = rotation_from_rate(np.arange(0, 60, 0.1), np.zeros(600))
    with pytest.raises(ValueError, match="never turns"):
        resample_by_angle(np.zeros(6000), 100, still, max_order=5, min_rate_hz=1)
