"""Stacks of invented write-ups of an invented fleet, for tests and benchmarks."""

from __future__ import annotations

import random

SENSATION = [
    "shakes", "vibrates", "hops", "shimmy", "wobbles", "buzzes", "thumping", "vibration",
    "shakes bad", "hop", "hum",
]  # fmt: skip
WHERE = [
    "in the seat", "in the steering wheel", "in the front end", "in the floor", "from the rear",
    "all over", "", "in the cab", "",
]  # fmt: skip
WHEN = [
    "loaded", "empty", "when braking", "under power", "", "", "only in a turn", "when cold",
    "on the highway",
]  # fmt: skip
BEGAN = [
    "since new steers were put on", "after hitting a pothole", "started all of a sudden",
    "getting worse every day", "", "", "", "after the brake job", "came on slowly",
]  # fmt: skip
DONE = [
    "", "", "", "balanced twice no change", "balanced, better for a week", "aligned no change",
    "new shocks no help", "rotated tires still there",
]  # fmt: skip
WEAR = ["", "", "", "steers are cupped", "lf cupping", "flat spot on rr", "drives scalloped"]
DENIED = ["", "", "no noise", "brakes are fine", "not when coasting", "nothing in the wheel"]
OTHER = [
    "a/c does not cool", "left mirror cracked", "brakes squeal when wet", "check engine light on",
    "wipers streak", "oil change due", "seat air leak", "reefer unit rattles when parked",
    "marker light out", "air leak at glad hand", "radio dead",
    "horn weak", "door wont latch", "def fault again",
]  # fmt: skip
URGENT = ["lug nuts loose on rr", "smoke from the left rear wheel"]
VEHICLES = ["linehaul_tractor", "straight_truck", "transit_bus", "refuse_truck", "coach"]
TIRES = {"linehaul_tractor": "295/75R22.5", "straight_truck": "11R22.5", "coach": "315/80R22.5"}


def profile(unit: int) -> list[str]:
    """What the driver of a unit tends to say, part by part."""
    rng = random.Random(unit)
    low = rng.randrange(30, 70, 5)
    speed = rng.choice([f"at {low}", f"{low} to {low + 8} mph", f"over {low} mph", f"{low}+", ""])
    parts = [rng.choice(SENSATION), rng.choice(WHERE), speed]
    return parts + [rng.choice(x) for x in (WHEN, BEGAN, DONE, WEAR, DENIED)]


def complaint(rng: random.Random, unit: int) -> str:
    """A vibration complaint in shop shorthand: what is wrong with a unit, told more or less."""
    told = profile(unit)
    text = ", ".join([told[0], *(part for part in told[1:] if part and rng.random() < 0.7)])
    return text.upper() if rng.random() < 0.4 else text


def stack_lines(rows: int, seed: int = 5, share: float = 0.35, a_unit: int = 12) -> list[str]:
    """CSV lines with a heading: `share` of the rows are vibration complaints."""
    rng = random.Random(seed)
    units = max(3, rows // a_unit)
    lines = ["Unit,Reported,Vehicle,Tire,Complaint"]
    for _ in range(rows):
        unit = rng.randrange(units)
        kind = VEHICLES[unit % len(VEHICLES)]
        other = URGENT if rng.random() < 0.02 else OTHER
        text = complaint(rng, unit) if rng.random() < share else rng.choice(other)
        day = f"2031-{rng.randrange(1, 13):02d}-{rng.randrange(1, 29):02d}"
        lines.append(f'U-{unit},{day},{kind},{TIRES.get(kind, "")},"{text}"')
    return lines
