"""What a recording says in words: every verdict, and figures with the digits their error allows."""

from __future__ import annotations

import math
from types import SimpleNamespace

import pytest

from advisor.evidence.recording_words import (
    duration,
    hz_range,
    listing,
    verdict_on,
    verdict_words,
    with_error,
)
from advisor.physics.ridge_verdict import RidgeLine, RidgeVerdict

CIRCUMFERENCE_M = 3.143
LINE = RidgeLine(0.318, 0.001, 0.01, 0.02, 8.0, 0.01, 25.0, 20.0, 30.0, 40)


def told(kind: str, **more) -> str:
    verdict = RidgeVerdict(kind, LINE, **{"because": "", **more})
    roll = SimpleNamespace(circumference_m=CIRCUMFERENCE_M)
    found = SimpleNamespace(analysis=SimpleNamespace(verdict=verdict), roll=roll)
    first, ridge = verdict_words(found)
    assert ridge.startswith("Ridge from 45 to 67 mph") and "0.1422" in ridge  # 0.44704 / 3.143
    return first


def test_an_order_is_named_with_what_it_may_be_instead():
    said = told("order", name="shaft order 1", other_names=("wheel order 3",))
    assert said.endswith("It is shaft order 1 (or wheel order 3, too close to tell).")
    assert "order 2.30 of the wheel, none of those looked for" in told("order", order=2.3)


def test_a_resonance_says_where_wheel_order_one_passes_it():
    """8 Hz x 3.143 m = 25.1 m/s, 56 mph."""
    said = told("resonance", resonance_hz=8.0, resonance_sd_hz=0.02)
    assert "stays at 8.00 +/- 0.02 Hz" in said and "passes it at 56 mph" in said


def test_an_amplified_order_says_both():
    more = {"name": "wheel order 1", "resonance_hz": 8.0, "resonance_sd_hz": 0.1, "gain": 3.24}
    said = told("amplified_order", **more)
    assert "so it is wheel order 1" in said and "swells 3.2 times near 8.0 +/- 0.1 Hz" in said


def test_an_undecided_ridge_says_what_to_do_or_what_it_may_be():
    near = told("undecided", because="the speeds lie too close together")
    assert "Repeat over at least 20 mph" in near
    assert "two lines that cross" in told("undecided")


def test_nothing_is_said_without_a_ridge():
    found = SimpleNamespace(analysis=SimpleNamespace(verdict=None))
    assert verdict_words(found) == []


@pytest.mark.parametrize(
    ("state", "said"),
    [
        ({"there": 0.4}, "noise only"),
        ({"passes_hz": 9.04}, "passes 9.0 Hz, not told apart there"),
        ({"with_": ("a", "b", "c")}, "not told from a, b and c"),
        ({"stands_out": 0.5}, "stands out"),
        ({"stands_out": 0.2}, "there"),
        ({"times_usual": 1.1}, "as usual"),
        ({"times_usual": 1.3}, "there, but weak"),
        ({"times_usual": None}, "there, but weak"),
    ],
)
def test_a_line_in_few_words(state, said):
    plain = {"there": 0.9, "passes_hz": None, "with_": (), "stands_out": 0.1, "times_usual": 2.0}
    assert verdict_on(SimpleNamespace(**plain | state)) == said


@pytest.mark.parametrize(
    ("seconds", "said"),
    [(45.2, "45 s"), (119, "119 s"), (120, "2 min"), (3540, "59 min"), (3900, "1 h 5 min")],
)
def test_durations(seconds, said):
    assert duration(seconds) == said


@pytest.mark.parametrize(
    ("value", "sd", "said"),
    [
        (8.2031, 0.012, "8.20 +/- 0.01"),
        (8.2031, 3.0, "8 +/- 3"),
        (-0.0001, 0.1, "0.0 +/- 0.1"),
        (8.2031, 0.0, "8.20310 +/- 0.00001"),
        (math.nan, 0.1, "unknown"),
    ],
)
def test_figures_have_the_digits_their_error_allows(value, sd, said):
    assert with_error(value, sd) == said


def test_ranges_and_lists():
    assert (hz_range(5.81, 5.84), hz_range(5.8, 10.12)) == ("5.8", "5.8 to 10.1")
    assert [listing(x) for x in ((), ("a",), ("a", "b"))] == ["", "a", "a and b"]
    assert listing(("a", "b", "c"), "or") == "a, b or c"
