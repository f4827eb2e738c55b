"""What one wheel end is made of, how it turns, and the loads its faults put on the axle."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Wheel:
    """One tire on its wheel, SI units.

    radius_m: rolling; rim_radius_m: where a rim weight sits; mass_kg: tire and wheel together;
    lateral_n_per_m: side force per side motion of a rolling tread, assumed: it slips and gives;
    trail_m: side force acts this far behind the kingpin, assumed; kingpin_arm_m: fore-aft force
    acts this far outside of it, assumed.
    """

    radius_m: float
    tire_n_per_m: float
    spin_inertia_kg_m2: float
    mass_kg: float
    rim_radius_m: float = 0.292
    lateral_n_per_m: float = 120e3
    trail_m: float = 0.04
    kingpin_arm_m: float = 0.10


@dataclass(frozen=True)
class Turning:
    """How the wheel turns over a recording; arrays (n,).

    run: counts up at each start from standing; braking 0..1; rate_hz: samples a second.
    """

    angle_rad: Array
    spin_rad_s: Array
    distance_m: Array
    run: NDArray[np.int64]
    braking: Array
    rate_hz: float


@dataclass(frozen=True)
class Loads:
    """On the axle end, arrays (n,): force up and forward in N, moments in N m that roll the axle
    (besides the force up at its arm) and steer the wheel."""

    up_n: Array
    forward_n: Array
    roll_n_m: Array
    steer_n_m: Array

    @classmethod
    def none(cls, n: int) -> Loads:
        return cls(*(np.zeros(n) for _ in range(4)))

    def __add__(self, other: Loads) -> Loads:
        return Loads(
            self.up_n + other.up_n,
            self.forward_n + other.forward_n,
            self.roll_n_m + other.roll_n_m,
            self.steer_n_m + other.steer_n_m,
        )


class WheelFault(Protocol):
    """A fault of a wheel end."""

    def loads(self, turning: Turning, wheel: Wheel, rng: np.random.Generator) -> Loads:
        """Loads on the axle end over the recording."""
        ...

    def lifts(self, spin_rad_s: float, wheel: Wheel) -> dict[float, complex]:
        """Force up in N at a steady wheel speed: order -> complex amplitude V of
        |V| cos(order x turn - arg V). Empty where nothing repeats with the turn."""
        ...


def forces(up_n: Array, forward_n: Array, wheel: Wheel) -> Loads:
    """Loads of forces up and forward at the wheel: the forward one also steers."""
    nothing = np.zeros_like(up_n)
    return Loads(up_n, forward_n, nothing, forward_n * wheel.kingpin_arm_m)
