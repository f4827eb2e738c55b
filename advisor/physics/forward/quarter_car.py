"""One corner of a vehicle: body on a spring and damper, axle end on the tire spring.

    ms zs'' = -ks (zs - zu) - cs (zs' - zu')
    mu zu'' =  ks (zs - zu) + cs (zs' - zu') - kt zu + F,      F = force on the axle + kt r(t)

Base motion r of the tire tread (runout, road) enters as the force kt r on the axle, so one response
serves both. Left out (assumed small): tire damping, the seat, bending of the frame, lift-off.
Source: two-mass model of any ride text, e.g. Gillespie, Fundamentals of Vehicle Dynamics, 5 (from
memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]
Complex = NDArray[np.complex128]


@dataclass(frozen=True)
class Corner:
    """Masses in kg, stiffness in N/m, damping in N s/m; all above zero, the damper may be zero."""

    sprung_kg: float
    unsprung_kg: float
    tire_n_per_m: float
    spring_n_per_m: float
    damper_n_s_per_m: float

    def __post_init__(self) -> None:
        stiff = (self.sprung_kg, self.unsprung_kg, self.tire_n_per_m, self.spring_n_per_m)
        if min(stiff) <= 0 or self.damper_n_s_per_m < 0:
            raise ValueError(f"masses and springs must be above zero, damper not below: {self}")


@dataclass(frozen=True)
class Mode:
    """A damped natural vibration; hz is the undamped natural frequency |eigenvalue| / 2 pi."""

    hz: float
    damping_ratio: float


def compliance(corner: Corner, frequency_hz: ArrayLike) -> tuple[Complex, Complex]:
    """(body, axle) displacement in m per N of harmonic force on the axle, complex, same shape."""
    omega = 2 * pi * np.asarray(frequency_hz, dtype=float)
    link = corner.spring_n_per_m + 1j * omega * corner.damper_n_s_per_m
    body = link - corner.sprung_kg * omega**2
    axle = link + corner.tire_n_per_m - corner.unsprung_kg * omega**2
    determinant = body * axle - link**2
    return np.asarray(link / determinant), np.asarray(body / determinant)


def frame_acceleration(corner: Corner, frequency_hz: ArrayLike, force_n: ArrayLike) -> Complex:
    """Complex acceleration in m/s2 of the body over the axle, for a harmonic force on the axle."""
    omega = 2 * pi * np.asarray(frequency_hz, dtype=float)
    return np.asarray(-(omega**2) * compliance(corner, frequency_hz)[0] * np.asarray(force_n))


def state_space(corner: Corner) -> tuple[Array, Array, Array, Array]:
    """(A, B, C, D) with state (zs, zu, zs', zu'), input force on the axle in N.

    Outputs: acceleration of body and of axle in m/s2.
    """
    ks, cs = corner.spring_n_per_m, corner.damper_n_s_per_m
    ms, mu = corner.sprung_kg, corner.unsprung_kg
    body = [-ks / ms, ks / ms, -cs / ms, cs / ms]
    axle = [ks / mu, -(ks + corner.tire_n_per_m) / mu, cs / mu, -cs / mu]
    a = np.array([[0, 0, 1, 0], [0, 0, 0, 1], body, axle], dtype=float)
    b = np.array([[0], [0], [0], [1 / mu]])
    return a, b, a[2:], b[2:]


def modes(corner: Corner) -> tuple[Mode, ...]:
    """Bounce and hop, the lower first; raises ValueError where a mode does not oscillate."""
    return oscillating(np.linalg.eigvals(state_space(corner)[0]))


def oscillating(eigenvalues: ArrayLike) -> tuple[Mode, ...]:
    """The modes behind complex pairs of eigenvalues in 1/s, by rising frequency."""
    values = np.asarray(eigenvalues, dtype=complex)
    upper = sorted((v for v in values if v.imag > 1e-9), key=abs)
    if 2 * len(upper) != len(values):
        raise ValueError("a mode is damped so far that it does not oscillate")
    return tuple(Mode(float(abs(v)) / (2 * pi), float(-v.real / abs(v))) for v in upper)


def shake(corner: Corner, force_n: Array, sample_rate_hz: float) -> tuple[Array, Array]:
    """(body, axle) acceleration in m/s2 over time, from rest, for a sampled force on the axle.

    force_n: (n,), taken as straight between samples (scipy.signal.lsim).
    """
    from scipy.signal import lsim

    time_s = np.arange(len(force_n)) / sample_rate_hz
    _, out, _ = lsim(state_space(corner), force_n, time_s)
    return out[:, 0], out[:, 1]
