"""What a sample rate, a record length and a clock allow to be said about a vibration."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

MIN_SAMPLE_RATE_HZ = 100.0  # source: common practice for handheld recorders, no source
CIRCUMFERENCE_TOLERANCE = 0.025  # source: computed from wear of a 295/75R22.5, 4/32 to 22/32 in


@dataclass(frozen=True)
class FoldedLine:
    """A line too fast for the recorder that shows up on a wheel order.

    name, true_hz: the line as it is; seen_hz: where it appears; wheel_order: the order it covers.
    """

    name: str
    true_hz: float
    seen_hz: float
    wheel_order: int


def aliased_frequency_hz(frequency_hz: float, sample_rate_hz: float) -> float:
    """Frequency at which a line of `frequency_hz` appears after sampling.

    Source: sampling theorem (Shannon 1949), from memory.
    """
    if sample_rate_hz <= 0:
        raise ValueError("sample_rate_hz must be above zero")
    return abs(frequency_hz - sample_rate_hz * round(frequency_hz / sample_rate_hz))


def lines_folding_onto_wheel_orders(
    lines_hz: Mapping[str, float],
    wheel_hz: float,
    sample_rate_hz: float,
    *,
    orders: tuple[int, ...] = (1, 2, 3, 4),
    resolution_hz: float = 0.2,
    tolerance: float = CIRCUMFERENCE_TOLERANCE,
) -> tuple[FoldedLine, ...]:
    """Lines above half the sample rate that fold onto a wheel order.

    lines_hz: engine and shaft lines by name; wheel_hz: wheel order 1; an order is covered when the
    folded line is nearer than `tolerance` of it plus `resolution_hz`.
    """
    found = []
    for name, true_hz in lines_hz.items():
        if true_hz <= sample_rate_hz / 2:
            continue
        seen_hz = aliased_frequency_hz(true_hz, sample_rate_hz)
        for order in orders:
            order_hz = order * wheel_hz
            near = abs(seen_hz - order_hz) <= tolerance * order_hz + resolution_hz
            if near and order_hz <= sample_rate_hz / 2:
                found.append(FoldedLine(name, true_hz, seen_hz, order))
    return tuple(found)


def jitter_noise_db(frequency_hz: float, jitter_s: float) -> float:
    """Noise of a timing scatter `jitter_s` (standard deviation) relative to a tone, in decibels.

    Small-angle phase noise, 20 log10(2 pi f s); own derivation.
    """
    if frequency_hz <= 0 or jitter_s <= 0:
        raise ValueError("frequency_hz and jitter_s must be above zero")
    return 20 * math.log10(2 * math.pi * frequency_hz * jitter_s)


def timing_jitter_s(time_s: np.ndarray, index: np.ndarray | None = None) -> float:
    """Standard deviation of time stamps (n,) about the best straight line, in seconds.

    index (n,): running number of each sample, where some are lost. A steady clock error is no
    jitter and does not count. Fewer than three stamps give zero.
    """
    if len(time_s) < 3:
        return 0.0
    number = np.arange(len(time_s), dtype=float) if index is None else index
    number = number - number.mean()
    late_s = time_s - time_s.mean()
    return float(np.std(late_s - (number @ late_s) / (number @ number) * number))


def length_to_separate_s(first_hz: float, second_hz: float, *, window: str = "hann") -> float:
    """Recording length that shows two lines apart: 1/df for a boxcar, 2/df for a Hann window.

    Source: main-lobe half width (Harris, Proc. IEEE 66, 1978), from memory.
    """
    if first_hz == second_hz:
        raise ValueError("two equal frequencies cannot be told apart")
    bins = {"boxcar": 1.0, "hann": 2.0}[window]
    return bins / abs(first_hz - second_hz)


def allowed_speed_drift_m_s(length_s: float, circumference_m: float, order: float = 1.0) -> float:
    """Speed change during `length_s` that moves the order by one line width 1/length.

    More than this and the plain spectrum smears the order: use order tracking. Own derivation.
    """
    if min(length_s, circumference_m, order) <= 0:
        raise ValueError("length_s, circumference_m and order must be above zero")
    return circumference_m / (order * length_s)


def frequency_error_bound_hz(
    amplitude: float, noise_sd: float, samples: int, sample_rate_hz: float
) -> float:
    """Smallest standard deviation any unbiased estimate of a tone's frequency can have, in Hz.

    amplitude: peak of the tone; noise_sd: of white noise, same unit. Cramer-Rao bound for unknown
    phase and amplitude. Source: Rife and Boorstyn, IEEE Trans. Inf. Theory 20(5), 1974, from
    memory.
    """
    if amplitude <= 0 or samples < 3:
        raise ValueError("needs a tone above zero and at least three samples")
    variance = 24 * (noise_sd / amplitude) ** 2 / (samples * (samples**2 - 1.0))
    return math.sqrt(variance) * sample_rate_hz / (2 * math.pi)
