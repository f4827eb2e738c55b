"""Hub, wheel and tire from turned set-ups: exact recovery, errors, what cannot be told apart."""

import cmath
import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from advisor.physics.dominance import largest_part
from advisor.physics.problem import PhysicsError
from advisor.physics.reindex import SetUp, part_sd, separate
from advisor.physics.runout import fit_runout
from advisor.physics.turns import best_stud_turn, error_gain, next_set_ups, stud_turns
from advisor.physics.vector import UncertainVector

H, W, T = 0.3 + 0.1j, -0.2 + 0.5j, 0.4 - 0.6j
SD = 0.02


def set_up(phi=0.0, psi=0.0, h=H, w=W, t=T, sd=SD, noise=0j):
    value = h + w * cmath.exp(1j * phi) + t * cmath.exp(1j * (phi + psi)) + noise
    return SetUp(UncertainVector.with_sd(value, sd), phi, psi)


turns = st.floats(0.3, 2 * math.pi - 0.3)
vectors = st.complex_numbers(max_magnitude=1.0)


@given(h=vectors, w=vectors, t=vectors, phi=turns, psi=turns)
def test_three_set_ups_give_back_all_three_vectors(h, w, t, phi, psi):
    found = separate([set_up(p, q, h, w, t) for p, q in ((0, 0), (phi, 0), (0, psi))])
    for name, true in (("hub", h), ("wheel", w), ("tire", t)):
        assert abs(found.parts[name].value - true) < 1e-12
    assert found.open_parts == () and found.consistency is None


@pytest.mark.parametrize("order", [1, 2, 3])
def test_sums_of_parts_are_as_mounted_in_the_first_set_up(order):
    """Hub and tire as they stand together, at every order, with parts turned from the start."""
    plan = [(0.4, 1.1), (1.9, 1.1), (0.4, 2.7)]
    turned = [(cmath.exp(1j * order * p), cmath.exp(1j * order * (p + q))) for p, q in plan]
    ups = [
        SetUp(UncertainVector.with_sd(H + W * a + T * b, SD), p, q)
        for (p, q), (a, b) in zip(plan, turned, strict=True)
    ]
    parts, (wheel, tire) = separate(ups, order=order).parts, turned[0]
    assert abs(parts["hub_and_tire"].value - (H + T * tire)) < 1e-12
    assert abs(parts["hub_and_wheel"].value - (H + W * wheel)) < 1e-12
    assert abs(parts["wheel_and_tire"].value - (W + T * tire / wheel)) < 1e-12
    assert abs(parts["whole"].value - (H + W * wheel + T * tire)) < 1e-12


def test_error_to_come_hangs_on_the_order():
    """Half a turn of the wheel moves its first harmonic most and its second not at all."""
    ups = [set_up(0, 0), set_up(math.pi, 0), set_up(0, math.pi / 2)]
    assert part_sd(ups, "wheel", order=1) < 1.0
    assert part_sd(ups, "wheel", order=2) == math.inf


def test_many_set_ups_of_unequal_worth_agree_with_generalized_least_squares():
    rng = np.random.default_rng(8)
    plan = [(0, 0, 1.0), (1.2, 0, 2.0), (3.1, 0.4, 0.5), (0.7, 2.0, 1.0), (5.0, 4.0, 3.0)]
    ups = [set_up(p, q, sd=s * SD, noise=complex(*rng.normal(size=2)) * s * SD) for p, q, s in plan]
    matrix = np.array([[1, cmath.exp(1j * p), cmath.exp(1j * (p + q))] for p, q, _ in plan])
    weight = np.diag([1 / s**2 for *_, s in plan])
    normal = matrix.conj().T @ weight @ matrix
    readings = np.array([u.reading.value for u in ups])
    expected = np.linalg.solve(normal, matrix.conj().T @ weight @ readings)
    found = separate(ups)
    for k, name in enumerate(("hub", "wheel", "tire")):
        assert found.parts[name].value == pytest.approx(expected[k])
        variance = np.linalg.inv(normal)[k, k].real * SD**2
        assert found.parts[name].sd == pytest.approx(math.sqrt(variance))


def test_error_bars_and_consistency_match_monte_carlo():
    rng = np.random.default_rng(9)
    plan = [(0, 0), (2.0, 0), (0, 1.0), (4.0, 2.5)]
    runs = [
        separate([set_up(p, q, noise=complex(*rng.normal(size=2)) * SD) for p, q in plan])
        for _ in range(500)
    ]
    for name in ("hub", "wheel", "tire"):
        values = np.array([r.parts[name].value for r in runs])
        spread = math.sqrt((values.real.var() + values.imag.var()) / 2)
        assert spread == pytest.approx(runs[0].parts[name].sd, rel=0.08)
    assert np.mean([r.consistency < 0.1 for r in runs]) == pytest.approx(0.1, abs=0.045)


@pytest.mark.parametrize(
    ("plan", "closed", "opened"),
    [
        ([(0, 0)], {"whole"}, ("hub", "wheel", "tire")),
        ([(0, 0), (2, 0)], {"hub", "wheel_and_tire", "whole"}, ("wheel", "tire")),
        ([(0, 0), (0, 2)], {"tire", "hub_and_wheel", "whole"}, ("hub", "wheel")),
        ([(0, 0), (2, -2)], {"wheel", "hub_and_tire", "whole"}, ("hub", "tire")),
        ([(0, 0), (2, 1)], {"whole"}, ("hub", "wheel", "tire")),
        ([(0, 0), (2 * math.pi, 0)], {"whole"}, ("hub", "wheel", "tire")),
    ],
)
def test_says_what_the_set_ups_cannot_tell_apart(plan, closed, opened):
    found = separate([set_up(p, q) for p, q in plan])
    assert set(found.parts) == closed
    assert found.open_parts == opened


def test_sums_are_those_of_the_first_set_up():
    found = separate([set_up(0.5, 1.0), set_up(2.5, 1.0)])
    assert found.parts["wheel_and_tire"].value == pytest.approx(W + T * cmath.exp(1j))
    assert found.parts["whole"].value == pytest.approx(set_up(0.5, 1.0).reading.value)


def test_seating_scatter_widens_the_error_bars():
    plan = [set_up(0), set_up(math.pi)]
    wide = separate(plan, seating_sd_m=SD).parts["hub"].sd
    assert wide == pytest.approx(math.sqrt(2) * separate(plan).parts["hub"].sd)


def test_half_a_turn_is_reversal():
    """Part is the half-difference, spindle the half-sum (reversal: Estler, Evans & Shao, NIST
    publication 820842; Reeve, NBSIR 79-1758)."""
    first, second = set_up(0), set_up(math.pi)
    found = separate([first, second])
    r1, r2 = first.reading.value, second.reading.value
    assert found.parts["hub"].value == pytest.approx((r1 + r2) / 2)
    assert found.parts["wheel_and_tire"].value == pytest.approx((r1 - r2) / 2)


@pytest.mark.parametrize("n_turns", [2, 3, 5])
def test_evenly_turned_set_ups_separate_all_but_multiples_of_their_number(n_turns):
    """Multi-orientation averaging leaves only part harmonics k N (Estler, Evans & Shao, NIST
    publication 820842, abstract)."""
    angle = 2 * math.pi * np.arange(36) / 36
    rng = np.random.default_rng(n_turns)
    part, spindle = rng.normal(size=(2, 8, 2))

    def shape(coefficients, at):
        return sum(
            a * np.cos(n * at) + b * np.sin(n * at) for n, (a, b) in enumerate(coefficients, 1)
        )

    phis = 2 * math.pi * np.arange(n_turns) / n_turns
    fits = [
        fit_runout(
            angle,
            shape(spindle, angle) + shape(part, angle - phi),
            reading_sd_m=SD,
            highest_order=8,
        )
        for phi in phis
    ]
    for order in range(1, 9):
        ups = [
            SetUp(fit.harmonics[order - 1].vector, phi) for fit, phi in zip(fits, phis, strict=True)
        ]
        found = separate(ups, order=order)
        if order % n_turns == 0:
            assert "hub" in found.open_parts
        else:
            assert found.open_parts == ("wheel", "tire")
            assert abs(found.parts["hub"].value - complex(*spindle[order - 1])) < 1e-12
            assert abs(found.parts["wheel_and_tire"].value - complex(*part[order - 1])) < 1e-12
            assert found.parts["hub"].sd == pytest.approx(
                fits[0].harmonics[0].vector.sd / math.sqrt(n_turns)
            )


@pytest.mark.parametrize("studs", [1, 2, 5])
def test_error_gain_law_is_that_of_the_fit(studs):
    turn = stud_turns(10)[studs - 1]
    found = separate([set_up(0), set_up(turn.turn_rad)])
    assert found.parts["hub"].sd == pytest.approx(turn.error_gain * SD)
    assert found.parts["wheel_and_tire"].sd == pytest.approx(turn.error_gain * SD)


def test_best_turn_is_the_one_nearest_half():
    assert [best_stud_turn(n).studs for n in (5, 6, 8, 10)] == [2, 3, 4, 5]
    for n in (5, 8, 10):
        gains = [error_gain(2 * math.pi * k / n) for k in range(1, n)]
        assert best_stud_turn(n).error_gain == pytest.approx(min(gains))
    assert error_gain(0) == math.inf
    with pytest.raises(ValueError, match="at least 3"):
        stud_turns(2)


def test_next_set_up_is_the_one_brute_force_finds():
    done = [set_up(0), set_up(2 * math.pi / 5)]
    plans = next_set_ups(done, "hub", 10, wheel_only=True)
    brute = {k: part_sd([*done, set_up(math.pi / 5 * (2 + k))], "hub") for k in range(1, 6)}
    assert plans[0].steps == min(brute, key=brute.__getitem__) == 4
    assert [p.sd_m for p in plans] == pytest.approx(sorted(brute.values()))
    for plan in plans:
        assert plan.turned == "wheel"
        assert plan.wheel_turn_rad == pytest.approx(math.pi / 5 * (2 + plan.steps))


def test_equally_good_turns_are_ranked_by_the_longest():
    plans = next_set_ups([set_up(0), set_up(math.pi)], "hub", 10, wheel_only=True)
    assert [p.steps for p in plans] == [5, 4, 3, 2, 1]
    assert all(p.sd_m == pytest.approx(plans[0].sd_m) for p in plans)


def test_the_open_tire_asks_for_half_a_turn_of_the_tire():
    best = next_set_ups([set_up(0), set_up(math.pi)], "tire", 10)[0]
    assert (best.turned, best.steps, best.then) == ("tire", 5, None)
    later = next_set_ups([set_up(0), set_up(0, 1.0)], "tire", 8)[0]
    assert later.tire_turn_rad == pytest.approx(1.0 + later.steps * math.pi / 4)


def test_two_more_set_ups_are_planned_where_one_is_not_enough():
    plans = next_set_ups([set_up(0)], "wheel", 8)
    assert plans and plans[0].then is not None
    first, then = plans[0], plans[0].then
    ups = [set_up(0), *(set_up(s.wheel_turn_rad, s.tire_turn_rad) for s in (first, then))]
    assert separate(ups).parts["wheel"].sd == pytest.approx(plans[0].sd_m)
    assert next_set_ups([set_up(0)], "wheel", 8, wheel_only=True) == ()


def test_largest_part_is_certain_only_as_far_as_the_errors_allow():
    plan = [(0, 0), (math.pi, 0), (0, math.pi)]
    clear = largest_part(separate([set_up(p, q, t=3 + 0j) for p, q in plan]))
    assert clear[0].part == "tire" and 0.999 < clear[0].probability < 1
    even = largest_part(separate([set_up(p, q, 1, 1j, 1 + 0j, sd=0.3) for p, q in plan]))
    assert max(s.probability for s in even) < 0.6
    assert sum(s.probability for s in even) == pytest.approx(1)


def test_largest_part_counts_correlated_errors():
    """Against drawing readings anew: flat prior, so the posterior is the error turned round."""
    plan = [(0, 0), (1.0, 0), (0, 2.0)]
    ups = [set_up(p, q, 0.5, 0.45j, 0.1, sd=0.05) for p, q in plan]
    shares = {s.part: s.probability for s in largest_part(separate(ups))}
    rng = np.random.default_rng(1)
    matrix = np.array([[1, cmath.exp(1j * p), cmath.exp(1j * (p + q))] for p, q in plan])
    readings = np.array([u.reading.value for u in ups])[:, None] + 0.05 * (
        rng.normal(size=(3, 20_000)) + 1j * rng.normal(size=(3, 20_000))
    )
    winner = np.abs(np.linalg.solve(matrix, readings)).argmax(axis=0)
    for k, name in enumerate(("hub", "wheel", "tire")):
        assert shares[name] == pytest.approx(np.mean(winner == k), abs=0.015)


def test_only_the_parts_asked_for_are_compared_and_twice_alike():
    plan = [(0, 0), (1.0, 0), (0, 2.0)]
    found = separate([set_up(p, q, 3, 0.45j, 0.5, sd=0.1) for p, q in plan])
    first, again = (largest_part(found, ("tire", "wheel")) for _ in range(2))
    assert {s.part for s in first} == {"tire", "wheel"}
    assert [s.probability for s in first] == [s.probability for s in again]
    assert 0.5 < first[0].probability < 0.95


def test_two_set_ups_weigh_the_mounting_against_the_assembly():
    shares = largest_part(separate([set_up(0, h=1), set_up(math.pi, h=1)]))
    assert [s.part for s in shares] == ["hub", "wheel_and_tire"]
    with pytest.raises(PhysicsError, match="tell any two parts apart"):
        largest_part(separate([set_up(0)]))


def test_refuses_nothing_and_readings_without_error():
    with pytest.raises(PhysicsError, match="no set-up"):
        separate([])
    with pytest.raises(ValueError, match="above zero"):
        separate([SetUp(UncertainVector(1j))])


@given(phi=turns, shift=st.floats(0, 6.28))
def test_moving_the_zero_mark_turns_all_vectors_alike(phi, shift):
    assume(abs(math.sin(phi / 2)) > 0.1)
    turned = cmath.exp(1j * shift)
    plain = separate([set_up(0), set_up(phi)])
    moved = separate([set_up(p, h=H * turned, w=W * turned, t=T * turned) for p in (0, phi)])
    for name, vector in plain.parts.items():
        assert abs(moved.parts[name].value - vector.value * turned) < 1e-12
