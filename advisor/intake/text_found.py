"""What is said to be there and what is denied."""

from __future__ import annotations

from dataclasses import dataclass, field

Found = tuple[str, int, int]  # symptom id, first word, end
QUIET = frozenset(("hum", "pull", "wander"))  # sensations that are no vibration
WHEELS = frozenset(("tires", "wheels"))  # parts that turn with the road
JOINTS = frozenset(("and", "&", ",", "+"))  # between the items of a list
BODY = frozenset(("steering_wheel", "seat", "floor", "brake_pedal"))  # where a body touches it


@dataclass
class Findings:
    """What is there and what is denied: (symptom id, first word, end).

    sensed: first words of the sensations that are there; shaken: those that are vibrations.
    absent: sensations denied, though it may be for one place or speed only.
    """

    there: list[Found] = field(default_factory=list)
    denied: list[Found] = field(default_factory=list)
    sensed: list[int] = field(default_factory=list)
    shaken: list[int] = field(default_factory=list)
    absent: list[tuple[str, int]] = field(default_factory=list)
    is_vibration: bool = False
    elsewhere: bool = False
    not_rolling: bool = False
