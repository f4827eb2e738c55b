"""Dangers as people tell them: by likeness, by what the hand felt, by what was seen behind."""

from __future__ import annotations

import pytest

from tests.intake.write_up_scores import reader

TOLD = {
    "danger.loose_or_missing_nuts": (
        "the wheel was laying over in the fender well",
        "wheel was sitting crooked on the hub",
        "two studs had no nuts",
        "tire about to fall off",
        "wheel about ready to come off",
        "heard nuts rattling around in the hub cover",
        "every nut took half a turn",
        "had to snug up all ten nuts",
        "saw my own wheel go by",
        "left rear dually parted company with the bus",
        "the outer dual passed me on the shoulder",
    ),
    "danger.cracked_wheel": (
        "holes in the rim are egg shaped",
        "rim has worn oval around the studs",
        "center of the wheel broke out",
    ),
    "danger.driveline_part_loose": ("axle shaft came out of the housing",),
    "danger.wheel_bearing_loose": (
        "bearings ate themselves",
        "the wheel tilted in",
        "hub slid off the spindle",
    ),
    "danger.hub_hot_or_smoke": (
        "could fry an egg on the hub",
        "white smoke off the trailer tires",
        "smoke coming from the left wheel",
    ),
    "wear.bulge_or_separation": (
        "tire has a hernia on the sidewall",
        "looks like a tennis ball under the tread",
        "raised spot on the tread",
        "sidewall poking out",
        "cap is starting to lift",
        "recap half gone",
        "slinging rubber",
        "front tire went bang",
        "the inner is flat and chewed up",
    ),
    "danger.exposed_cord": (
        "can see threads on the tire",
        "canvas showing",
        "sidewall cut to the cord",
    ),
    "danger.oil_leak_at_hub": (
        "oil running down the inside of the tire",
        "hubcap full of milky oil",
        "hub cap missing and oil gone",
    ),
    "danger.loss_of_control": (
        "steering went out on me",
        "the trailer went sideways on me",
        "had both hands full to keep it upright",
    ),
}


@pytest.mark.parametrize("danger", TOLD)
def test_told_dangers_are_flagged(danger: str):
    told = [form for text in TOLD[danger] for form in (text, text.upper(), f"shakes at 58, {text}")]
    assert [text for text in told if danger not in reader().read(text).safety] == []


@pytest.mark.parametrize(
    "text",
    [
        "white smoke from the exhaust at startup",
        "raised spot in the road by the yard",
        "fuel cap missing",
        "steering went back to normal",
        "can see the tread wear bars",
        "threads on the studs are clean",
        "feels like riding on an egg",
        "plenty of tread left on the tires",
        "mud flap half gone",
        "wheel tilt lever sticks",
        "tires loose air overnight",
    ],
)
def test_what_only_sounds_so_is_not(text: str):
    assert not reader().read(text).safety
