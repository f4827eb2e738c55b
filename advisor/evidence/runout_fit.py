"""Set-ups of a dial reading -> fits, counted on the hub so that they can be compared."""

from __future__ import annotations

import cmath
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from advisor.model.reading import DialSetUp, Runout
from advisor.physics.dial import TidyReadings, tidy_readings
from advisor.physics.problem import PhysicsError
from advisor.physics.reindex import SetUp
from advisor.physics.runout import RunoutFit, fit_runout, pooled_reading_sd_m
from advisor.physics.units import M_PER_IN
from advisor.physics.vector import UncertainVector, rotation

# A dial is read to 0.001 in at best: rectangular, so this is the least error of one reading.
LEAST_READING_SD_M = 0.001 * M_PER_IN / math.sqrt(12.0)
SAME_TURN_RAD = math.radians(2.0)


@dataclass(frozen=True, eq=False)
class Fitted:
    """One set-up with its fit, or why there is none."""

    set_up: DialSetUp
    tidy: TidyReadings
    fit: RunoutFit | None
    failure: PhysicsError | None

    @property
    def spread_m(self) -> float:
        """Total indicated runout as read."""
        return float(np.ptp(self.tidy.reading_m))


def fit_set_ups(reading: Runout) -> list[Fitted]:
    """Every set-up of a reading, in order."""
    made = []
    for set_up in reading.set_ups:
        tidy = tidy_readings(
            set_up.angle_rad,
            set_up.reading_m,
            dial_turn_m=reading.dial_turn_m,
            reading_sd_m=reading.reading_sd_m,
        )
        try:
            fit = fit_runout(tidy.angle_rad, tidy.reading_m, reading_sd_m=reading.reading_sd_m)
            made.append(Fitted(set_up, tidy, fit, None))
        except PhysicsError as failure:
            made.append(Fitted(set_up, tidy, None, failure))
    return made


def on_hub(reading: Runout, fitted: Sequence[Fitted]) -> list[SetUp]:
    """First harmonics counted on the hub, with one common reading error.

    Positions counted from the valve move with the wheel, from a mark on the tire with the tire.
    """
    fits = [f.fit for f in fitted if f.fit is not None]
    sd = reading.reading_sd_m
    if sd is None:
        try:
            sd = pooled_reading_sd_m(fits)
        except PhysicsError:
            sd = 0.0
    sd = max(sd, LEAST_READING_SD_M)
    return [_set_up(reading, f, sd) for f in fitted if f.fit is not None]


def _set_up(reading: Runout, fitted: Fitted, sd_m: float) -> SetUp:
    assert fitted.fit is not None
    turn = 0.0
    if reading.counted_from in ("valve", "tire_mark"):
        turn = fitted.set_up.wheel_turn_rad
    if reading.counted_from == "tire_mark":
        turn += fitted.set_up.tire_turn_rad
    factor = cmath.exp(1j * turn)
    refit = fit_runout(fitted.fit.angle_rad, fitted.fit.reading_m, reading_sd_m=sd_m)
    vector = refit.offset.vector
    turned = rotation(factor)
    return SetUp(
        UncertainVector(vector.value * factor, turned @ vector.covariance @ turned.T),
        fitted.set_up.wheel_turn_rad,
        fitted.set_up.tire_turn_rad,
    )


def same_index(a: SetUp, b: SetUp) -> bool:
    """Whether two set-ups were mounted alike."""

    def apart(x: float, y: float) -> float:
        return abs(math.remainder(x - y, 2 * math.pi))

    return (
        apart(a.wheel_turn_rad, b.wheel_turn_rad) < SAME_TURN_RAD
        and apart(a.tire_turn_rad, b.tire_turn_rad) < SAME_TURN_RAD
    )
