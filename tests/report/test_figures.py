"""Drawings: well-formed, named without color, the same bytes every time."""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ElementTree
from itertools import pairwise

import pytest

from advisor.model.diagnosis import Diagram, Picture
from advisor.report.figures import draw, interference_diagram
from advisor.report.figures.data import UnfitPicture
from advisor.report.figures.ink import apart
from advisor.report.figures.reliability import interval

from .sample_figures import DIAGRAM, RUNOUT_DATA

HZ = [0.2 * k for k in range(150)]
SPEEDS = [40.0 + k for k in range(30)]
DATA = {
    "polar_runout": RUNOUT_DATA,
    "vector_diagram": {
        "wheel": {"amount": 5, "angle_deg": 0}, "tire": {"amount": 10, "angle_deg": 60},
        "turn_deg": 120, "left": {"amount": 5, "angle_deg": 180}, "unit": "oz",
        "says": "Turn the tire 4 hours clockwise"},
    "order_spectrum": {
        "orders": [0.5, 1.0, 1.5], "amplitudes": [0.1, 0.4, None], "unit": "m/s2",
        "named": [{"order": 1, "name": "wheel order 1"}, {"order": 1.02, "name": "close by"}]},
    "waterfall": {
        "speed_mph": SPEEDS, "hz": HZ, "unit": "m/s2",
        "level": [[math.exp(-((f - 0.14 * v) ** 2)) for f in HZ] for v in SPEEDS],
        "orders": [{"name": "wheel order 1", "hz_per_mph": 0.14}]},
    "two_speed": {
        "points": [{"mph": 50, "amount": 26, "error": 2}, {"mph": 70, "amount": 13, "error": 1}],
        "curves": [{"name": "same at every speed", "mph": [45, 75], "amount": [17, 17]}]},
    "reliability": {
        "bins": [{"said": 0.03, "was": 0.0, "count": 940}, {"said": 0.9, "was": 1.0, "count": 8}]},
}  # fmt: skip
LABELS = {
    "polar_runout": ["0.066", "3 o'clock", "valve stem", "high spot at 3 o'clock"],
    "vector_diagram": ["wheel 5 oz", "tire as found 10 oz", "tire turned", "left over 5 oz"],
    "order_spectrum": ["wheel order 1", "close by"],
    "waterfall": ["wheel order 1"],
    "two_speed": ["same at every speed"],
    "reliability": ["as often as said", "940", "8", "probability said"],
}


def make(kind: str, **more: object) -> str:
    return draw(Picture(kind=kind, title="A drawing", data={**DATA[kind], **more}), prefix="p7")


def words_in(svg: str) -> list[str]:
    return ["".join(e.itertext()).strip() for e in ElementTree.fromstring(svg).iter()
            if e.tag.endswith("}text")]  # fmt: skip


@pytest.mark.parametrize("kind", DATA)
def test_drawing_is_well_formed_named_and_the_same_every_time(kind):
    svg = make(kind)
    assert set(LABELS[kind]) <= set(words_in(svg))
    assert svg == make(kind)
    root = ElementTree.fromstring(svg)
    ids = [e.get("id") for e in root.iter() if e.get("id")]
    assert ids and all(i.startswith("p7-") for i in ids) and len(ids) == len(set(ids))
    used = re.findall(r'(?:href="#|url\(#)([^")]+)', svg)
    assert set(used) <= set(ids)
    assert "<metadata" not in svg and "<script" not in svg and "<style" not in svg
    assert len(svg) < 120_000


def test_interference_diagram_names_every_order_and_band():
    diagram = Diagram.model_validate(DIAGRAM)
    shown = words_in(interference_diagram(diagram))
    for name, _ in diagram.slopes:
        assert name in shown
    for letter, mode in zip("ABCD", diagram.modes, strict=True):
        assert letter in shown
        assert any(text.startswith(f"{letter}: {mode.name}") for text in shown)
    assert "driver: 58 to 64 mph" in shown
    assert interference_diagram(diagram) == interference_diagram(diagram)


def test_interference_diagram_without_a_reported_band_or_modes():
    diagram = Diagram.model_validate({**DIAGRAM, "band_mph": None, "modes": []})
    svg = interference_diagram(diagram)
    assert not [text for text in words_in(svg) if text.startswith("driver")]
    assert "No speed band was reported" in svg


def test_shaded_band_moves_with_the_drivers_speeds():
    def left_edge(low: float) -> float:
        diagram = Diagram.model_validate({**DIAGRAM, "band_mph": (low, 70)})
        shaded = re.search(r'd="M ([\d.]+)[^"]*" [^>]*fill: #9a9a9a', interference_diagram(diagram))
        assert shaded
        return float(shaded[1])

    at_20, at_40, at_60 = left_edge(20), left_edge(40), left_edge(60)
    assert at_20 < at_40 < at_60
    assert at_40 - at_20 == pytest.approx(at_60 - at_40, abs=0.05)


def test_hostile_labels_stay_text():
    svg = make("polar_runout", high_says="<script>$x_1$\x1b[2J", zero_at="a & b")
    assert "<script>$x_1$\\x1b[2J" in words_in(svg)
    assert "a & b" in words_in(svg)


@pytest.mark.parametrize(
    ("kind", "change", "said"),
    [
        ("polar_runout", {"readings": [1, 2]}, "lists differ in length"),
        ("polar_runout", {"mean": None}, "mean must be a number"),
        ("polar_runout", {"readings": [None] * 12}, "fewer than three"),
        ("vector_diagram", {"wheel": 3}, "wheel must have amount"),
        ("order_spectrum", {"orders": "abc"}, "orders must be a list of numbers"),
        ("waterfall", {"level": []}, "one list for each speed"),
        ("two_speed", {"points": []}, "points is empty"),
        ("two_speed", {"points": [3]}, "list of mappings"),
        ("reliability", {"bins": []}, "bins is empty"),
        ("reliability", {"bins": [{"said": 1.2, "was": 0.5, "count": 3}]}, "are shares"),
        ("reliability", {"bins": [{"said": 0.2, "was": 0.5, "count": 0}]}, "1 or more"),
    ],
)
def test_data_that_cannot_be_drawn_is_named(kind, change, said):
    with pytest.raises(UnfitPicture, match=said):
        make(kind, **change)


@pytest.mark.parametrize(("seen", "of"), [(0, 940), (4, 80), (1, 1), (7, 8), (8, 8)])
def test_bars_are_the_intervals_of_a_reference_library(seen, of):
    """scipy's binomial test, method of Wilson (1927), 90 %."""
    from scipy.stats import binomtest

    expected = binomtest(seen, of).proportion_ci(0.9, method="wilson")
    assert interval(seen / of, of) == pytest.approx((expected.low, expected.high), abs=1e-4)


def test_unknown_kind_is_named_with_a_suggestion():
    with pytest.raises(UnfitPicture, match="polar_runout"):
        draw(Picture(kind="polar_runot", title="", data={}))


def test_labels_are_pushed_apart_and_kept_inside():
    spots = apart([1.0, 1.1, 1.2, 9.9], 1.0, 0.0, 10.0)
    assert all(b - a >= 1.0 - 1e-12 for a, b in pairwise(spots))
    assert min(spots) >= 0.0 and max(spots) <= 10.0
