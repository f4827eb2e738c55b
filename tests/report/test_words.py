"""Numbers in shop words."""

from __future__ import annotations

import re

import pytest

from advisor.model.diagnosis import LimitNote, Marked, PlaceShare
from advisor.report import words
from advisor.report.spans import legend, letter, pieces


@pytest.mark.parametrize(
    ("p", "said"),
    [
        (0.0, "less than 1 in 50"),
        (0.0199, "less than 1 in 50"),
        (0.03, "about 1 in 40"),
        (0.05, "about 1 in 20"),
        (0.1, "about 1 in 10"),
        (0.25, "about 3 in 10"),
        (0.62, "about 6 in 10"),
        (0.949, "about 9 in 10"),
        (0.96, "about 19 in 20"),
        (1.0, "more than 49 in 50"),
    ],
)
def test_chance(p, said):
    assert words.chance(p) == said


def test_chance_in_words_is_never_far_from_the_number():
    for k in range(1001):
        p = k / 1000
        a, b = map(int, re.findall(r"\d+", words.chance(p)))
        assert abs(a / b - p) <= 0.0501


def test_more_probable_never_reads_less_probable():
    said = [words.chance(k / 1000) for k in range(1001)]
    order = list(dict.fromkeys(said))
    assert said == sorted(said, key=order.index)


@pytest.mark.parametrize(
    ("value", "said"), [(0.2, "under 1 min"), (7.5, "8 min"), (60, "1 h"), (95, "1 h 35 min")]
)
def test_minutes(value, said):
    assert words.minutes(value) == said


def test_ranges_and_lists():
    assert words.hz(8.24, 9.1) == "8.2 to 9.1 Hz"
    assert words.hz(120.2, 140.4) == "120 to 140 Hz"
    assert words.mph(60, 60.2) == "60 mph"
    assert words.listing(["a", "b", "c"]) == "a, b and c"
    assert words.listing([]) == ""


def test_places():
    shares = [PlaceShare(place=p, probability=q) for p, q in
              (("steer_left", 0.4), ("drive_right_outer", 0.02))]  # fmt: skip
    assert words.places(shares) == "left steer"
    assert words.places([]) == "whole vehicle"
    assert words.place("drive_right_outer") == "right outer drive"


def test_limit_says_its_figure_once():
    note = {"id": "x", "unit": "in", "source": "s", "seen": "memory"}
    assert words.limit(LimitNote(text="Runout", value=0.095, **note)) == "Runout: 0.095 in"
    assert words.limit(LimitNote(text="at most 0.095 in", value=0.095, **note)).count("0.095") == 1
    ranged = LimitNote(text="Distance", value=100, low=50, **note)
    assert words.limit(ranged) == "Distance: 50 to 100 in"


def test_grade_of_a_source_is_never_raised():
    assert "quoted" in words.seen("secondary")
    assert words.seen("memory") == "from memory"
    assert "no source" in words.seen("judgement")
    assert words.seen("a grade of tomorrow") == "a grade of tomorrow"


def mark(start: int, end: int, text: str) -> Marked:
    return Marked(symptom=f"sensation.{text}", value="yes", start=start, end=end, text=text)


def test_pieces_join_to_the_text_and_overlaps_are_marked_once():
    text = "hops and hops again"
    spans = [mark(0, 8, "hop"), mark(5, 13, "shake"), mark(9, 99, "outside")]
    cut = pieces(text, spans)
    assert "".join(p.text for p in cut) == text
    assert "".join(p.text for p in cut if p.marked) == text[:13]
    assert [(p.text, p.ends) for p in cut if p.ends] == [("and", ("a",)), (" hops", ("b",))]
    assert [name for name, _ in legend(text, spans)] == ["a", "b"]


def test_letters_go_on_after_z():
    assert [letter(n) for n in (0, 25, 26, 27, 701, 702)] == ["a", "z", "aa", "ab", "zz", "aaa"]
