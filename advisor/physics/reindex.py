"""Turn the wheel on the hub and the tire on the wheel: which of the three carries the runout?"""

from __future__ import annotations

import cmath
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from .problem import PhysicsError
from .vector import UncertainVector, rotation

# Below this share of the largest singular value two parts turn together.
SINGULAR_SHARE = 1e-8


@dataclass(frozen=True, eq=False)
class SetUp:
    """One mounting: its harmonic and how the parts were turned.

    reading: harmonic in meters, angle counted on the hub. wheel_turn_rad: wheel on hub.
    tire_turn_rad: tire on wheel. Turns are positive in the direction the positions are counted,
    both from the same starting marks.
    """

    reading: UncertainVector
    wheel_turn_rad: float = 0.0
    tire_turn_rad: float = 0.0


@dataclass(frozen=True, eq=False)
class Separation:
    """What the set-ups tell apart.

    parts: name -> vector, for `hub` (hub and mounting), `wheel`, `tire`, and the sums
    `wheel_and_tire`, `hub_and_wheel`, `hub_and_tire`, `whole`; only those the set-ups determine.
    Wheel and tire are given as they stand with no turn; sums as they stood in the first set-up.
    open_parts: those of hub, wheel, tire the set-ups leave undetermined. consistency: chance of a
    misfit this large from the given errors, None where no set-up was to spare.
    """

    parts: Mapping[str, UncertainVector]
    open_parts: tuple[str, ...]
    consistency: float | None
    solution: NDArray[np.float64]
    covariance: NDArray[np.float64]
    functionals: Mapping[str, NDArray[np.float64]]

    def joint(self, names: Sequence[str]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Values (2 n,) and covariance (2 n, 2 n) of the named parts: real, imaginary, real, ..."""
        stack = np.vstack([self.functionals[name] for name in names])
        return stack @ self.solution, stack @ self.covariance @ stack.T


def separate(set_ups: Sequence[SetUp], *, order: int = 1, seating_sd_m: float = 0.0) -> Separation:
    """Weighted least squares of R = H + W e^(i n phi) + T e^(i n (phi + psi)) over the set-ups.

    phi, psi: turns of wheel and tire; n: order. seating_sd_m: extra error per direction of each
    mounting. Every reading needs an error; equal ones give the unweighted answer.
    Raises PhysicsError for no set-up. Source: own derivation; two set-ups half a turn apart are
    reversal (Estler, Evans & Shao, Precision Engineering 1997, abstract; NISTIR/NBSIR 79-1758).
    """
    if not set_ups:
        raise PhysicsError("no set-up given", "nothing", "one set-up as the wheel stands")
    design = _design(set_ups, order)
    whitener = _whitener(set_ups, seating_sd_m)
    white = whitener @ design
    readings = np.array([[s.reading.value.real, s.reading.value.imag] for s in set_ups]).ravel()
    inverse = np.linalg.pinv(white, rcond=SINGULAR_SHARE)
    solution = inverse @ (whitener @ readings)
    covariance = inverse @ inverse.T
    functionals = _determined(_functionals(set_ups[0], order), design)
    misfit = whitener @ readings - white @ solution
    spare = len(readings) - int(np.linalg.matrix_rank(design, tol=SINGULAR_SHARE * len(readings)))
    return Separation(
        parts=MappingProxyType(
            {name: _vector(f, solution, covariance) for name, f in functionals.items()}
        ),
        open_parts=tuple(n for n in ("hub", "wheel", "tire") if n not in functionals),
        consistency=_consistency(float(misfit @ misfit), spare),
        solution=solution,
        covariance=covariance,
        functionals=MappingProxyType(functionals),
    )


def part_sd(set_ups: Sequence[SetUp], part: str, *, order: int = 1) -> float:
    """Error per direction that these set-ups would leave on `part`; infinite where open.

    Uses turns and errors only, so set-ups still to be made can be judged.
    """
    vector = separate(set_ups, order=order).parts.get(part)
    return float("inf") if vector is None else vector.sd


def _design(set_ups: Sequence[SetUp], order: int) -> NDArray[np.float64]:
    rows = []
    for s in set_ups:
        wheel = cmath.exp(1j * order * s.wheel_turn_rad)
        tire = cmath.exp(1j * order * (s.wheel_turn_rad + s.tire_turn_rad))
        rows.append(np.hstack([np.eye(2), rotation(wheel), rotation(tire)]))
    return np.vstack(rows)


def _whitener(set_ups: Sequence[SetUp], seating_sd_m: float) -> NDArray[np.float64]:
    whole = np.zeros((2 * len(set_ups), 2 * len(set_ups)))
    for k, s in enumerate(set_ups):
        covariance = s.reading.covariance + np.eye(2) * seating_sd_m**2
        if not np.linalg.det(covariance) > 0:
            raise ValueError("every set-up needs a reading error above zero")
        whole[2 * k : 2 * k + 2, 2 * k : 2 * k + 2] = np.linalg.inv(np.linalg.cholesky(covariance))
    return whole


def _functionals(first: SetUp, order: int) -> dict[str, NDArray[np.float64]]:
    wheel = cmath.exp(1j * order * first.wheel_turn_rad)
    tire_on_wheel = cmath.exp(1j * order * first.tire_turn_rad)
    weights = {
        "hub": (1, 0, 0),
        "wheel": (0, 1, 0),
        "tire": (0, 0, 1),
        "wheel_and_tire": (0, 1, tire_on_wheel),
        "hub_and_wheel": (1, wheel, 0),
        "hub_and_tire": (1, 0, wheel * tire_on_wheel),
        "whole": (1, wheel, wheel * tire_on_wheel),
    }
    return {
        name: np.hstack([rotation(complex(weight)) for weight in three])
        for name, three in weights.items()
    }


def _determined(
    functionals: dict[str, NDArray[np.float64]], design: NDArray[np.float64]
) -> dict[str, NDArray[np.float64]]:
    # A sum of parts is determined when it is a combination of the readings.
    inside = np.linalg.pinv(design, rcond=SINGULAR_SHARE) @ design
    return {
        name: f for name, f in functionals.items() if np.allclose(f @ inside, f, rtol=0, atol=1e-6)
    }


def _vector(
    functional: NDArray[np.float64],
    solution: NDArray[np.float64],
    covariance: NDArray[np.float64],
) -> UncertainVector:
    real, imaginary = functional @ solution
    return UncertainVector(complex(real, imaginary), functional @ covariance @ functional.T)


def _consistency(chi_square: float, spare: int) -> float | None:
    if spare <= 0:
        return None
    from scipy.special import gammaincc

    return float(gammaincc(spare / 2.0, chi_square / 2.0))
