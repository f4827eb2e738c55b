"""Every accepted way to write an answer, and what is refused instead of being lost."""

from __future__ import annotations

import pytest

from advisor.model.case import Frequency
from tests.intake.reading import problem, problems, read, said


def answers(pack, text):
    return said(read(pack, "symptoms:\n" + text))


def wrong(pack, text):
    return problem(pack, "symptoms:\n" + text)


SPELLINGS = {
    "list of ids": ("  - sensation.hop\n  - felt_at.seat\n", "sensation.hop felt_at.seat"),
    "list of keys": ("  - sensation: hop\n  - felt_at: [seat]\n", "sensation.hop felt_at.seat"),
    "key and word": ("  sensation: hop\n", "sensation.hop"),
    "key and list": ("  sensation: [hop, thump]\n", "sensation.hop sensation.thump"),
    "key and mapping": ("  sensation: {hop: yes, buzz: no}\n", "sensation.hop -sensation.buzz"),
    "id and yes": ("  sensation.hop: yes\n  felt_at.seat: no\n", "sensation.hop -felt_at.seat"),
    "other words for yes": ("  sensation: {hop: y, buzz: false, hum: ON}\n",
                            "sensation.hop -sensation.buzz sensation.hum"),
    "not asked": ("  sensation: {hop: unknown, buzz: '?', hum: }\n", ""),
    "blank key": ("  sensation:\n  felt_at: []\n", ""),
    "capitals and blanks": ("  Felt at: Steering Wheel\n  Sensation.Hop: Yes\n",
                            "felt_at.steering_wheel sensation.hop"),
    "capital in a list": ("  - Sensation.Hop\n", "sensation.hop"),
    "twice the same": ("  sensation: [hop, hop]\n  sensation.hop: yes\n", "sensation.hop"),
    "words at places": (
        "  wear: {steer_left: cupping, drive_right_inner: [one_sided, local_patch]}\n",
        "wear.cupping@steer_left wear.one_sided@drive_right_inner "
        "wear.local_patch@drive_right_inner",
    ),
    "places of a word": (
        "  wear: {cupping: [steer_left, drive], one_sided: no}\n",
        "wear.cupping@steer_left wear.cupping@drive -wear.one_sided",
    ),
    "yes and no at places of a word": (
        "  wear: {cupping: {steer_left: yes, steer_right: no}}\n",
        "wear.cupping@steer_left -wear.cupping@steer_right",
    ),
    "yes and no at a place": (
        "  wear: {steer_left: {cupping: yes, feathering: no, center: unknown}}\n",
        "wear.cupping@steer_left -wear.feathering@steer_left",
    ),
    "place in shop spelling": ("  wear: {Steer-Left: cupping}\n", "wear.cupping@steer_left"),
    "word without its place": ("  wear: cupping\n", "wear.cupping"),
    "id at a place": (
        "  danger.loose_or_missing_nuts: drive_left_outer\n",
        "danger.loose_or_missing_nuts@drive_left_outer",
    ),
    "speed pattern alone": ("  speed: grows_with_speed\n", "speed.grows_with_speed"),
    "speed pattern denied": ("  speed: {only_in_band: no, low_mph: 55}\n", "-speed.only_in_band"),
}  # fmt: skip


@pytest.mark.parametrize("name", SPELLINGS)
def test_accepted_spellings(pack, name):
    text, expected = SPELLINGS[name]
    wanted = {word.lstrip("-"): "no" if word[0] == "-" else "yes" for word in expected.split()}
    assert answers(pack, text) == wanted


def test_none_denies_every_value(pack):
    everywhere = answers(pack, "  wear: none\n")
    assert everywhere == {f"wear.{value}": "no" for value in pack.keys["wear"].values}
    here = answers(pack, "  wear: {steer_left: none}\n")
    assert here == {f"wear.{value}@steer_left": "no" for value in pack.keys["wear"].values}


@pytest.mark.parametrize(
    ("text", "low", "high", "peak"),
    [
        ("{low_mph: 55, high_mph: 65}", 55, 65, None),
        ("{low_mph: 55 mph, high_mph: 65 MPH, peak_mph: 60}", 55, 65, 60),
        ("{low_kmh: 90, high_kmh: 105 km/h}", None, None, None),
        ("{low_kmh: 90 kmh, high_kmh: 105}", 55.92, 65.24, None),
        ("{low_mph: 62}", 62, None, None),
        ("{high_mph: 40}", None, 40, None),
    ],
)
def test_speeds_in_both_units(pack, text, low, high, peak):
    """1 mile = 1.609344 km (naval SI table, Appendix B): 90 km/h = 55.92 mph."""
    body = f"symptoms:\n  speed: {text}\n"
    if "km/h" in text:
        assert "is not a number; allowed: 0 to 190 kmh" in problem(pack, body)
        return
    speed = read(pack, body).speed
    for got, wanted in ((speed.low_mph, low), (speed.high_mph, high), (speed.peak_mph, peak)):
        assert got == (None if wanted is None else pytest.approx(wanted, abs=0.005))


def test_measured_frequencies(pack):
    text = (
        "symptoms:\n  frequency: [{hz: 8.4 Hz, at_mph: 60, uncertainty_hz: 0.2}, "
        "{cycles_per_minute: 1008, at_kmh: 96.56064}, {hz: 5}]\n"
    )
    one, two, three = read(pack, text).frequencies
    assert one == Frequency(8.4, 0.2, 60.0)
    assert (two.hz, two.hz_sd) == (pytest.approx(16.8), pytest.approx(0.03 * 16.8))
    assert two.at_mph == pytest.approx(60.0)
    assert three.at_mph is None


WRONG = {
    "  - hop\n": 'symptoms[0]: "hop" is not a known symptom',
    "  - sensation\n": 'symptoms[0]: "sensation" is not a known symptom',
    "  - [sensation.hop]\n": "symptoms[0]: a list is not a symptom",
    "  sensatoin: hop\n": 'did you mean "sensation"?',
    "  sensation: hopp\n": 'did you mean "hop"?',
    "  sensation: {none: yes}\n": '"none" is not a known value of sensation',
    "  sensation: {hop: maybe}\n": '"maybe" is not an answer; allowed: yes, no, unknown',
    "  sensation: {hop: {a: b}}\n": '"a mapping" is not an answer',
    "  felt_at: [{seat: yes}]\n": "a mapping is not a value of felt_at",
    "  found.tread-runout: yes\n": "is not a known symptom",
    "  complaint.vibration: no\n": "is not a known symptom",
    "  wear: {front_left: cupping}\n": 'did you mean "steer_left"?',
    "  wear: {tag: cupping}\n": "a Line-haul tractor has no tag axle",
    "  wear: {steer_left_inner: cupping}\n": "carries single tires",
    "  wear: {steer_left: cuping}\n": 'did you mean "cupping"?',
    "  speed: 60\n": '"60" is not a known value of speed',
    "  speed: [55, 65]\n": "speed takes one value",
    "  speed: {low_mph: 900}\n": "900 is outside what is possible; allowed: 0 to 120 mph",
    "  speed: {low_mph: -1}\n": "-1 is outside what is possible",
    "  speed: {low_mph: nan}\n": "nan is outside what is possible",
    "  speed: {low_mph: sixty}\n": '"sixty" is not a number',
    "  speed: {low_mph: [1]}\n": '"a list" is not a number',
    "  speed: {low_kmh: 400}\n": "400 is outside what is possible; allowed: 0 to 190 kmh",
    "  speed: {low_mph: 70, high_mph: 55}\n": "the low speed 70 is above the high speed 55",
    "  speed: {low_mph: 50, high_mph: 60, peak_mph: 70}\n": "it is worst at 70, outside",
    "  speed: {low_mph: 50, low_kmh: 80}\n": "given twice, in mph and in km/h",
    "  - speed: {low_mph: 50}\n  - speed: {low_mph: 55}\n": "speed is given twice",
    "  speed: {lowest_mph: 50}\n": 'did you mean "low_mph"?',
    "  frequency: 8.4\n": "a frequency is a mapping; allowed: {hz: 8.4, at_mph: 60}",
    "  frequency: {at_mph: 60}\n": "give either hz or cycles_per_minute",
    "  frequency: {hz: 8, cycles_per_minute: 480}\n": "give either hz or cycles_per_minute",
    "  frequency: {hz: 0}\n": "0 is outside what is possible; allowed: 0.05 to 2000 hz",
    "  frequency: {hz: fast}\n": '"fast" is not a number',
    "  frequency: {hz: 8, at_mph: 60, at_kmh: 96}\n": "given twice, in mph and in km/h",
}


@pytest.mark.parametrize("text", WRONG)
def test_what_is_refused(pack, text):
    assert WRONG[text] in wrong(pack, text)


CONTRADICTIONS = {
    "yes and no": "  sensation: [hop]\n  sensation.hop: no\n",
    "in a list": "  - sensation.hop\n  - sensation.hop: no\n",
    "none and a value": "  wear: {steer_left: [cupping, none]}\n",
    "denied for the vehicle": "  wear: {steer_left: cupping, cupping: no}\n",
    "denied for the axle": "  wear: {steer: none, steer_left: cupping}\n",
    "two of one": "  growth: {within_days: yes, slowly: yes}\n",
    "two patterns": "  speed.only_in_band: yes\n  speed.any_speed: yes\n",
}


@pytest.mark.parametrize("name", CONTRADICTIONS)
def test_contradictions_are_refused(pack, name):
    found = problems(pack, "symptoms:\n" + CONTRADICTIONS[name])
    assert all("keep the answer that is right" in text for text in found)


def test_what_only_looks_like_a_contradiction(pack):
    """Seen at one wheel of the axle, not at the other; a general yes with one wheel denied."""
    text = "  wear: {steer_left: cupping, steer_right: none, cupping: yes}\n"
    found = answers(pack, text)
    assert found["wear.cupping@steer_left"] == "yes"
    assert found["wear.cupping@steer_right"] == "no"
    assert found["wear.cupping"] == "yes"
