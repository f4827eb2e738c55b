"""Self-excited shimmy: nothing until a bump, then a swing that goes on until the vehicle slows.

Amplitude equation of a swing that is stable when small and, above a speed, grows when large
(averaged van der Pol type with a fifth-power end; from memory). The rate is

    dA/dt = g A,   g = -q (1 - (A/u)^2) (1 - (A/L)^2)   above the onset speed,   g = -q below,

u: amplitude a bump must pass, L: amplitude it settles at.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Shimmy:
    """hz: own frequency; steady_rad: steer angle it settles at; stops_below_m_s; bumps_at_s.

    rate_per_s: how fast it grows and dies; all figures assumed.
    """

    hz: float
    steady_rad: float
    stops_below_m_s: float
    bumps_at_s: tuple[float, ...]
    rate_per_s: float = 1.5

    def steer_rad(self, speed_m_s: Array, rate_hz: float) -> Array:
        """Steer angle (n,) over a recording with this road speed (n,)."""
        kicks = {round(at * rate_hz) for at in self.bumps_at_s}
        size, out, unstable = 0.0, np.empty(len(speed_m_s)), 0.35 * self.steady_rad
        for n, speed in enumerate(speed_m_s):
            if n in kicks:
                size = max(size, 1.5 * unstable)
            rate = -self.rate_per_s
            if speed > self.stops_below_m_s:
                rate *= (1 - (size / unstable) ** 2) * (1 - (size / self.steady_rad) ** 2)
            size *= 1 + rate / rate_hz
            out[n] = size
        return out * np.cos(2 * np.pi * self.hz * np.arange(len(out)) / rate_hz)
