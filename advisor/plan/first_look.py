"""The first visit to the bay: the safety checks that are still open and the first inspection."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from advisor.model.network import Array
from advisor.plan.inspections import Planner


@dataclass(frozen=True)
class FirstLook:
    """safety: ids of the open safety checks; safety_minutes: all of them; inspection, place,
    access, opens: the first inspection after them (empty when none is worth its time); minutes:
    of the inspection with what must be opened; found: (nodes,) chance that this visit finds each
    cause if it is there."""

    safety: tuple[str, ...]
    safety_minutes: float
    inspection: str
    place: str
    access: str
    opens: tuple[str, ...]
    minutes: float
    found: Array

    @property
    def all_minutes(self) -> float:
        """Minutes to book."""
        return self.safety_minutes + self.minutes


def first_look(planner: Planner) -> FirstLook:
    """The first visit for one case."""
    missed = np.ones(len(planner.assess.network.nodes))
    safety, minutes = [], 0.0
    for kind, places, spent in planner.open_safety():
        for place in places:
            missed *= 1 - planner.detect(kind.id, place)[0]
        safety.append(kind.id)
        minutes += spent
    steps = planner.order(most=1)
    if not steps:
        return FirstLook(tuple(safety), minutes, "", "", "", (), 0.0, 1 - missed)
    step = steps[0]
    missed *= 1 - step.check.detect
    return FirstLook(
        tuple(safety),
        minutes,
        step.check.id,
        step.check.place,
        planner.pack.inspections[step.check.id].access,
        step.opens,
        step.minutes,
        1 - missed,
    )
