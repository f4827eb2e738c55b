"""Dial readings made from parts with plain trigonometry, independent of what is tested."""

from __future__ import annotations

import math
import random

from advisor.model.place import Place
from advisor.model.reading import DialSetUp, Runout

M_PER_IN = 0.0254
# A part's once-a-turn runout: (half the total in inches, degrees clockwise from the mark).
Part = tuple[float, float]


def set_up(
    hub: Part,
    wheel: Part,
    tire: Part,
    *,
    wheel_turn: float = 0,
    tire_turn: float = 0,
    from_valve: bool = True,
    positions: int = 12,
    noise_in: float = 0.0,
    seed: int = 0,
) -> DialSetUp:
    """One set-up; turns in degrees clockwise. The dial reads each part where it now stands."""
    rng = random.Random(seed)
    angles, readings = [], []
    for k in range(positions):
        counted = 360 * k / positions
        # a valve that was turned on stands further round the hub
        on_hub = counted + wheel_turn if from_valve else counted
        value = sum(
            size * math.cos(math.radians(on_hub - at - moved))
            for (size, at), moved in (
                (hub, 0), (wheel, wheel_turn), (tire, wheel_turn + tire_turn),
            )
        )  # fmt: skip
        angles.append(math.radians(counted))
        readings.append((value + rng.gauss(0, noise_in)) * M_PER_IN)
    return DialSetUp(
        angle_rad=tuple(angles),
        reading_m=tuple(readings),
        wheel_turn_rad=math.radians(wheel_turn),
        tire_turn_rad=math.radians(tire_turn),
    )


def runout(*set_ups: DialSetUp, of: str = "tread", place: str = "right", **more) -> Runout:
    """A reading at a steer wheel; sd 0.002 in unless said."""
    filled = {"unit": "in", "counted_from": "valve", "studs": 10,
              "reading_sd_m": 0.002 * M_PER_IN, **more}  # fmt: skip
    return Runout(of=of, place=Place("steer", place), set_ups=set_ups, **filled)
