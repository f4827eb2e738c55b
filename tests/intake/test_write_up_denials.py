"""What is said not to be there, or to be fine: parts, sensations, conditions, places, dangers."""

from __future__ import annotations

import pytest

from tests.intake.write_up_scores import reader


def denied(text: str) -> set[str]:
    return set(reader().read(text).denied)


PARTS = {
    "steering gear OK'd by the dealer": {"steering"},
    "cab mounts: sound": {"mounts"},
    "air pressure is right on the sticker": {"pressure"},
    "air in the drive tires is good": {"pressure"},
    "every tire holds the right air": {"pressure"},
    "toe came back dead nuts": {"alignment"},
    "the driveshaft got the all clear": {"driveline"},
    "wheel bearings and shocks cleared by the shop": {"bearings", "shocks"},
    "springs, shackles and shocks all pass muster": {"suspension", "shocks"},
    "hubs, springs, mounts all tested good": {"bearings", "suspension", "mounts"},
    "u-joints have no slack": {"joint"},
    "brakes are not the culprit": {"brakes"},
    "I have crossed the tires off the list": {"tires"},
    "I ruled the alignment out with a laser": {"alignment"},
    "not the tires, I swapped sets": {"tires"},
    "it's not a bearing, I jacked each corner": {"bearings"},
    "no driveline play, no tire trouble": {"driveline", "tires"},
    "kingpins and drag link: nothing found": {"steering"},
    "Linkage was gone over. Nothing bent.": {"steering"},
    "engine was gone through from end to end, no fault in it": {"engine"},
    "nothing the matter with the engine": {"engine"},
    "all eight shocks are doing their job": {"shocks"},
    "Axles, brakes and wheels were inspected. Verdict: everything is good": {"brakes", "wheels"},
    "I blamed the toe but the rack said it was right on": {"alignment"},
}


@pytest.mark.parametrize("text", PARTS)
def test_a_part_called_good_in_other_words(text: str):
    said = denied(f"Shakes at 60. {text}.")
    assert {f"fine.{part}" for part in PARTS[text]} <= said


@pytest.mark.parametrize(
    "text",
    [
        "Tires are not good",
        "Tires were fine until the curb",
        "Tires were good once",
        "Tires were good for 20000 miles, then they cupped",
        "Are the tires fine?",
        "Tires good?",
        "Who says the tires are true?",
        "They said the tires were fine, it was not",
        "Dealer claims the tires are ok yet clearly they are not",
        "Tires should be fine, nobody looked",
        "New tires will be fine I hope",
        "If the tires are good, what else is there",
        "Fine tires cost money",
        "Need good tires",
        "Tires are anything but good",
        "I doubt the tires are right",
        "Wish my tires were as round as his belly",
        "Make sure your tires are good",
        "Tires are fine if you like ruts",
        "The tires will pass inspection next month",
        'Put the "good" tires on',
        "Once the tires are good again I'll report back",
        "Tires were perfect when it left the yard",
    ],
)
def test_a_good_word_that_approves_of_nothing(text: str):
    assert "fine.tires" not in denied(f"{text}. Shakes at 60.")


def test_work_done_on_a_part_does_not_call_the_list_good():
    assert "fine.tires" not in denied("Replaced tires, and the shocks are fine, shakes at 60")
    assert "fine.engine" not in denied("Shakes at 60. Engine and transmission mounts are good.")


SENSATIONS = {
    "wobble it is not": "wobble",
    "a shimmy I have yet to feel": "shimmy",
    "hop, no": "hop",
    "Pull? None": "pull",
    "as for a shimmy: none": "shimmy",
    "I wouldn't call it a hop": "hop",
    "it is neither a hop nor a shimmy": "hop",
    "no pull no pedal pulse": "pull",
    "it is wobble free": "wobble",
    "the shimmy is absent": "shimmy",
}


@pytest.mark.parametrize("text", SENSATIONS)
def test_a_sensation_denied_before_or_after_its_name(text: str):
    assert f"sensation.{SENSATIONS[text]}" in denied(f"Buzz in the floor at 60. {text}.")


def test_a_denied_vibration_is_no_complaint():
    for text in ("Whine at 40, but not one thing vibrates", "Nobody aboard felt a vibration"):
        assert not reader().read(text).is_vibration
        assert "sensation.vibration" in denied(text)


def test_a_sensation_named_before_a_joint_is_not_denied():
    read = reader().read("The wobble it is getting no better, shakes at 60")
    assert "sensation.wobble" not in read.denied


CONDITIONS = {
    "Hops at 48 empty, planted when loaded": "loaded",
    "Hops at 48. Full load, not at all": "loaded",
    "Shakes pulling at 50. Back off the pedal and it's dead calm": "coasting",
    "Shakes pulling at 50, disappears the second I coast": "coasting",
    "Shakes at 62. Stepping on the brake doesn't set it off": "braking",
    "Shakes at 62. Braking has no effect on it": "braking",
    "Brakes shake it at 60. When I give it gas, no": "accelerating",
    "Shakes at 60 loaded. Coming back empty there's none of it": "empty",
    "Hops at 50 loaded. Drop the load and it vanishes": "empty",
    "Shakes loaded at 60, never when empty": "empty",
    "Shimmy at 48 straight ahead. In bends nothing": "turning",
    "It shakes over 45, doesn't do it turning": "turning",
    "Shakes at 60. Coasting? Not at all": "coasting",
}


@pytest.mark.parametrize("text", CONDITIONS)
def test_a_condition_under_which_it_is_not_there(text: str):
    assert f"condition.{CONDITIONS[text]}" in denied(f"{text}.")


@pytest.mark.parametrize(
    ("text", "condition"),
    [
        ("Hops empty at 50, planted when loaded", "empty"),
        ("It shakes when I brake, not just a little, at 60", "braking"),
        ("It shakes when loaded, never when empty", "loaded"),
        ("Shakes at 60 accelerating, not when coasting", "accelerating"),
        ("Shakes in turns at 30, nothing helps", "turning"),
        ("When I brake nothing stops it shaking at 60", "braking"),
        ("Shakes at 60, a bit less when coasting", "coasting"),
        ("I didn't brake, it shook at 60 when I hit the gas", "accelerating"),
    ],
)
def test_a_condition_under_which_it_is_there(text: str, condition: str):
    assert f"condition.{condition}" not in denied(text)


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("Shakes in the seat at 60. The steering wheel stays calm.", "steering_wheel"),
        ("Buzz in the floor at 55. The seat doesn't get any of it.", "seat"),
        ("Shakes the seat at 60, nothing makes it to the steering wheel.", "steering_wheel"),
        ("Floor is the worst at 60; the seat is unaffected.", "seat"),
    ],
)
def test_a_place_where_it_is_not_felt(text: str, place: str):
    assert f"felt_at.{place}" in denied(f"Vibration. {text}")


def test_a_place_that_was_quiet_for_a_while_is_not_denied():
    text = "Pulses at 60. The pedal was quiet for a week, then it came back."
    assert "felt_at.brake_pedal" not in denied(text)


@pytest.mark.parametrize(
    ("text", "danger"),
    [
        ("checked the lugs, all tight", "danger.loose_or_missing_nuts"),
        ("tires r round n nuts r tight", "danger.loose_or_missing_nuts"),
        ("every nut got a wrench and every nut and stud is accounted for, lug nuts where they "
         "ought to be", "danger.loose_or_missing_nuts"),
        ("hub seals dry", "danger.oil_leak_at_hub"),
        ("no grease around the wheel seals", "danger.oil_leak_at_hub"),
        ("no lumps on the tires", "wear.bulge_or_separation"),
        ("not a crack in the lot", "danger.cracked_wheel"),
        ("hub on the right is cool to the touch", "danger.hub_hot_or_smoke"),
    ],
)  # fmt: skip
def test_a_danger_looked_for_and_not_there(text: str, danger: str):
    read = reader().read(f"Shakes at 60, {text}.")
    assert danger in read.denied
    assert danger not in read.safety


@pytest.mark.parametrize(
    "text",
    [
        "Make sure the lugs are tight",
        "Three of the nuts were tight, the rest I turned by hand",
    ],
)
def test_nuts_are_not_cleared_by_a_word_about_some_or_about_something_else(text: str):
    assert "danger.loose_or_missing_nuts" not in denied(f"{text}. Shakes at 60.")


@pytest.mark.parametrize(
    "text",
    [
        "Lugs all tight on the left, two of the nuts were missing on the right",
        "Nuts tight but two of the studs were gone",
        "Hubs nice and cool but the right drum is smoking",
        "Hub seals dry, oil running down the tire though from the axle seal of the left hub",
        "No lumps on the left, bulge on the right front tire",
    ],
)
def test_a_danger_that_is_there_is_flagged_beside_a_denial(text: str):
    assert reader().read(text).safety
