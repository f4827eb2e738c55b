"""How far to turn, and which further set-up would settle an open question."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .reindex import SetUp, part_sd
from .vector import UncertainVector


@dataclass(frozen=True)
class StudTurn:
    """A turn of the wheel on its studs; error_gain: error of a part over error of a reading."""

    studs: int
    turn_rad: float
    error_gain: float


@dataclass(frozen=True)
class NextSetUp:
    """One further set-up: turn `turned` (wheel or tire) on by `steps` stud spaces.

    The two turns are those of the set-up itself, from the starting marks. sd_m: error it leaves
    on the part asked about, counting `then` where one further set-up is not enough.
    """

    turned: str
    steps: int
    wheel_turn_rad: float
    tire_turn_rad: float
    sd_m: float
    then: NextSetUp | None = None


def error_gain(turn_rad: float) -> float:
    """sqrt(2) / (2 sin(turn / 2)): error of hub or part over that of one reading, two set-ups.

    Infinite for no turn. Own derivation: part = (R1 - R2) / (1 - e^(i turn)), equal errors.
    """
    half = abs(math.sin(turn_rad / 2.0))
    return math.inf if half < 1e-12 else math.sqrt(2.0) / (2.0 * half)


def stud_turns(n_studs: int) -> tuple[StudTurn, ...]:
    """Every turn of a wheel with n studs, one stud to half a turn; the best one comes last."""
    if n_studs < 3:
        raise ValueError(f"a wheel has at least 3 studs, not {n_studs}")
    turns = [(k, 2.0 * math.pi * k / n_studs) for k in range(1, n_studs // 2 + 1)]
    return tuple(StudTurn(k, turn, error_gain(turn)) for k, turn in turns)


def best_stud_turn(n_studs: int) -> StudTurn:
    """The turn nearest to half: 5 of 10, 4 of 8, 2 of 5."""
    return stud_turns(n_studs)[-1]


def next_set_ups(
    set_ups: Sequence[SetUp], part: str, n_studs: int, *, wheel_only: bool = False
) -> tuple[NextSetUp, ...]:
    """Candidates for the next set-up, the one that leaves the smallest error on `part` first.

    part: hub, wheel or tire. Only one thing is turned at a time, from the last set-up, in whole
    stud spaces (the tire is turned by the same marks). wheel_only: leave the tire on the wheel.
    Where no single set-up settles it, pairs are tried. Empty where two more do not settle it
    either. Equal errors: the wheel is turned before the tire, and nearest to half a turn first.
    """
    error = np.mean([s.reading.covariance for s in set_ups], axis=0)
    steps = _candidates(set_ups[-1], n_studs, wheel_only)
    found = []
    for step in steps:
        sd = part_sd([*set_ups, _planned(step, error)], part)
        if math.isfinite(sd):
            found.append(_with(step, sd))
    return _ranked(found) or _ranked(_pairs(set_ups, part, steps, error, n_studs, wheel_only))


def _pairs(
    set_ups: Sequence[SetUp],
    part: str,
    steps: Sequence[NextSetUp],
    error: NDArray[np.float64],
    n_studs: int,
    wheel_only: bool,
) -> list[NextSetUp]:
    found = []
    for step in steps:
        planned = _planned(step, error)
        for after in _candidates(planned, n_studs, wheel_only):
            sd = part_sd([*set_ups, planned, _planned(after, error)], part)
            if math.isfinite(sd):
                found.append(_with(step, sd, _with(after, sd)))
    return found


def _candidates(last: SetUp, n_studs: int, wheel_only: bool) -> list[NextSetUp]:
    space = 2.0 * math.pi / n_studs
    found = []
    for k in range(1, n_studs // 2 + 1):
        wheel, tire = last.wheel_turn_rad, last.tire_turn_rad
        found.append(NextSetUp("wheel", k, wheel + k * space, tire, math.inf))
        if not wheel_only:
            found.append(NextSetUp("tire", k, wheel, tire + k * space, math.inf))
    return found


def _planned(step: NextSetUp, error: NDArray[np.float64]) -> SetUp:
    return SetUp(UncertainVector(0j, error), step.wheel_turn_rad, step.tire_turn_rad)


def _with(step: NextSetUp, sd_m: float, then: NextSetUp | None = None) -> NextSetUp:
    return NextSetUp(step.turned, step.steps, step.wheel_turn_rad, step.tire_turn_rad, sd_m, then)


def _ranked(found: Sequence[NextSetUp]) -> tuple[NextSetUp, ...]:
    best = min((step.sd_m for step in found), default=1.0)
    return tuple(
        sorted(found, key=lambda s: (round(s.sd_m / best, 6), s.turned == "tire", -s.steps))
    )
