"""Causes of the sample diagnosis; every figure is invented."""

from __future__ import annotations

from typing import Any


def says(symptom: str, text: str, decibans: float, because: str) -> dict[str, Any]:
    return {
        "symptom": symptom,
        "says": text,
        "decibans": decibans,
        "rule": f"{symptom.replace('.', '-').replace('_', '-')}-rule",
        "because": because,
        "mistaken_when": "Evenly spaced joints in the road feel the same; ask for another road.",
        "source": "shop-practice",
        "origin": "read from the write-up",
    }


HOP = says(
    "sensation.hop", "the seat hops up and down", 5.1, "A high spot lifts the axle once a turn."
)
TIRES = says(
    "onset.after_tire_work",
    "it started right after tire work",
    6.4,
    "What was last apart is first suspected.",
)
BAND = says(
    "speed.only_in_band",
    "it is felt only from 58 to 64 mph",
    2.2,
    "The force meets an own frequency of the axle there.",
)
BALANCED = says(
    "work.balanced",
    "balancing changed nothing",
    4.4,
    "A weight cannot cure a wheel that is not round.",
)
NO_BRAKE = says(
    "condition.braking",
    "braking does not change it",
    -3.0,
    "A drum out of round shakes when it is used.",
)


def cause(
    ident: str,
    family: str,
    name: str,
    p: float,
    at: list[tuple[str, float]],
    pro: list[Any],
    con: list[Any],
    danger: str = "none",
) -> dict[str, Any]:
    return {
        "id": ident,
        "family": family,
        "name": name,
        "what": f"{name}: what it is, in a sentence.",
        "probability": p,
        "prior": p / 3,
        "places": [{"place": a, "probability": q} for a, q in at],
        "for": pro,
        "against": [dict(s, decibans=-abs(s["decibans"])) for s in con],
        "confirm": "Index the wheel half a turn on the hub: the high spot stays with the hub.",
        "danger": danger,
        "remedy": [
            "Clean the pilots and both faces",
            "Seat the wheel on the top pilot first",
            "Tighten in the maker's order and to the maker's torque",
        ],
        "verify": "Runout at the tread within the limit, then a road test over the same stretch.",
    }


CAUSES = [
    cause(
        "off_center_mounting",
        "radial_runout_type_2",
        "Wheel mounted off center",
        0.6213457,
        [("steer_left", 0.41), ("steer_right", 0.28)],
        [TIRES, HOP, BALANCED],
        [],
    ),
    cause(
        "out_of_round_tire",
        "radial_runout_type_1",
        "Tire out of round",
        0.274,
        [("steer_left", 0.15), ("steer_right", 0.14)],
        [HOP, BALANCED],
        [TIRES],
    ),
    cause(
        "bead_not_seated",
        "radial_runout_type_2",
        "Bead not seated evenly",
        0.13,
        [("steer_left", 0.07), ("steer_right", 0.06)],
        [TIRES, HOP],
        [],
    ),
    cause(
        "loose_fastening",
        "fitment_fault",
        "Loose wheel fastening",
        0.06,
        [("steer_left", 0.04)],
        [TIRES],
        [BAND],
        danger="stop",
    ),
    cause(
        "imbalance",
        "imbalance",
        "Imbalance of tire and wheel",
        0.031,
        [("steer_left", 0.02)],
        [],
        [BALANCED, HOP],
    ),
    cause(
        "brake_drum_or_rotor",
        "rotating_neighbors",
        "Brake drum or rotor",
        0.011,
        [("steer_left", 0.006)],
        [],
        [NO_BRAKE],
    ),
]
