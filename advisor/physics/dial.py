"""A column of dial readings as written down -> readings fit to be used, with what was wrong."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from .problem import Flaw, PhysicsError

TURN_RAD = 2.0 * math.pi
SAME_ANGLE_RAD = math.radians(0.5)
# A step between neighbors this near one turn of the needle is the needle's, not the part's.
WRAP_SHARE = 0.7
# Closure is bad past 3 sd of the difference of two readings, or this share of the runout
# where the reading error is unknown (judgement).
CLOSURE_SHARE = 0.15

# Largest change of the first-harmonic runout per unit of closure error (own derivation: first
# Fourier coefficient of a ramp, d/pi, and of a step, at most 2 d/pi; runout is twice that).
CLOSURE_TIR_STEADY = 2.0 / math.pi
CLOSURE_TIR_JUMP = 4.0 / math.pi


@dataclass(frozen=True, eq=False)
class TidyReadings:
    """angle_rad in [0, 2 pi), rising; reading_m likewise, needle unwrapped; the closing reading is
    kept out and reported as closure_m (last less first, None where the turn was not closed).
    """

    angle_rad: NDArray[np.float64]
    reading_m: NDArray[np.float64]
    closure_m: float | None
    flaws: tuple[Flaw, ...]


def tidy_readings(
    angle_rad: ArrayLike,
    reading_m: ArrayLike,
    *,
    dial_turn_m: float | None = None,
    reading_sd_m: float | None = None,
) -> TidyReadings:
    """Order, unwrap and check readings given in the order they were taken; NaN = missed position.

    angle_rad, reading_m: shape (N,). dial_turn_m: travel of one turn of the needle, where the dial
    was read without counting turns. Raises PhysicsError where no reading is left.
    """
    angle = np.asarray(angle_rad, dtype=float)
    reading = np.asarray(reading_m, dtype=float)
    if angle.ndim != 1 or angle.shape != reading.shape:
        raise ValueError(f"one reading per angle, one row each: {angle.shape} {reading.shape}")
    flaws: list[Flaw] = []
    angle, reading = _without_missing(angle, reading, flaws)
    reading = _unwrapped(reading, dial_turn_m, flaws)
    angle, reading, closure = _closing_reading_apart(angle, reading)
    if closure is not None and _closure_is_bad(closure, reading, reading_sd_m):
        flaws.append(_bad_closure())
    angle = np.mod(angle, TURN_RAD)
    # An angle a hair under the full turn is the zero mark.
    angle = np.where(TURN_RAD - angle < 1e-9, 0.0, angle)
    flaws += _order_flaws(angle)
    rising = np.argsort(angle, kind="stable")
    return TidyReadings(angle[rising], reading[rising], closure, tuple(flaws))


def _without_missing(
    angle: NDArray[np.float64], reading: NDArray[np.float64], flaws: list[Flaw]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    good = np.isfinite(angle) & np.isfinite(reading)
    if not good.any():
        raise PhysicsError("no reading is a number", "nothing", "all positions")
    if not good.all():
        flaws.append(
            Flaw(
                "missing_reading",
                f"{int((~good).sum())} of {len(good)} positions have no number",
                "everything the other positions give, with wider error bars",
                "the missing positions",
            )
        )
    return angle[good], reading[good]


def _unwrapped(
    reading: NDArray[np.float64], dial_turn_m: float | None, flaws: list[Flaw]
) -> NDArray[np.float64]:
    if dial_turn_m is None:
        return reading
    if not dial_turn_m > 0:
        raise ValueError(f"dial_turn_m must be positive, not {dial_turn_m}")
    step = np.diff(reading)
    turns = np.where(np.abs(step) > WRAP_SHARE * dial_turn_m, np.round(step / dial_turn_m), 0.0)
    if not turns.any():
        return reading
    flaws.append(
        Flaw(
            "wrapped_needle",
            f"{int(np.count_nonzero(turns))} steps between neighbors are about one turn of the"
            " needle",
            "the readings with whole turns put back, if the part has no sharp step",
            "once round again, counting turns on the small hand",
        )
    )
    return reading - dial_turn_m * np.concatenate([[0.0], np.cumsum(turns)])


def _closing_reading_apart(
    angle: NDArray[np.float64], reading: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64], float | None]:
    apart = math.remainder(float(angle[-1] - angle[0]), TURN_RAD)
    if len(angle) < 3 or abs(apart) > SAME_ANGLE_RAD:
        return angle, reading, None
    return angle[:-1], reading[:-1], float(reading[-1] - reading[0])


def _closure_is_bad(
    closure_m: float, reading: NDArray[np.float64], reading_sd_m: float | None
) -> bool:
    if reading_sd_m is not None:
        return abs(closure_m) > 3.0 * math.sqrt(2.0) * reading_sd_m
    return abs(closure_m) > CLOSURE_SHARE * float(np.ptp(reading))


def _bad_closure() -> Flaw:
    return Flaw(
        "closure",
        "the last reading, back at the start, differs from the first: dial, stand or part moved",
        f"the offset within {CLOSURE_TIR_STEADY:.2f} of the difference if it crept steadily,"
        f" {CLOSURE_TIR_JUMP:.2f} if it jumped",
        "clamp the stand, take up bearing play, once round again",
    )


def _order_flaws(angle: NDArray[np.float64]) -> list[Flaw]:
    flaws = []
    # Going round backward, or starting anywhere, is in order: count the falls of the unrolled turn.
    steps = np.diff(np.concatenate([angle, angle[:1]]))
    if min(int((steps < 0).sum()), int((steps > 0).sum())) > 1:
        flaws.append(
            Flaw(
                "unsorted_angles",
                "the angles do not run once round the part",
                "all results, if each reading belongs to its angle; a wrapped needle is missed",
                "nothing, after checking angle against reading",
            )
        )
    gaps = np.diff(np.sort(angle))
    if (gaps < SAME_ANGLE_RAD).any():
        flaws.append(
            Flaw(
                "duplicate_angle",
                f"{int((gaps < SAME_ANGLE_RAD).sum())} positions were read twice",
                "all results; both readings count",
                "nothing, unless the two readings disagree",
            )
        )
    return flaws
