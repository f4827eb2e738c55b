"""Data for teaching pictures: one vehicle with one fault or the other, over road speed."""

from __future__ import annotations

from typing import Any

import numpy as np

from advisor.model.case import Vehicle
from advisor.model.pack import Pack
from advisor.model.place import Place
from advisor.physics.forward.felt import end_amplitudes
from advisor.physics.forward.pattern import Pattern
from advisor.physics.forward.rig import WheelEnd
from advisor.physics.forward.sources import Imbalance, OutOfRound
from advisor.physics.forward.wheel_end import WheelFault
from advisor.physics.units import KG_PER_OZ, M_S_PER_MPH, in_to_m
from advisor.simulated.build import build, model_of
from advisor.simulated.knowledge import Knowledge, load_knowledge

SPEEDS_MPH = tuple(float(v) for v in range(30, 81))


def imbalance_beside_runout(
    pack: Pack,
    vehicle: Vehicle,
    imbalance_oz: float = 14.0,
    runout_in: float = 0.095,
    knowledge: Knowledge | None = None,
) -> dict[str, Any]:
    """Peak acceleration of the frame over the left steer wheel (or the first axle), once a turn.

    For `report.figures.teaching`: mph, unit, and one panel a fault with its level over speed. The
    runout is pure first harmonic, the mass sits at the rim; nothing else is wrong with the wheel.
    Raises AdvisorError for a vehicle type without a forward model.
    """
    info = model_of(pack, vehicle.type)
    rig = build(pack, vehicle, (), 0, knowledge or load_knowledge(pack)).rig
    end = rig.ends[0]
    mass = Imbalance(imbalance_oz * KG_PER_OZ * end.wheel.rim_radius_m)
    shape = OutOfRound(Pattern((in_to_m(runout_in) / 2,)))

    def level(fault: WheelFault) -> list[float]:
        circumference_m = 2 * np.pi * end.wheel.radius_m
        alone = WheelEnd(end.group, end.side, end.wheel, circumference_m, (fault,))
        row = end_amplitudes(rig, alone, M_S_PER_MPH * np.array(SPEEDS_MPH))[1.0]
        return [round(float(v), 4) for v in row]

    return {
        "vehicle": info.name,
        "place": Place(end.group, end.side).words,
        "mph": list(SPEEDS_MPH),
        "unit": "m/s2 peak",
        "panels": [
            {"name": f"{imbalance_oz:g} oz imbalance", "level": level(mass)},
            {"name": f"{runout_in:.3f} in runout", "level": level(shape)},
        ],
        "source": "computed with the forward model; its parameters are from memory or assumed",
    }
