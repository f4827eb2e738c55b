"""What waiting may cost, what looking costs, and how much of the loss a visit may save.

Three figures each time, from the low, typical and high ends of rules/worth.yaml. The ends are all
low or all high together, so the true figure lies inside more often than they suggest. Estimates,
never a promise; danger is not in them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from advisor.model.network import Array, Node
from advisor.model.pack import Pack
from advisor.model.worth import Range, Worth

Three = tuple[float, float, float]
NOTHING: Three = (0.0, 0.0, 0.0)


@dataclass(frozen=True)
class Estimate:
    """US dollars, low, typical and high. waiting: expected loss over the waiting time; avoided:
    the part of it that the planned look may save; looking: what the look costs; minutes: its bay
    minutes."""

    waiting: Three
    avoided: Three
    looking: Three
    minutes: float

    @property
    def per_minute(self) -> Three:
        """Expected loss avoided per bay minute."""
        low, typical, high = self.avoided
        least = max(self.minutes, 1.0)
        return low / least, typical / least, high / least


def losses(pack: Pack, duty: str | None) -> dict[str, Three]:
    """Expected loss of each cause if it is present and left for the waiting time, in US dollars."""
    worth = pack.worth
    if worth is None:
        return {}
    made: dict[str, Three] = {}
    for loss in worth.losses:
        amount = [NOTHING]
        shares = {
            "tire_set": loss.tire_life,
            "road_call": loss.road_call,
            "day_lost": loss.day_lost,
            "fuel_per_waiting": loss.fuel,
        }
        for figure, share in shares.items():
            if share is not None:
                amount.append(_times(share, worth.figure(figure).for_duty(duty)))
        total = _three([sum(column) for column in zip(*amount, strict=True)])
        for name in loss.causes:
            made.update(dict.fromkeys(pack.causes_named(name), total))
    return made


def estimate(
    worth: Worth | None,
    loss: Mapping[str, Three],
    duty: str | None,
    nodes: Sequence[Node],
    present: Array,
    found: Array,
    minutes: float,
) -> Estimate:
    """The estimate for one vehicle.

    present: (nodes,) probability of each cause; found: (nodes,) chance that the look finds it if
    it is there; minutes: of bay and technician for the look.
    """
    table = np.array([loss.get(node.cause, NOTHING) for node in nodes]).reshape(-1, 3)
    waiting, avoided = present @ table, (present * found) @ table
    minute = worth.figure("bay_minute").for_duty(duty) if worth else Range(low=0, typical=0, high=0)
    looking = [value * minutes for value in (minute.low, minute.typical, minute.high)]
    return Estimate(_three(waiting), _three(avoided), _three(looking), minutes)


def _times(a: Range, b: Range) -> Three:
    return a.low * b.low, a.typical * b.typical, a.high * b.high


def _three(values: Sequence[float] | Array) -> Three:
    low, typical, high = (round(float(v), 2) for v in values)
    return low, typical, high
