"""Dial readings round a part -> offset (first harmonic) and shape (second and up), with errors."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from .harmonics import design_matrix, named_lobes
from .problem import PhysicsError
from .vector import UncertainVector

FEWEST_POSITIONS = 6
# Orders above 4 are not read off by hand; leaving them out keeps readings for the error estimate.
HIGHEST_USEFUL_ORDER = 4
# Equal spacing has 1.4; above this a gap in the positions decides the result (judgement).
WORST_CONDITION = 8.0


@dataclass(frozen=True, eq=False)
class Harmonic:
    """One harmonic: y(t) = Re(vector) cos(order t) + Im(vector) sin(order t), meters."""

    order: int
    vector: UncertainVector

    @property
    def amplitude_m(self) -> float:
        return self.vector.magnitude

    @property
    def tir_m(self) -> float:
        """Total indicated runout this harmonic alone would show: twice the amplitude."""
        return 2.0 * self.vector.magnitude

    @property
    def tir_sd_m(self) -> float:
        return 2.0 * self.vector.magnitude_sd

    @property
    def high_spot_rad(self) -> float:
        """Angle of the first high spot, in [0, 2 pi / order)."""
        return self.vector.angle_rad / self.order

    @property
    def high_spot_sd_rad(self) -> float:
        return self.vector.angle_sd_rad / self.order


@dataclass(frozen=True, eq=False)
class RunoutFit:
    """Least-squares harmonics of dial readings.

    harmonics: order 1 first. tir_m: of the raw readings. shape_m: readings less constant and first
    harmonic, shape (N,), in the order of angle_rad. reading_sd_m: of one reading, given
    (sd_is_given) or from the fit's residuals with `dof` degrees of freedom. lobes_as_offset: lobe
    counts these positions would show as an offset.
    """

    angle_rad: NDArray[np.float64]
    reading_m: NDArray[np.float64]
    mean_m: float
    harmonics: tuple[Harmonic, ...]
    tir_m: float
    shape_m: NDArray[np.float64]
    residual_m: NDArray[np.float64]
    reading_sd_m: float
    sd_is_given: bool
    dof: int
    lobes_as_offset: tuple[int, ...]

    @property
    def offset(self) -> Harmonic:
        """The first harmonic: what mounting off center, or eccentricity, makes."""
        return self.harmonics[0]

    @property
    def shape_tir_m(self) -> float:
        return float(np.ptp(self.shape_m))


def fit_runout(
    angle_rad: ArrayLike,
    reading_m: ArrayLike,
    *,
    reading_sd_m: float | None = None,
    highest_order: int | None = None,
) -> RunoutFit:
    """Fit constant and harmonics to N >= 6 readings at any angles.

    angle_rad, reading_m: shape (N,), finite (see `dial.tidy_readings`), plus = toward the dial.
    highest_order: default N/2 - 1 of the distinct positions, at most 4, less where gaps forbid.
    Raises PhysicsError for fewer than 6 positions or positions on too small a part of the turn.
    Source: linear least squares; the N/2 - 1 limit is the sampling theorem.
    """
    angle = np.asarray(angle_rad, dtype=float)
    reading = np.asarray(reading_m, dtype=float)
    positions = _distinct_positions(angle, reading)
    top = highest_order if highest_order is not None else _safe_order(positions)
    matrix = design_matrix(angle, top)
    _refuse_weak(matrix, reading_sd_m)
    solution, *_ = np.linalg.lstsq(matrix, reading, rcond=None)
    coefficients = np.asarray(solution, dtype=np.float64)
    residual = reading - matrix @ coefficients
    dof = len(reading) - matrix.shape[1]
    sd = reading_sd_m if reading_sd_m is not None else math.sqrt(float(residual @ residual) / dof)
    covariance = np.asarray(sd**2 * np.linalg.inv(matrix.T @ matrix), dtype=np.float64)
    return RunoutFit(
        angle_rad=angle,
        reading_m=reading,
        mean_m=float(coefficients[0]),
        harmonics=tuple(_harmonic(n, coefficients, covariance) for n in range(1, top + 1)),
        tir_m=float(np.ptp(reading)),
        shape_m=reading - matrix[:, :3] @ coefficients[:3],
        residual_m=residual,
        reading_sd_m=float(sd),
        sd_is_given=reading_sd_m is not None,
        dof=dof,
        lobes_as_offset=named_lobes(positions, top),
    )


def pooled_reading_sd_m(fits: Iterable[RunoutFit]) -> float:
    """One reading error from several set-ups by the same hand, weighted by degrees of freedom."""
    known = [(fit.dof, fit.reading_sd_m) for fit in fits if not fit.sd_is_given and fit.dof > 0]
    if not known:
        raise PhysicsError(
            "no set-up has readings to spare for an error estimate",
            "the amplitudes, without error bars",
            "one set-up twice, without moving the wheel",
        )
    return math.sqrt(sum(dof * sd**2 for dof, sd in known) / sum(dof for dof, _ in known))


def _harmonic(
    order: int, coefficients: NDArray[np.float64], covariance: NDArray[np.float64]
) -> Harmonic:
    part = slice(2 * order - 1, 2 * order + 1)
    a, b = coefficients[part]
    return Harmonic(order, UncertainVector(complex(a, b), covariance[part, part]))


def _distinct_positions(
    angle: NDArray[np.float64], reading: NDArray[np.float64]
) -> NDArray[np.float64]:
    if angle.ndim != 1 or angle.shape != reading.shape:
        raise ValueError(f"one reading per angle, one row each: {angle.shape} {reading.shape}")
    if not (np.isfinite(angle).all() and np.isfinite(reading).all()):
        raise PhysicsError(
            "a reading or an angle is not a number",
            "nothing until it is left out or filled in",
            "the position with the missing number",
        )
    turn = 2.0 * math.pi
    positions = np.unique(np.round(np.mod(angle, turn), 6) % round(turn, 6))
    if len(positions) < FEWEST_POSITIONS:
        raise PhysicsError(
            f"{len(positions)} positions; offset and shape need at least {FEWEST_POSITIONS}",
            "the raw total indicated runout is at least the spread of these readings",
            "12 positions round the part, evenly spaced (8 at the least)",
        )
    return positions


def _safe_order(positions: NDArray[np.float64]) -> int:
    order = min(len(positions) // 2 - 1, HIGHEST_USEFUL_ORDER)
    while order > 1 and np.linalg.cond(design_matrix(positions, order)) > WORST_CONDITION:
        order -= 1
    return order


def _refuse_weak(matrix: NDArray[np.float64], reading_sd_m: float | None) -> None:
    spare = matrix.shape[0] - matrix.shape[1]
    if np.linalg.cond(matrix) > WORST_CONDITION:
        raise PhysicsError(
            "the positions leave a gap too wide to tell an offset from a slope",
            "the raw total indicated runout is at least the spread of these readings",
            "positions in the gap, so that all of the turn is covered evenly",
        )
    if spare < 0 or (spare == 0 and reading_sd_m is None):
        raise PhysicsError(
            "more harmonics asked for than the readings can carry",
            "the lower harmonics",
            "more positions, or give the error of one reading",
        )
