"""Splitting a mass onto places that can be reached, against brute force."""

import cmath
import itertools
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import nnls

from advisor.physics.placing import place, split_between
from advisor.physics.problem import PhysicsError

masses = st.complex_numbers(min_magnitude=0.5, max_magnitude=10)


def total(placement) -> complex:
    return sum((m * cmath.exp(1j * a) for a, m in placement.masses), 0j)


def test_split_makes_the_mass_wanted():
    add = cmath.rect(8, math.radians(30))
    one, two = split_between(add, 0.0, math.radians(75))
    assert one + two * cmath.exp(1j * math.radians(75)) == pytest.approx(add)
    # Sine rule: 8 sin 45 / sin 75 and 8 sin 30 / sin 75.
    assert one == pytest.approx(8 * math.sin(math.radians(45)) / math.sin(math.radians(75)))
    assert two == pytest.approx(4 / math.sin(math.radians(75)))


@pytest.mark.parametrize("second", [math.radians(20), math.radians(200), math.pi, 0.0])
def test_a_mass_outside_the_two_positions_is_refused(second):
    with pytest.raises(PhysicsError, match="between the two"):
        split_between(cmath.rect(8, math.radians(30)), 0.0, second)


@given(add=masses, places=st.lists(st.floats(0, 6.28), min_size=1, max_size=6))
def test_one_or_two_places_leave_as_little_as_all_of_them_could(add, places):
    """scipy.optimize.nnls over all places at once is the reference."""
    found = place(add, places)
    columns = np.array([[math.cos(a) for a in places], [math.sin(a) for a in places]])
    _, best = nnls(columns, np.array([add.real, add.imag]))
    assert abs(found.residual) == pytest.approx(best, abs=1e-6)
    assert abs(add - total(found) - found.residual) < 1e-9
    assert len(found.masses) <= 2 and all(m > 0 for _, m in found.masses)


@settings(max_examples=30)
@given(
    add=masses,
    places=st.lists(st.floats(0, 6.28), min_size=2, max_size=4, unique=True),
    step=st.sampled_from([0.25, 1.0]),
)
def test_whole_steps_are_the_best_of_a_grid(add, places, step):
    found = place(add, places, step=step)
    size = step * np.arange(math.ceil(4 * abs(add) / step) + 1)
    grid = [
        np.abs(add - size[:, None] * cmath.exp(1j * a) - size * cmath.exp(1j * b)).min()
        for a, b in itertools.combinations(places, 2)
    ]
    assert abs(found.residual) == pytest.approx(min(grid), abs=1e-7)
    assert all(m / step == round(m / step) for _, m in found.masses)


def test_steps_far_finer_than_the_mass_round_the_exact_split():
    """8 at 30 degrees on 0 and 75 (sine rule). Trying every step would be 32 thousand million."""
    add, second = cmath.rect(8, math.radians(30)), math.radians(75)
    exact = [8 * math.sin(math.radians(a)) / math.sin(second) for a in (45, 30)]
    for step in (1e-9, 0.01):
        found = place(add, [0.0, second], step=step)
        assert [m for _, m in found.masses] == pytest.approx(exact, abs=0.5001 * step)
    assert [m for _, m in found.masses] == pytest.approx([round(m, 2) for m in exact])


def test_a_mass_at_one_of_two_positions_goes_there_alone():
    assert split_between(8 + 0j, 0.0, math.radians(75)) == pytest.approx((8.0, 0.0))


def test_of_two_exact_pairs_the_lighter_is_taken():
    """0.3 at 45 degrees: on 0 and 90 it takes 2 x 0.3 sin 45 = 0.424; on 0 and 60 by the sine rule
    0.3 (sin 15 + sin 45) / sin 60 = 0.335."""
    found = place(cmath.rect(0.3, math.radians(45)), [0.0, math.pi / 2, math.radians(60)])
    assert found.total == pytest.approx(0.3346, abs=1e-4)


def test_less_mass_wins_where_nothing_else_differs():
    found = place(5 + 0j, [0.0, math.pi / 2, math.pi])
    assert found.masses == ((0.0, 5.0),)
    assert place(1 + 0j, [math.pi]).masses == ()
    assert place(1.1 + 0j, [0.0], step=0.5).masses == ((0.0, 1.0),)
    with pytest.raises(ValueError, match="one place"):
        place(1j, [])
    with pytest.raises(ValueError, match="step"):
        place(1j, [0.0], step=0.0)
