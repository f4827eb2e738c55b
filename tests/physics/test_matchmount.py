"""Match mounting and the compromise with imbalance, against grid search and Monte Carlo."""

import cmath
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.physics.matchmount import best_turn, match_mount, nearest_stud_steps, residual
from advisor.physics.tradeoff import Aim, best_compromise
from advisor.physics.vector import UncertainVector

GRID = np.linspace(-math.pi, math.pi, 3601)
vectors = st.complex_numbers(min_magnitude=0.05, max_magnitude=2.0)


@given(wheel=vectors, tire=vectors)
def test_best_turn_beats_every_turn_of_a_grid(wheel, tire):
    turn = best_turn(wheel, tire)
    assert -math.pi < turn <= math.pi
    left = float(residual(wheel, tire, turn))
    assert left == pytest.approx(abs(abs(wheel) - abs(tire)), abs=1e-12)
    assert left <= residual(wheel, tire, GRID).min() + 1e-12


def test_rules_of_thumb_leave_more_on_average():
    """Wheel 6, tire 9: law of cosines by numerical integration over all starting angles."""
    start = np.linspace(-math.pi, math.pi, 720, endpoint=False)
    mounts = [
        match_mount(UncertainVector(6 + 0j), UncertainVector(9 * cmath.exp(1j * a)), draws=2)
        for a in start
    ]
    assert {round(m.residual_m, 9) for m in mounts} == {3.0}
    assert np.mean([m.now_m for m in mounts]) == pytest.approx(
        np.mean(np.sqrt(36 + 81 + 108 * np.cos(start))), rel=1e-9
    )
    for name, half_width in (("half_turn_m", math.pi / 2), ("quarter_turns_m", math.pi / 4)):
        off = np.linspace(-half_width, half_width, 20_001)
        expected = np.mean(np.sqrt(36 + 81 - 108 * np.cos(off)))
        assert np.mean([getattr(m, name) for m in mounts]) == pytest.approx(expected, rel=2e-3)


def test_expected_residual_counts_the_errors_in():
    wheel = UncertainVector(1.0 + 0.2j, np.array([[0.02, 0.005], [0.005, 0.01]]))
    tire = UncertainVector(-0.3 + 1.1j, np.array([[0.01, 0.0], [0.0, 0.04]]))
    found = match_mount(wheel, tire)
    rng = np.random.default_rng(7)
    w = rng.multivariate_normal([1.0, 0.2], wheel.covariance, 20_000) @ [1, 1j]
    t = rng.multivariate_normal([-0.3, 1.1], tire.covariance, 20_000) @ [1, 1j]
    left = np.abs(w + t * cmath.exp(1j * found.turn_rad))
    assert found.expected_m == pytest.approx(left.mean(), rel=0.03)
    np.testing.assert_allclose(found.likely_m, np.quantile(left, [0.05, 0.95]), rtol=0.05)
    assert found.expected_m > found.residual_m


def test_errors_that_cancel_are_seen_as_cancelling():
    cov = np.eye(2) * 0.01
    wheel, tire = UncertainVector(1 + 0j, cov), UncertainVector(-1 + 0j, cov)
    joint = np.block([[cov, -cov], [-cov, cov]])
    assert match_mount(wheel, tire, joint_covariance=joint).expected_m < 1e-6
    assert match_mount(wheel, tire).expected_m > 0.1


def test_what_is_there_now_is_the_sum_as_mounted():
    """3 and 4 at a right angle leave 5; in line they leave 7, against each other 1."""
    for tire, now in ((4j, 5.0), (4 + 0j, 7.0), (-4 + 0j, 1.0)):
        assert match_mount(UncertainVector(3 + 0j), UncertainVector(tire), draws=2).now_m == now


def test_stud_steps_round_to_the_nearest_space():
    steps = nearest_stud_steps(6, 9, math.radians(-100), 10)
    assert steps.steps == -3
    assert steps.turn_rad == pytest.approx(math.radians(-108))
    assert steps.residual_m == pytest.approx(math.sqrt(36 + 81 + 108 * math.cos(steps.turn_rad)))


def test_nothing_to_match_needs_no_turn():
    assert best_turn(0j, 1j) == 0.0
    assert best_compromise([Aim("runout", 0j, 0j, 1.0)]).turn_rad == 0.0


@given(w1=vectors, t1=vectors, w2=vectors, t2=vectors, share=st.floats(0.1, 5))
def test_compromise_beats_every_turn_of_a_grid(w1, t1, w2, t2, share):
    aims = [Aim("runout", w1, t1, 0.5), Aim("imbalance", w2, t2, 2.0, share)]
    found = best_compromise(aims)
    cost = (residual(w1, t1, GRID) / 0.5) ** 2 + share * (residual(w2, t2, GRID) / 2.0) ** 2
    assert found.cost <= cost.min() + 1e-9 * cost.max()
    for aim in aims:
        assert found.own_left[aim.name] <= found.left[aim.name] + 1e-9


def test_an_aim_without_share_has_no_say_and_sizes_must_be_positive():
    runout = Aim("runout", 1 + 1j, 2j, 1.0)
    other = Aim("imbalance", 1 + 0j, 1 + 0j, 1.0, share=0.0)
    assert best_compromise([runout, other]).turn_rad == pytest.approx(best_turn(1 + 1j, 2j))
    with pytest.raises(ValueError, match="above zero"):
        best_compromise([Aim("runout", 1j, 1j, 0.0)])
    with pytest.raises(ValueError, match="one aim"):
        best_compromise([])
