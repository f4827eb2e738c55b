"""The first visit to the bay: the safety checks that are still open and the first inspection."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from advisor.model.network import Array
from advisor.model.place import Place
from advisor.plan.done import is_done
from advisor.plan.inspections import ENDS_PER_AXLE, Planner


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
    for kind in planner.pack.inspections.values():
        if not kind.safety:
            continue
        places = [Place(g.group) for g in planner.groups]
        left = [p for p in places if not is_done(planner.case, kind.id, p)]
        for place in left:
            missed *= 1 - _detect(planner, kind.id, place)
        if left:
            safety.append(kind.id)
            ends = ENDS_PER_AXLE if kind.at == "wheel_end" else 1
            minutes += kind.minutes * ends * len(left)
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


def _detect(planner: Planner, id_: str, place: Place) -> Array:
    """(nodes,) chance that a check at a place finds each cause beyond its false alarms."""
    link, leak = planner.assess.links(f"found.{id_}", place)
    network, now = planner.assess.network, planner.assess.now
    shown = np.add.reduceat(now.state * np.asarray(link), network.first_state)
    return np.maximum(0.0, shown / np.maximum(now.node, 1e-12) - leak)
