"""Inspections and cautions of the sample diagnosis; every figure is invented."""

from __future__ import annotations

from typing import Any


def step(
    ident: str, name: str, at: str, minutes: float, extra: float, **more: Any
) -> dict[str, Any]:
    plain: dict[str, Any] = {
        "id": ident,
        "name": name,
        "place": at,
        "access": "raised",
        "minutes": minutes,
        "opens": [f"jack and chock ({extra:.0f} min)"] if extra else [],
        "minutes_with_access": minutes + extra,
        "tool": "dial indicator on a stand",
        "how": [
            "Set the stem square to the tread, away from the grooves.",
            "Turn the wheel slowly by hand through one full turn.",
            "Chalk the high spot and write down its clock position from the valve.",
        ],
        "limit": [],
        "fields": ["total indicated runout, in", "high spot, o'clock from the valve"],
        "tells": [
            {
                "result": "found",
                "probability": 0.55,
                "means": "The assembly is not round as mounted",
                "first": [
                    {"place": "off_center_mounting@steer_left", "probability": 0.71},
                    {"place": "out_of_round_tire@steer_left", "probability": 0.3},
                ],
            },
            {
                "result": "clear",
                "probability": 0.45,
                "means": "This end is round; look at its mate",
                "first": [{"place": "off_center_mounting@steer_right", "probability": 0.38}],
            },
        ],
        "chance": 0.55,
        "finds": ["off_center_mounting", "out_of_round_tire"],
        "safety": False,
        "cautions": ["chock-and-stand"],
        "source": "shop-practice",
    }
    return plain | more


TREAD_LIMIT = {
    "id": "radial-steer",
    "text": "Radial runout at the tread, steer axle",
    "value": 0.095,
    "unit": "in",
    "source": "recommended-practice",
    "seen": "secondary",
}

INSPECTIONS = [
    step(
        "wheel-nuts",
        "Check every wheel nut for seat and torque",
        "steer_left",
        6,
        0,
        access="as_parked",
        tool="torque wrench",
        safety=True,
        chance=0.06,
        how=[
            "Look for rust trails, shiny rings and bare threads.",
            "Check each nut against the maker's torque.",
        ],
        fields=["lowest torque found, lb-ft"],
        finds=["loose_fastening"],
        cautions=["chock-and-stand", "retorque"],
        tells=[
            {
                "result": "found",
                "probability": 0.06,
                "means": "Do not drive; take the wheel off",
                "first": [{"place": "loose_fastening@steer_left", "probability": 0.97}],
            },
            {
                "result": "clear",
                "probability": 0.94,
                "means": "Fastening is not the cause",
                "first": [],
            },
        ],
    ),
    step(
        "tread-runout",
        "Measure radial runout at the tread",
        "steer_left",
        8,
        12,
        limit=[TREAD_LIMIT],
        cautions=["chock-and-stand", "spinning"],
    ),
    step(
        "tread-runout-right",
        "Measure radial runout at the tread",
        "steer_right",
        8,
        0,
        limit=[TREAD_LIMIT],
        cautions=["chock-and-stand", "spinning"],
    ),
    step(
        "re-index",
        "Turn the wheel half a turn on the hub and measure again",
        "steer_left",
        18,
        15,
        access="wheel_off",
        cautions=["chock-and-stand", "retorque"],
    ),
    step(
        "bead-lines",
        "Look at the bead lines all the way round",
        "steer_left",
        3,
        0,
        tool="eye and lamp",
        fields=["largest gap difference, in"],
    ),
    step(
        "air",
        "Check pressures cold",
        "steer",
        4,
        0,
        tool="gauge",
        access="as_parked",
        fields=["left, psi", "right, psi"],
        cautions=[],
        tells=[],
    ),
    step(
        "shaft-look",
        "Look over the propeller shaft",
        "vehicle",
        9,
        0,
        tool="lamp",
        cautions=[],
        fields=[],
        tells=[],
        chance=0.04,
    ),
]

CAUTIONS = [
    {
        "id": "chock-and-stand",
        "text": "Chock the wheels that stay down; support the axle on "
        "stands, never on the jack alone.",
        "source": "shop-practice",
    },
    {
        "id": "spinning",
        "text": "Stand clear of a turning wheel; nothing loose near it.",
        "source": "shop-practice",
    },
    {
        "id": "retorque",
        "text": "Tighten again after the distance the wheel maker states.",
        "source": "maker-practice",
    },
    {
        "id": "cage",
        "text": "Let all air out before demounting; inflate in a restraining device, "
        "from a distance.",
        "source": "air-rule",
        "us_rule": True,
    },
]
