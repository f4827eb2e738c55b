"""Scores by their definitions."""

from __future__ import annotations

import pytest

from advisor.drill.score import Named, brier, is_right
from advisor.model.case import ConfirmedCause
from advisor.model.place import Place


def test_brier_by_definition():
    """Brier, Monthly Weather Review 78(1), 1950, eq. 2 (from memory): the mean over forecasts of
    the sum over classes of (stated - happened) squared."""
    assert brier([(0.8, True)]) == pytest.approx((0.8 - 1) ** 2 + (0.2 - 0) ** 2)
    assert brier([(0.8, False)]) == pytest.approx((0.8 - 0) ** 2 + (0.2 - 1) ** 2)
    assert brier([(1.0, True)]) == 0 and brier([(1.0, False)]) == 2
    assert brier([(0.5, True), (0.5, False)]) == pytest.approx(0.5)
    both = brier([(0.7, True), (0.9, False)])
    assert both == pytest.approx((brier([(0.7, True)]) + brier([(0.9, False)])) / 2)


def test_brier_is_least_when_confidence_is_how_often_one_is_right():
    was = [True] * 7 + [False] * 3
    scores = {p / 100: brier([(p / 100, w) for w in was]) for p in range(0, 101, 5)}
    assert min(scores, key=lambda p: scores[p]) == pytest.approx(0.7)


@pytest.mark.parametrize("bad", [[], [(1.2, True)], [(-0.1, False)]])
def test_brier_refuses_what_is_no_forecast(bad):
    with pytest.raises(ValueError):
        brier(bad)


@pytest.mark.parametrize(
    ("cause", "place", "right"),
    [
        ("bent_wheel", "steer_right", (True, True)),
        ("bent_wheel", "steer", (True, True)),
        ("bent_wheel", "steer_left", (True, False)),
        ("bent_wheel", "", (True, False)),
        ("imbalance", "steer_right", (False, False)),
    ],
)
def test_right_means_cause_and_place(cause, place, right):
    truth = [ConfirmedCause("bent_wheel", Place("steer", "right"))]
    assert is_right(Named(cause, place, 0.5), truth) == right
