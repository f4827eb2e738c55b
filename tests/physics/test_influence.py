"""Balancing with phase: published examples, invariance, error bars, refusals."""

import cmath
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.physics.influence import balance_planes, predicted_residual, single_plane
from advisor.physics.problem import PhysicsError


def polar(size: float, degrees: float) -> complex:
    return cmath.rect(size, math.radians(degrees))


RAO_BEFORE = [polar(8.5, 60), polar(6.5, 205)]
RAO_TRIALS = [polar(10, 270), polar(12, 180)]
RAO_AFTER = [[polar(6.0, 125), polar(4.5, 230)], [polar(6.0, 35), polar(10.5, 160)]]


def degrees(value: complex) -> float:
    return math.degrees(cmath.phase(value)) % 360


def test_two_plane_example_of_rao():
    """Rao, Mechanical Vibrations, turbine rotor (from memory): unbalance 10.0561 at 145.5548 and
    5.8774 at 248.2559 degrees; the mass to ADD sits opposite."""
    found = balance_planes(RAO_BEFORE, RAO_AFTER, RAO_TRIALS)
    assert abs(found.add[0]) == pytest.approx(10.0561, abs=1e-4)
    assert abs(found.add[1]) == pytest.approx(5.8774, abs=1e-4)
    assert degrees(found.add[0]) == pytest.approx(145.5548 + 180, abs=1e-3)
    assert degrees(found.add[1]) == pytest.approx(248.2559 - 180, abs=1e-3)
    assert np.abs(found.residual).max() < 1e-13


def test_single_plane_problem_of_the_grinding_wheel():
    """After Rao (inputs published, answer by hand): 0.2 at 40, 0.2 kg at -65 -> 0.5 at 150."""
    o, t, trial = polar(0.2, 40), polar(0.5, 150), polar(0.2, -65)
    found = single_plane(o, t, trial)
    assert abs(o + found.influence * found.add.value) < 1e-15
    # Triangle by the law of cosines: |T - O|^2 = 0.04 + 0.25 - 0.2 cos 110.
    effect = math.sqrt(0.29 - 0.2 * math.cos(math.radians(110)))
    assert found.add.magnitude == pytest.approx(0.2 * 0.2 / effect)
    assert degrees(found.add.value) == pytest.approx(346.7, abs=0.05)
    assert not found.weak_trial


numbers = st.complex_numbers(min_magnitude=0.5, max_magnitude=3)


@given(o=numbers, effect=numbers, trial=numbers, turn=st.floats(0, 6.28))
def test_adding_the_answer_nulls_a_linear_rotor_and_the_phase_mark_does_not_matter(
    o, effect, trial, turn
):
    found = single_plane(o, o + effect * trial, trial)
    assert abs(o + effect * found.add.value) < 1e-9
    mark = cmath.exp(1j * turn)
    moved = single_plane(o * mark, (o + effect * trial) * mark, trial)
    assert abs(moved.add.value - found.add.value) < 1e-9


def test_masses_really_put_on_leave_what_is_predicted():
    found = balance_planes(RAO_BEFORE, RAO_AFTER, RAO_TRIALS)
    np.testing.assert_allclose(
        predicted_residual(found.influence, RAO_BEFORE, [RAO_TRIALS[0], 0]), RAO_AFTER[0]
    )
    off = predicted_residual(found.influence, RAO_BEFORE, found.add * 1.1)
    np.testing.assert_allclose(off, -0.1 * np.array(RAO_BEFORE), atol=1e-12)


def test_more_readings_than_planes_leave_the_smallest_vibration():
    rng = np.random.default_rng(6)
    matrix = rng.normal(size=(4, 2)) + 1j * rng.normal(size=(4, 2))
    before = rng.normal(size=4) + 1j * rng.normal(size=4)
    after = before + matrix.T * np.array([1.5, 2j])[:, None]
    found = balance_planes(before, after, [1.5, 2j])
    best = np.linalg.norm(found.residual)
    for _ in range(50):
        nudge = 0.1 * (rng.normal(size=2) + 1j * rng.normal(size=2))
        assert np.linalg.norm(predicted_residual(matrix, before, found.add + nudge)) > best


def test_error_bars_match_monte_carlo():
    rng = np.random.default_rng(12)
    sd, n = 0.1, 3000
    noise = sd * (rng.normal(size=(n, 3, 2)) + 1j * rng.normal(size=(n, 3, 2)))
    adds = np.array(
        [balance_planes(RAO_BEFORE + e[0], RAO_AFTER + e[1:], RAO_TRIALS).add for e in noise[:800]]
    )
    spread = np.sqrt((adds.real.var(axis=0) + adds.imag.var(axis=0)) / 2)
    claimed = balance_planes(RAO_BEFORE, RAO_AFTER, RAO_TRIALS, reading_sd=sd).add_sd
    np.testing.assert_allclose(spread, claimed, rtol=0.08)
    o, t, trial = 5 + 1j, 2 - 4j, 3 + 0j
    singles = -(o + noise[:, 0, 0]) * trial / (t + noise[:, 1, 0] - o - noise[:, 0, 0])
    spread = math.sqrt((singles.real.var() + singles.imag.var()) / 2)
    assert single_plane(o, t, trial, reading_sd=sd).add.sd == pytest.approx(spread, rel=0.06)


def test_one_plane_is_the_single_plane_answer_with_its_error():
    many = balance_planes([5 + 1j], [[2 - 4j]], [3], reading_sd=0.1)
    one = single_plane(5 + 1j, 2 - 4j, 3, reading_sd=0.1)
    assert many.add[0] == pytest.approx(one.add.value)
    assert many.add_sd[0] == pytest.approx(one.add.sd)


def test_units_of_the_masses_do_not_make_planes_look_alike():
    """The same two planes with the second trial mass in thousandths: two perfect directions."""
    found = balance_planes([1, 1], [[2, 1], [1, 2]], [1, 0.001])
    assert found.condition == pytest.approx(1)


def test_a_point_that_stood_still_before_is_no_weak_trial():
    found = balance_planes([0, 1 + 0j], [[1, 1.01], [1, 2]], [1, 1])
    assert found.weak_trials == ()


def test_a_trial_mass_without_effect_is_refused():
    for sd, after in ((0.0, 5.05 + 0j), (0.5, 6.5 + 0j)):
        with pytest.raises(PhysicsError, match="changed nothing") as caught:
            single_plane(5 + 0j, after, 1 + 0j, reading_sd=sd)
        assert "larger trial mass" in caught.value.remeasure
    with pytest.raises(PhysicsError, match="changed nothing"):
        balance_planes(RAO_BEFORE, [RAO_AFTER[0], RAO_BEFORE], RAO_TRIALS)


def test_a_small_effect_is_marked_weak():
    assert single_plane(5 + 0j, 5.5 + 0.5j, 1 + 0j).weak_trial
    assert not single_plane(5 + 0j, polar(5.5, 60), 1 + 0j).weak_trial  # turned
    assert not single_plane(5 + 0j, polar(9, 5), 1 + 0j).weak_trial  # grown
    assert not single_plane(5 + 0j, 0j, 1 + 0j).weak_trial  # gone
    after = [np.array(RAO_BEFORE) * 1.1, RAO_AFTER[1]]
    assert balance_planes(RAO_BEFORE, after, RAO_TRIALS).weak_trials == (0,)


def test_planes_that_act_alike_are_refused():
    after = [[2 + 0j, 3 + 0j], [3 + 0j, 5.001 + 0j]]
    with pytest.raises(PhysicsError, match="planes apart"):
        balance_planes([1 + 0j, 1 + 0j], after, [1, 2])
    found = balance_planes([1, 1], [[2, 1], [1, 2]], [1, 1])
    assert found.condition == pytest.approx(1)
    with pytest.raises(PhysicsError, match="planes apart"):
        balance_planes([1 + 0j], [[2 + 0j], [3j]], [1, 1])
