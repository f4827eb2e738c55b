"""Order or resonance: does the ridge follow the road speed, or stay where it is?"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from advisor.physics.amplification import find_amplification
from advisor.physics.ridge import Ridge

MODEL_ERROR = 0.02  # curvature, lag of the speed log; source: own choice
SIGMAS = 3.0
LEAST_RANGE = 0.1  # of the mean speed; source: own choice


@dataclass(frozen=True)
class RidgeLine:
    """Straight line f = slope v + intercept through a ridge; errors are standard deviations.

    slope_hz_s_m: Hz per m/s; points: clear frames used; low_m_s, high_m_s: speeds covered.
    """

    slope_hz_s_m: float
    slope_sd: float
    intercept_hz: float
    intercept_sd_hz: float
    mean_hz: float
    mean_sd_hz: float
    mean_m_s: float
    low_m_s: float
    high_m_s: float
    points: int


@dataclass(frozen=True)
class RidgeVerdict:
    """kind: order, resonance, amplified_order or undecided.

    name, order: nearest candidate and measured order (needs the circumference); resonance_hz: of a
    resonance or an amplified order; because: one sentence with the numbers.
    """

    kind: str
    line: RidgeLine
    because: str
    name: str = ""
    order: float = math.nan
    order_sd: float = math.nan
    resonance_hz: float = math.nan
    resonance_sd_hz: float = math.nan
    gain: float = math.nan
    other_names: tuple[str, ...] = field(default=())


def fit_ridge_line(ridge: Ridge, speed_m_s: np.ndarray) -> RidgeLine:
    """Robust line through the clear points of `ridge` against speed (k,) at ridge.time_s.

    Soft-l1 loss (scipy.optimize); errors from the scatter about the line. Raises ValueError with
    fewer than 5 clear points or no spread of speed at all.
    """
    from scipy.optimize import least_squares

    speed, hz = speed_m_s[ridge.clear], ridge.frequency_hz[ridge.clear]
    if len(speed) < 5 or np.ptp(speed) == 0:
        raise ValueError("a line needs at least 5 clear points at different speeds")
    middle = speed.mean()
    scale = max(ridge.frequency_sd_hz, 1e-6)

    def miss(line: np.ndarray) -> np.ndarray:
        return (hz - line[0] - line[1] * (speed - middle)) / scale

    start = np.polyfit(speed - middle, hz, 1)[::-1]
    fit = least_squares(miss, start, loss="soft_l1")
    rest = miss(fit.x) * scale
    # Half-overlapped frames are nearly independent; the spread is read robustly, then by its rms.
    sd = max(float(np.median(np.abs(rest))) / 0.6745, float(np.std(np.clip(rest, *_clip(rest)))))
    slope_sd = sd / math.sqrt(float(np.sum((speed - middle) ** 2)))
    mean_sd = sd / math.sqrt(len(speed))
    level, slope = float(fit.x[0]), float(fit.x[1])
    return RidgeLine(
        slope,
        slope_sd,
        level - slope * float(middle),
        math.hypot(mean_sd, slope_sd * float(middle)),
        float(hz.mean()),
        mean_sd,
        float(middle),
        float(speed.min()),
        float(speed.max()),
        len(speed),
    )


def _clip(rest: np.ndarray) -> tuple[float, float]:
    """Three robust standard deviations around zero."""
    wide = 3 * float(np.median(np.abs(rest))) / 0.6745 + 1e-12
    return -wide, wide


def judge_ridge(
    ridge: Ridge,
    speed_m_s: np.ndarray,
    *,
    circumference_m: float | None = None,
    orders: Mapping[str, float] | None = None,
    tolerance: float = 0.025,
) -> RidgeVerdict:
    """Order (through zero), resonance (flat), order amplified by a resonance, or undecided.

    speed_m_s (k,) at ridge.time_s; orders: candidate wheel orders by name, needs circumference_m;
    tolerance: of the circumference. Decision at three standard deviations plus 2 % model error.
    """
    line = fit_ridge_line(ridge, speed_m_s)
    through_zero = abs(line.intercept_hz) <= SIGMAS * math.hypot(
        line.intercept_sd_hz, MODEL_ERROR * line.mean_hz
    )
    flat = abs(line.slope_hz_s_m) * line.mean_m_s <= SIGMAS * math.hypot(
        line.slope_sd * line.mean_m_s, MODEL_ERROR * line.mean_hz
    )
    # Over a narrow range the noise of the speed log alone flattens the slope.
    narrow = line.high_m_s - line.low_m_s < LEAST_RANGE * line.mean_m_s
    if narrow or (through_zero and flat):
        return RidgeVerdict("undecided", line, _too_narrow(line))
    if flat:
        return RidgeVerdict(
            "resonance",
            line,
            f"the ridge stays at {line.mean_hz:.2f} Hz while the speed goes from "
            f"{line.low_m_s:.1f} to {line.high_m_s:.1f} m/s",
            resonance_hz=line.mean_hz,
            resonance_sd_hz=line.mean_sd_hz,
        )
    if through_zero:
        return _judge_order(ridge, line, circumference_m, orders or {}, tolerance)
    return RidgeVerdict(
        "undecided",
        line,
        f"the ridge neither goes through zero (intercept {line.intercept_hz:.2f} +/- "
        f"{line.intercept_sd_hz:.2f} Hz) nor stays flat: an engine in changing gears, two lines "
        "that cross, or a wrong speed",
    )


def _too_narrow(line: RidgeLine) -> str:
    return (
        f"speeds from {line.low_m_s:.1f} to {line.high_m_s:.1f} m/s are too close together to tell "
        "a line through zero from a flat one: repeat over at least 10 m/s, slowly"
    )


def _judge_order(
    ridge: Ridge,
    line: RidgeLine,
    circumference_m: float | None,
    orders: Mapping[str, float],
    tolerance: float,
) -> RidgeVerdict:
    order = order_sd = math.nan
    near: list[str] = []
    if circumference_m:
        # Through zero within its error, so the mean ratio is the sharper slope.
        order = line.mean_hz / line.mean_m_s * circumference_m
        order_sd = math.hypot(line.slope_sd * circumference_m, tolerance / 2 * order)
        allowed = {n: abs(order - o) / max(o, 1e-9) for n, o in orders.items()}
        limit = tolerance + SIGMAS * line.slope_sd * circumference_m / order
        near = sorted((n for n in allowed if allowed[n] <= limit), key=allowed.__getitem__)
    name = near[0] if near else ""
    said = name or (f"order {order:.2f} of the wheel" if circumference_m else "an order")
    found = find_amplification(ridge)
    because = (
        f"the ridge goes through zero (intercept {line.intercept_hz:.3f} +/- "
        f"{line.intercept_sd_hz:.3f} Hz): {said}"
    )
    if found is None:
        return RidgeVerdict("order", line, because, name, order, order_sd, other_names=_rest(near))
    return RidgeVerdict(
        "amplified_order",
        line,
        f"{because}, {found.gain:.1f} times stronger near {found.frequency_hz:.1f} Hz",
        name,
        order,
        order_sd,
        found.frequency_hz,
        found.frequency_sd_hz,
        found.gain,
        _rest(near),
    )


def _rest(names: list[str]) -> tuple[str, ...]:
    return tuple(names[1:])
