"""Synthetic run-ups with known orders, for the tests of order tracking."""

from dataclasses import dataclass

import numpy as np

MPH = 0.44704
CIRCUMFERENCE_M = 3.143


@dataclass(frozen=True)
class RunUp:
    """time_s, speed_m_s, turns (n,): the truth; log_s, log_m_s: a 1 Hz speed log with noise."""

    time_s: np.ndarray
    speed_m_s: np.ndarray
    turns: np.ndarray
    log_s: np.ndarray
    log_m_s: np.ndarray
    rate_hz: float
    rng: np.random.Generator

    def order(self, order, amplitude, phase=0.4):
        return amplitude * np.cos(2 * np.pi * order * self.turns + phase)

    def noise(self, sd):
        return sd * self.rng.standard_normal(len(self.time_s))


def run_up(seed=0, *, seconds=120, rate_hz=100.0, log_noise_m_s=0.1, log_scale=1.0, mph=(40, 70)):
    """A drive from mph[0] to mph[1], evenly, with a slow unevenness of the driver's foot."""
    rng = np.random.default_rng(seed)
    time_s = np.arange(int(seconds * rate_hz)) / rate_hz
    speed = np.interp(time_s, [0, seconds], np.array(mph) * MPH)
    speed = speed + 0.2 * np.sin(2 * np.pi * time_s / 23)
    turns = np.cumsum(speed) / rate_hz / CIRCUMFERENCE_M
    log_s = np.arange(0.0, seconds)
    log = np.interp(log_s, time_s, speed) * log_scale
    log = log + log_noise_m_s * rng.standard_normal(len(log))
    return RunUp(time_s, speed, turns, log_s, log, rate_hz, rng)
