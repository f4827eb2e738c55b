"""From the samples of a road recording to spectrum, orders, ridge and weighted vibration."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from advisor.physics.order_reading import (
    SLOWEST_SHARE,
    distinct_orders,
    loudest_axis,
    refine_on_best_axis,
    track_orders,
)
from advisor.physics.ordertrack import OrderSpectrum, OrderTrack
from advisor.physics.refine import Refined
from advisor.physics.revolutions import Rotation, rotation_from_speed
from advisor.physics.ridge import Ridge, follow_ridge, frame_length_s, speed_from_ridge
from advisor.physics.ridge_verdict import RidgeVerdict, judge_ridge
from advisor.physics.samples import Samples
from advisor.physics.spectrum import Peak, Spectrum, amplitude_spectrum, find_peaks
from advisor.physics.steady import Stretch, steady_stretch
from advisor.physics.waterfall import Waterfall, waterfall
from advisor.physics.weighting import WeightedVibration, total_value, weighted_vibration

SPEED_SMOOTHING_S = 1.5  # a heavy vehicle does not change speed faster; source: own choice
SLOWEST_TURN_HZ = 0.6  # about 4 mph on a heavy tire; source: own choice
SLOWEST_RIDGE_HZ = 3.0  # slower ridges are the body floating on its springs; source: own choice
LEAST_SPREAD = 1.2  # highest over lowest speed that makes a ridge worth judging


@dataclass(frozen=True)
class RecordingAnalysis:
    """Everything read from one recording; lists run over the axes.

    speed_from: given, ridge or none; main_axis: where orders are loudest; orders: names by order
    (several names when they cannot be told apart); notes: what could not be done and why.
    """

    speed_from: str
    main_axis: int
    stretch: Stretch | None
    spectra: tuple[Spectrum, ...]
    peaks: tuple[tuple[Peak, ...], ...]
    refined: Refined | None
    orders: Mapping[float, tuple[str, ...]]
    tracks: tuple[OrderTrack, ...]
    order_spectra: tuple[OrderSpectrum, ...]
    ridge: Ridge | None
    verdict: RidgeVerdict | None
    waterfall: Waterfall | None
    weighted: tuple[WeightedVibration, ...]
    weighted_total_m_s2: float | None
    notes: tuple[str, ...] = field(default=())


def analyze_recording(
    samples: Samples,
    *,
    circumference_m: float | None = None,
    orders: Mapping[str, float] | None = None,
) -> RecordingAnalysis:
    """Analyze a recording as far as it allows; what is missing is said in `notes`.

    circumference_m: rolling circumference, without it there are no orders; orders: wheel orders
    by name, e.g. {"wheel order 1": 1, "shaft order 1": 3.36}.
    """
    notes: list[str] = []
    rotation, speed_from = _rotation(samples, circumference_m, notes)
    speed = None if rotation is None or not circumference_m else rotation.rate_hz * circumference_m
    stretch = steady_stretch(samples, rotation, speed)
    spectra = _spectra(samples, stretch, notes)
    peaks = tuple(find_peaks(s) for s in spectra)
    refined, main = refine_on_best_axis(samples, rotation, notes)
    named = distinct_orders(orders or {}, rotation, samples.sample_rate_hz, notes)
    tracks, by_order = track_orders(samples, refined, tuple(named), notes)
    main = loudest_axis(tracks, main)
    ridge, verdict = _verdict(samples, main, rotation, circumference_m, orders or {}, notes)
    picture = _picture(samples, main, rotation, speed, notes)
    weighted, total = _weighted(samples, notes)
    return RecordingAnalysis(
        speed_from, main, stretch, spectra, peaks, refined, named, tracks, by_order, ridge,
        verdict, picture, weighted, total, tuple(notes),
    )  # fmt: skip


def _rotation(
    samples: Samples, circumference_m: float | None, notes: list[str]
) -> tuple[Rotation | None, str]:
    """Turns from the speed given, else from the ridge."""
    end_s = (samples.acceleration.shape[1] - 1) / samples.sample_rate_hz
    if circumference_m is None:
        notes.append("no rolling circumference: no orders")
        return None, "none"
    time_s, speed_m_s, source = samples.speed_time_s, samples.speed_m_s, "given"
    if not len(speed_m_s):
        try:
            axis = samples.acceleration[max(samples.vertical, 0)]
            found = speed_from_ridge(
                axis,
                samples.sample_rate_hz,
                circumference_m,
                low_hz=SLOWEST_RIDGE_HZ,
                valid=samples.valid,
            )
        except ValueError as error:
            notes.append(f"no speed, and none from the vibration: {error}")
            return None, "none"
        if found.clear_share < 0.5:
            notes.append("no speed given, and no ridge stands out to read it from: no orders")
            return None, "none"
        if not found.moves:
            notes.append("the ridge is flat: a steady speed or a resonance, nothing tells which")
        notes.append("speed read from the strongest ridge, taken as wheel order 1: check one point")
        time_s, speed_m_s, source = found.time_s, found.speed_m_s, "ridge"
    rotation = rotation_from_speed(
        time_s, speed_m_s, circumference_m, end_s=end_s, smoothing_s=SPEED_SMOOTHING_S
    )
    if rotation.rate_hz.max() < SLOWEST_TURN_HZ:
        notes.append("the vehicle never exceeds walking pace: no orders")
        return None, "none"
    return rotation, source


def _spectra(samples: Samples, stretch: Stretch | None, notes: list[str]) -> tuple[Spectrum, ...]:
    if stretch is None:
        notes.append("no steady stretch of 8 s: no steady spectrum, see the orders")
        return ()
    part = samples.acceleration[:, stretch.first : stretch.stop]
    block_s = min(stretch.block_s, part.shape[1] / samples.sample_rate_hz)
    return tuple(amplitude_spectrum(a, samples.sample_rate_hz, block_s=block_s) for a in part)


def _verdict(
    samples: Samples,
    main: int,
    rotation: Rotation | None,
    circumference_m: float | None,
    orders: Mapping[str, float],
    notes: list[str],
) -> tuple[Ridge | None, RidgeVerdict | None]:
    """Order or resonance, judged against the speed given, not the one refined on the ridge."""
    if rotation is None or circumference_m is None or not len(samples.speed_m_s):
        return None, None
    rate = rotation.rate_hz[rotation.rate_hz > SLOWEST_SHARE * rotation.rate_hz.max()]
    if rate.max() < LEAST_SPREAD * rate.min():
        notes.append("the speed hardly changes: an order cannot be told from a resonance")
        return None, None
    sweep = float(np.median(np.abs(np.gradient(rotation.rate_hz, rotation.time_s))))
    try:
        ridge = follow_ridge(
            samples.acceleration[main],
            samples.sample_rate_hz,
            low_hz=max(1.0, 0.6 * float(rate.min())),
            high_hz=1.3 * float(rate.max()),
            frame_s=frame_length_s(sweep),
            valid=samples.valid,
        )
        speed = np.interp(ridge.time_s, rotation.time_s, rotation.rate_hz) * circumference_m
        verdict = judge_ridge(ridge, speed, circumference_m=circumference_m, orders=orders)
    except ValueError as error:
        notes.append(f"ridge not judged: {error}")
        return None, None
    return ridge, verdict


def _picture(
    samples: Samples,
    main: int,
    rotation: Rotation | None,
    speed: np.ndarray | None,
    notes: list[str],
) -> Waterfall | None:
    if rotation is None or speed is None:
        return None
    try:
        return waterfall(
            samples.acceleration[main],
            samples.sample_rate_hz,
            rotation.time_s,
            speed,
            valid=samples.valid,
        )
    except ValueError as error:
        notes.append(f"no waterfall: {error}")
        return None


def _weighted(
    samples: Samples, notes: list[str]
) -> tuple[tuple[WeightedVibration, ...], float | None]:
    """Wk on the vertical axis, Wd on the others; the total only with all three."""
    if not samples.calibrated or samples.vertical < 0:
        notes.append("no weighted vibration: needs m/s2 and a known vertical axis")
        return (), None
    weighted = tuple(
        weighted_vibration(
            axis,
            samples.sample_rate_hz,
            "Wk" if k == samples.vertical else "Wd",
            valid=samples.valid,
        )
        for k, axis in enumerate(samples.acceleration)
    )
    if len(weighted) < 3:
        return weighted, None
    return weighted, total_value([w.rms_m_s2 for w in weighted])
