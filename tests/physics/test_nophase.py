"""Balancing by amplitude alone: published inputs, synthetic rotors, closure and refusals."""

import cmath
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.physics.nophase import trial_runs, two_trial_runs
from advisor.physics.problem import PhysicsError

THIRDS = np.radians([0, 120, 240])


def runs(original: complex, effect: complex, angles) -> np.ndarray:
    return np.abs(original + effect * np.exp(1j * np.asarray(angles)))


def test_published_four_runs_miss_their_closure_by_five_and_a_half_percent():
    """Balancing without phase, reliabilityweb.com, 2010 (inputs; answer by circle drawing not
    visible): O = 10, 50 g, T = 7, 12, 18 at 0, 120, 240 degrees."""
    found = trial_runs(10, THIRDS, [7, 12, 18], 50)
    # By hand: mean square 172.33 -> a = 8.505; Fourier terms of the squares -> a = 8.064.
    assert found.add_by_mean == pytest.approx(500 / math.sqrt(517 / 3 - 100))
    assert found.add_by_turn == pytest.approx(500 / 8.064, rel=1e-4)
    assert found.closure == pytest.approx(0.055, abs=0.001)
    assert math.degrees(found.add.angle_rad) == pytest.approx(40, abs=0.2)
    assert math.degrees(found.heavy_rad) == pytest.approx(220, abs=0.2)
    assert found.add_by_mean < found.add.magnitude < found.add_by_turn
    assert found.add.sd == 0.0  # no reading error was given
    assert found.flaws == ()


@given(
    heavy=st.floats(0, 6.28),
    ratio=st.floats(0.3, 3.0),
    turn=st.floats(0, 6.28),
    n=st.integers(3, 6),
)
def test_adding_the_answer_nulls_the_rotor(heavy, ratio, turn, n):
    original = 4 * cmath.exp(1j * heavy)
    angles = turn + 2 * math.pi * np.arange(n) / n
    found = trial_runs(4, angles, runs(original, 4 * ratio, angles), 50)
    assert found.closure < 1e-6
    assert abs(original + 4 * ratio * found.add.value / 50) < 1e-6


@pytest.mark.parametrize("unit", [1e-6, 1e6])
def test_the_unit_of_the_readings_changes_nothing(unit):
    clean = runs(4j, 3, THIRDS)
    scaled = trial_runs(4 * unit, THIRDS, clean * unit, 50)
    assert scaled.add.value == pytest.approx(trial_runs(4, THIRDS, clean, 50).add.value)
    pair = (float(clean[0]), float(clean[1]))
    two = two_trial_runs(4, (0.0, float(THIRDS[1])), pair, 50)
    same = two_trial_runs(4 * unit, (0.0, float(THIRDS[1])), tuple(v * unit for v in pair), 50)
    assert [c.add for c in same] == pytest.approx([c.add for c in two])
    with pytest.raises(PhysicsError, match="contradict"):
        trial_runs(10 * unit, THIRDS, np.array([12, 12, 12]) * unit, 50)


def test_error_bars_match_monte_carlo():
    rng = np.random.default_rng(3)
    sd, clean = 0.05, runs(4j, 3, THIRDS)
    adds = np.array(
        [
            trial_runs(4 + rng.normal(0, sd), THIRDS, clean + rng.normal(0, sd, 3), 50).add.value
            for _ in range(1500)
        ]
    )
    claimed = trial_runs(4, THIRDS, clean, 50, reading_sd=sd).add
    assert claimed.magnitude_sd == pytest.approx(np.abs(adds).std(), rel=0.08)
    turned = np.angle(adds / claimed.value)
    assert claimed.angle_sd_rad == pytest.approx(turned.std(), rel=0.08)


def test_runs_that_contradict_each_other_are_named_or_refused():
    poor = trial_runs(10, THIRDS, [5, 12, 19], 50)
    assert [flaw.kind for flaw in poor.flaws] == ["closure"]
    weak = trial_runs(10, THIRDS, runs(10j, 0.5, THIRDS), 50)
    assert [flaw.kind for flaw in weak.flaws] == ["weak_trial"]
    for bad in ([5, 6, 7], [12, 12, 12]):
        with pytest.raises(PhysicsError, match="contradict"):
            trial_runs(10, THIRDS, bad, 50)
    with pytest.raises(PhysicsError, match="three well-spread angles"):
        trial_runs(10, np.radians([0, 5, 10]), [9, 9.2, 9.4], 50)
    for original, trial in ((10, 0), (0, 50)):
        with pytest.raises(ValueError, match="above zero"):
            trial_runs(original, THIRDS, [7, 12, 18], trial)


def test_published_two_trial_runs():
    """Single plane balancing, no phase, two trial runs (BalanceB.txt, 1998; inputs, answer by
    hand): O = 3, T = 5 and 4 at 0 and 180 -> a^2 = 11.5, cos g = 9 / (12 a), sign unknown."""
    found = two_trial_runs(3, (0.0, math.pi), (5.0, 4.0), 1.0)
    heavy = math.degrees(math.acos(9 / (12 * math.sqrt(11.5))))
    assert len(found) == 2
    assert sorted(abs(math.degrees(cmath.phase(-c.add))) for c in found) == pytest.approx(
        [heavy, heavy]
    )
    assert all(c.effect == pytest.approx(math.sqrt(11.5)) for c in found)
    assert found[0].add == pytest.approx(found[1].add.conjugate())


@given(
    heavy=st.floats(0, 6.28),
    ratio=st.floats(0.3, 3.0),
    apart=st.floats(0.5, 2 * math.pi - 0.5),
)
def test_one_of_the_answers_nulls_the_rotor(heavy, ratio, apart):
    original = 4 * cmath.exp(1j * heavy)
    t1, t2 = runs(original, 4 * ratio, [0.2, 0.2 + apart])
    found = two_trial_runs(4, (0.2, 0.2 + apart), (t1, t2), 50)
    assert min(abs(original + 4 * ratio * c.add / 50) for c in found) < 1e-3
    for c in found:
        heavy_side = -c.add / abs(c.add)
        fitted = runs(4 * heavy_side, c.effect, [0.2, 0.2 + apart])
        assert fitted == pytest.approx([t1, t2], abs=1e-3)


@pytest.mark.parametrize("unit", [1e-3, 1.0, 1e3])
def test_the_unit_of_two_runs_half_a_turn_apart_changes_nothing(unit):
    found = two_trial_runs(3 * unit, (0.0, math.pi), (5 * unit, 4 * unit), 1.0)
    assert len(found) == 2 and found[0].effect == pytest.approx(math.sqrt(11.5) * unit)


def test_a_heavy_side_on_the_line_of_both_runs_has_one_answer():
    """Original 4 on the line, effect 3: runs of 7 and 1 to either side; add 50 x 4 / 3 opposite. A
    few percent past the edge is reading error; more is refused."""
    for t, at in (((7.0, 1.0), 0.7 + math.pi), ((1.0, 7.0), 0.7)):
        (found,) = two_trial_runs(4, (0.7, 0.7 + math.pi), t, 50)
        assert found.effect == pytest.approx(3.0)
        assert abs(found.add - cmath.rect(50 * 4 / 3, at)) < 1e-9
    assert len(two_trial_runs(4, (0.0, math.pi), (7.0, 0.9), 50)) == 1
    with pytest.raises(PhysicsError, match="fits both"):
        two_trial_runs(4, (0.0, math.pi), (7.0, 0.0), 50)


def test_the_smaller_mass_is_named_first():
    for trial in (50, 0.05):
        found = two_trial_runs(4, (0.2, 2.0), tuple(runs(4j, 6, [0.2, 2.0])), trial)
        sizes = [abs(c.add) for c in found]
        assert len(sizes) == 2 and sizes[0] < sizes[1]


def test_two_runs_no_effect_can_explain_are_refused():
    with pytest.raises(PhysicsError, match="fits both"):
        two_trial_runs(10, (0.0, math.pi), (2.0, 3.0), 1.0)
    with pytest.raises(PhysicsError, match="fits both"):
        two_trial_runs(10, (0.0, math.pi), (30.0, 3.0), 1.0)
    with pytest.raises(PhysicsError, match="fits both"):  # nothing nulls it at two places at once
        two_trial_runs(10, (0.0, math.pi / 2), (1.0, 1.0), 1.0)
    with pytest.raises(PhysicsError, match="fits both"):
        two_trial_runs(10, (0.0, 0.0), (8.0, 9.0), 1.0)
