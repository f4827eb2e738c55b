"""A diagnosis built by hand: an invented unit of an invented fleet; every figure is invented."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

from advisor.model.diagnosis import Diagnosis

from .sample_causes import CAUSES
from .sample_figures import DIAGRAM, ORDERS, READING
from .sample_steps import CAUTIONS, INSPECTIONS

WRITE_UP = (
    "Truck hops in the seat 58 to 64, loaded or empty. Started right after the new steers went "
    "on. No shake when braking."
)


def mark(symptom: str, value: str, text: str) -> dict[str, Any]:
    start = WRITE_UP.index(text)
    return {
        "symptom": symptom,
        "value": value,
        "start": start,
        "end": start + len(text),
        "text": text,
    }


SOURCES = [
    {"id": "shop-practice", "text": "Shop practice", "seen": "common practice"},
    {"id": "maker-practice", "text": "Wheel makers' usual advice", "seen": "memory"},
    {
        "id": "air-rule",
        "text": "29 CFR 1910.177, Servicing multi-piece and single piece rim wheels",
        "seen": "published",
    },
    {
        "id": "recommended-practice",
        "text": "Industry recommended practice for wheel-end runout, "
        "as printed in a tire maker's data book",
        "seen": "secondary",
    },
    {"id": "own-memory", "text": "Mode bands of heavy vehicles", "seen": "memory"},
    {"id": "never-cited", "text": "A source that nothing on the sheet cites", "seen": "invented"},
]

LIMITATIONS = [
    {
        "id": "trailer-unseen",
        "says": "Nothing was said about the trailer.",
        "do": "Ask whether it is the same with another trailer.",
    },
]


def document(**more: Any) -> dict[str, Any]:
    """The sample as plain data, with some keys replaced."""
    plain: dict[str, Any] = {
        "schema": 1,
        "case": "Q-031-seat-hop-new-steers",
        "title": "Seat hop near 60 after new steers",
        "unit": "Heron 17",
        "reported": "2033-03-08",
        "demo": True,
        "pack": {"version": "1.0.0", "sha256": "5f0c" * 16},
        "vehicle": {
            "type": "linehaul_tractor",
            "name": "Line-haul tractor",
            "tire": "275/80R22.5",
            "axle_ratio": 3.42,
            "duty": "line_haul",
            "wheel": "aluminum_disc",
            "groups": ["steer", "drive"],
        },
        "write_up": WRITE_UP,
        "spans": [
            mark("sensation.hop", "yes", "hops"),
            mark("felt_at.seat", "yes", "in the seat"),
            mark("speed.low_mph", "58", "58"),
            mark("speed.high_mph", "64", "64"),
            mark("onset.after_tire_work", "yes", "Started right after the new steers"),
            mark("condition.braking", "no", "No shake when braking"),
        ],
        "answers": [
            "hop (read)",
            "felt in the seat (read)",
            "58 to 64 mph (read)",
            "balanced, no change (work order)",
        ],
        "safety": {
            "level": "none",
            "verdict": "Nothing reported asks for the unit to be parked.",
            "findings": [],
        },
        "causes": CAUSES,
        "families": [
            {"id": "radial_runout_type_2", "name": "Runout of the mounting", "probability": 0.67},
            {"id": "radial_runout_type_1", "name": "Runout of a part", "probability": 0.3},
        ],
        "inspections": INSPECTIONS,
        "questions": [
            {
                "symptom": "place.left",
                "ask": "Which front corner moves most over a smooth bump?",
                "bits": 0.31,
                "if_yes": "left steer first",
                "if_no": "right steer first",
            },
            {
                "symptom": "condition.fades",
                "ask": "Is it gone after 10 to 20 miles of driving?",
                "bits": 0.22,
                "if_yes": "a flat spot from standing, which fades by itself",
                "if_no": "a fault that stays",
            },
            {
                "symptom": "condition.accelerating",
                "ask": "Does letting off the throttle change it?",
                "bits": 0.1,
                "if_yes": "shaft, joints and mounts move up",
                "if_no": "the wheels stay",
            },
        ],
        "orders": ORDERS,
        "diagram": DIAGRAM,
        "unknown": [
            {"symptom": "wear.steer", "says": "wear of the steer tires"},
            {"symptom": "place.left", "says": "which front corner"},
        ],
        "limitations": LIMITATIONS,
        "conflicts": [{"symptom": "condition.braking", "answer": "no", "read": "yes"}],
        "stop": {"state": "continue", "says": "Keep going: no cause is confirmed yet."},
        "firmness": {
            "state": "hangs",
            "says": "First place hangs on one answer.",
            "hangs_on": ["it started right after tire work"],
        },
        "changes": [],
        "readings": [READING],
        "cautions": CAUTIONS,
        "sources": SOURCES,
    }
    return deepcopy(plain | more)


STOP = {
    "level": "stop",
    "verdict": "Park the unit until the wheel nuts have been checked.",
    "findings": [
        {
            "id": "nuts",
            "level": "stop",
            "says": "A wheel may be loose.",
            "do_now": "Do not move the unit. Check every nut of every wheel.",
            "triggered_by": ["onset.after_tire_work"],
            "checks": ["wheel-nuts", "hub-heat"],
            "cautions": ["chock-and-stand"],
            "because": "A loose wheel can come off.",
            "source": "air-rule",
            "us_rule": "49 CFR 393.205",
        }
    ],
}


def build(**more: Any) -> Diagnosis:
    """The sample diagnosis, with some top-level keys replaced."""
    return Diagnosis.model_validate(document(**more))
