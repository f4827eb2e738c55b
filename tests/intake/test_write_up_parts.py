"""Parts that are loose, broken or parting must not roll; worn, greased or tight ones may."""

from __future__ import annotations

from itertools import product

import pytest

from tests.intake.write_up_scores import reader

PARTS = {
    "danger.steering_part_loose": (
        "tie rod", "tie rod end", "drag link", "draglink", "LF ball joint", "king pin",
        "pitman arm", "steering box",
    ),
    "danger.suspension_part_broken": (
        "leaf spring", "LR spring", "main leaf", "u-bolt", "spring hanger", "torque rod",
        "control arm",
    ),
    "danger.driveline_part_loose": (
        "driveshaft", "drive shaft", "u joint", "carrier bearing", "slip yoke",
    ),
}  # fmt: skip
STATES = (
    "loose", "is loose", "was loose", "came apart", "broke", "is broken", "snapped",
    "about to fall off", "fell out", "coming apart", "hanging down", "let go", "cracked",
)  # fmt: skip
FRAMES = (
    "{0} {1}",
    "shakes at 60 and the {0} {1}",
    "found the {0} {1} on T-14",
    "NO WEAR. {0} {1}",
)
GONE = ("loose", "is loose", "shot", "failed", "went out", "is going bad", "seized", "has play")
DANGERS = {*PARTS, "danger.wheel_bearing_loose"}


@pytest.mark.parametrize("danger", PARTS)
def test_a_part_that_parts_is_flagged_however_it_is_said(danger: str):
    missed = [
        text
        for frame, part, state in product(FRAMES, PARTS[danger], STATES)
        for text in (frame.format(part, state), frame.format(part, state).upper())
        if danger not in reader().read(text).safety
    ]
    assert not missed


def test_a_wheel_that_rocks_is_flagged():
    told = [f"RF wheel bearing {state}" for state in GONE]
    told += ["wheel leans in at the top", "left front wheel rocks side to side"]
    told += ["there is play in the left wheel when you rock it"]
    missed = [t for t in told if "danger.wheel_bearing_loose" not in reader().read(t).safety]
    assert not missed


@pytest.mark.parametrize(
    ("text", "danger"),
    [
        ("steering shakes, wheels arent tight", "danger.loose_or_missing_nuts"),
        ("both wheel bolts missing on RR", "danger.loose_or_missing_nuts"),
        ("nuts wont stay tight on the tag axle", "danger.loose_or_missing_nuts"),
        ("loose nut indicators have moved on two studs", "danger.loose_or_missing_nuts"),
        ("LT FRT WHL LOOSE", "danger.loose_or_missing_nuts"),
        ("WHL NUTS MSSNG R/R", "danger.loose_or_missing_nuts"),
        ("ring of rust around the nuts", "danger.loose_or_missing_nuts"),
        ("rust running from the studs", "danger.loose_or_missing_nuts"),
        ("only nine nuts on the left drive outer", "danger.loose_or_missing_nuts"),
        ("WHL BRG LOOSE RF", "danger.wheel_bearing_loose"),
        ("oil leaking wheel seal LR", "danger.oil_leak_at_hub"),
        ("sparks coming from the left trailer wheel", "danger.hub_hot_or_smoke"),
        ("rear axle shifted back", "danger.suspension_part_broken"),
        ("broken spring RR", "danger.suspension_part_broken"),
        ("driveshaft strap bolts missing", "danger.driveline_part_loose"),
        ("LR sight glass dry", "danger.oil_leak_at_hub"),
        ("had to fight it to keep it in the lane", "danger.loss_of_control"),
    ],
)
def test_other_ways_of_saying_it(text: str, danger: str):
    assert danger in reader().read(text).safety


@pytest.mark.parametrize(
    "text",
    [
        "tie rods and ball joints tight, nothing loose",
        "checked the drag link, not loose",
        "no broken springs, U-bolts tight",
        "greased the u joints and king pins",
        "replaced worn ball joints",
        "wheel bearings good, not loose",
        "loose exhaust hitting the drive shaft",
        "drive shaft balanced, weight had come off",
        "spring brake released late",
        "steering loose, wanders",
        "a loose wheel bearing can cause this",
    ],
)
def test_what_is_tight_worn_or_beside_it_is_not(text: str):
    assert DANGERS.isdisjoint(reader().read(text).safety)
