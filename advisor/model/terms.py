"""Names and word lists that several files of a rule pack share."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

Slug = Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9_.-]*$")]
Duty = Literal["line_haul", "regional", "urban", "on_off_road", "refuse", "coach", "private"]
Seen = Literal[
    "published", "secondary", "common practice", "memory", "invented", "computed", "judgement"
]
Word = Literal["usually", "often", "sometimes", "seldom", "rarely", "never"]
Background = Literal["usually", "often", "sometimes", "seldom", "rarely", "hardly_ever", "never"]
Group = Literal["steer", "drive", "tag", "trailer"]
VehicleType = Literal[
    "linehaul_tractor",
    "regional_tractor",
    "straight_truck",
    "vocational_truck",
    "refuse_truck",
    "transit_bus",
    "coach",
    "motorhome",
    "trailer",
    "heavy_pickup_or_van",
    "car",
]
WheelKind = Literal["steel_disc", "aluminum_disc", "cast_spoke", "demountable_rim"]
Level = Literal["stop", "soon", "none"]
Probability = Annotated[float, Field(gt=0.0, lt=1.0)]
# what the reading of recordings takes from rules/recordings.yaml
RECORDING_VALUES = (
    "typical-amplitude",
    "shows-when-there",
    "shows-anyway",
    "shows-anyway-steady",
    "usual-wheel-order",
    "usual-shaft-order",
    "usual-engine-order",
    "as-on-sound-vehicle",
    "clearly-above-usual",
    "as-strong",
    "too-weak",
    "passes-a-resonance",
    "other-kinds-strength",
    "harmonic-in-full",
    "harmonic-too-weak",
    "harmonic-anyway",
    "engine-speed-error",
)
COMPLAINT = "complaint.vibration"  # somebody complains: present in every case
