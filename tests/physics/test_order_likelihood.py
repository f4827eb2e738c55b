"""Order likelihoods: against simulated amplitudes, and bounded by what an order can prove."""

import math

import numpy as np
import pytest
from scipy import stats

from advisor.physics.order_likelihood import hypothesis_log10_ratios, order_log10_ratio
from advisor.physics.ordertrack import OrderAmplitude

OUT_OF_ROUND = {1.0: 0.9, 2.0: 0.4}
JOINT = {6.72: 0.9}


BACKGROUND = 0.1
TYPICAL = 0.2


def order(number, amplitude, noise=0.01):
    return OrderAmplitude(number, amplitude, noise, noise)


def ratios_of(measured, hypotheses):
    found = {o.order: order_log10_ratio(o, typical_amplitude=TYPICAL) for o in measured}
    return hypothesis_log10_ratios(found, hypotheses, background=BACKGROUND)


@pytest.mark.parametrize("amplitude", [0.0, 0.005, 0.02, 0.1])
def test_ratio_is_that_of_two_rayleigh_densities(amplitude):
    noise, typical = 0.01, 0.2
    spread = [math.sqrt(noise**2 / 2), math.sqrt((noise**2 + typical**2) / 2)]
    at = max(amplitude, 1e-9)
    absent, present = (stats.rayleigh.logpdf(at, scale=s) for s in spread)
    ratio = order_log10_ratio(order(1, amplitude), typical_amplitude=typical)
    assert ratio == pytest.approx((present - absent) / math.log(10), rel=1e-6)


@pytest.mark.parametrize("largest", ["amplitude_sd", "noise_amplitude", "floor"])
def test_the_largest_of_three_uncertainties_counts(largest):
    sizes = {"amplitude_sd": 0.01, "noise_amplitude": 0.01, "floor": 0.01} | {largest: 0.05}
    floor = sizes.pop("floor")
    found = order_log10_ratio(OrderAmplitude(1, 0.1, **sizes), typical_amplitude=0.2, floor=floor)
    assert found == order_log10_ratio(order(1, 0.1, noise=0.05), typical_amplitude=0.2)


def test_orders_present_speak_for_their_cause_and_against_the_other():
    measured = [order(1, 0.3), order(2, 0.1), order(6.72, 0.0)]
    ratio = ratios_of(measured, {"out of round": OUT_OF_ROUND, "joint": JOINT})
    assert ratio["out of round"] > 1
    assert ratio["joint"] < -0.5


def test_one_order_never_proves_more_than_its_bound():
    for amplitude in (0.0, 0.05, 1.0, 1e6):
        ratio = ratios_of([order(1, amplitude)], {"a": {1.0: 0.9}})
        assert math.log10(0.1 / 0.9) - 1e-9 <= ratio["a"] <= math.log10(0.9 / 0.1) + 1e-9


def test_each_order_is_bounded_by_its_own_background():
    """Both lines beyond doubt: log10(0.9 / 0.1) + log10(0.4 / 0.3)."""
    background = {1.0: 0.1, 2.0: 0.3}
    found = hypothesis_log10_ratios({1.0: 99, 2.0: 99}, {"a": OUT_OF_ROUND}, background=background)
    assert found["a"] == pytest.approx(math.log10(0.9 / 0.1) + math.log10(0.4 / 0.3))


@pytest.mark.parametrize(("measured", "counts"), [(6.78, True), (6.79, False)])
def test_orders_within_one_percent_are_the_same(measured, counts):
    """6.72 x 1.01 = 6.787."""
    assert (ratios_of([order(measured, 0.3)], {"joint": JOINT})["joint"] != 0) == counts


def test_what_was_not_measured_or_drowns_in_noise_says_nothing():
    for measured in ([], [order(1, 0.3)]):
        assert ratios_of(measured, {"joint": JOINT}) == {"joint": 0.0}
    loud_noise = ratios_of([order(6.72, 0.1, noise=50.0)], {"joint": JOINT})
    assert loud_noise["joint"] == pytest.approx(0.0, abs=1e-3)


def test_louder_is_never_less_likely():
    ratios = [ratios_of([order(1, a)], {"a": {1.0: 0.9}})["a"] for a in np.linspace(0, 0.5, 40)]
    assert (np.diff(ratios) >= -1e-12).all()


def test_certainty_is_refused():
    with pytest.raises(ValueError, match="between zero and one"):
        ratios_of([order(1, 0.3)], {"a": {1.0: 1.0}})
