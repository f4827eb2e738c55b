"""Which causes the measured orders speak for or against, before any other evidence."""

from __future__ import annotations

import math
from collections.abc import Sequence

from advisor.evidence.frequency import LINK_MOST
from advisor.model.case import Vehicle
from advisor.model.pack import Excitation, Pack
from advisor.model.recording import Line, Speaks
from advisor.physics.order_likelihood import hypothesis_log10_ratios

FIRING_IN_RULES = 3.0  # causes name the firing order of a six-cylinder engine


def cause_ratios(
    pack: Pack, vehicle: Vehicle, lines: Sequence[Line], shows_anyway: float
) -> tuple[Speaks, ...]:
    """Causes with the same orders together, strongest first; causes without an order are left out.

    A line counts as far as it shows (Line.shows); one that shows only beside a stronger order of
    the same part shows easily without a fault of its own.
    """
    # Each line gets a number of its own: shaft orders near a wheel order must not be mixed up.
    number = {(line.sought.of, line.sought.order): float(k + 1) for k, line in enumerate(lines)}
    found = {number[line.sought.of, line.sought.order]: _log10_odds(line.shows) for line in lines}
    wanted: dict[str, dict[float, float]] = {}
    for cause in pack.causes.values():
        chances = {
            number[key]: LINK_MOST * e.share
            for e in cause.excites
            if (key := _key(e, vehicle)) in number
        }
        if chances:
            wanted[cause.id] = chances
    beside = pack.recordings["harmonic-anyway"].value
    background = {
        number[line.sought.of, line.sought.order]: (
            beside if line.shows > line.stands_out else shows_anyway
        )
        for line in lines
    }
    ratios = hypothesis_log10_ratios(found, wanted, background=background)
    name = {number[line.sought.of, line.sought.order]: line.sought.name for line in lines}
    alike: dict[tuple[float, tuple[str, ...]], list[str]] = {}
    for cause_id, ratio in ratios.items():
        orders = tuple(name[n] for n in sorted(wanted[cause_id]))
        alike.setdefault((round(ratio, 6), orders), []).append(cause_id)
    made = [Speaks(tuple(sorted(ids)), orders, r) for (r, orders), ids in alike.items()]
    return tuple(sorted(made, key=lambda s: (-s.log10_ratio, s.causes)))


def _key(excitation: Excitation, vehicle: Vehicle) -> tuple[str, float]:
    if excitation.of == "engine" and excitation.order == FIRING_IN_RULES and vehicle.cylinders:
        return "engine", vehicle.cylinders / 2
    return excitation.of, excitation.order


def _log10_odds(chance: float) -> float:
    held = min(max(chance, 1e-9), 1 - 1e-9)
    return math.log10(held / (1 - held))
