"""Orders of a whole recording: refine the turns on the best axis, then measure every axis."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.physics.ordertrack import (
    CLOSEST_ORDERS,
    OrderSpectrum,
    OrderTrack,
    order_amplitudes,
    order_spectrum,
)
from advisor.physics.refine import Refined, refine_rotation
from advisor.physics.revolutions import Rotation, resample_by_angle
from advisor.physics.samples import Samples

SLOWEST_SHARE = 0.35  # of the top speed: slower stretches are left out of order tracking


def distinct_orders(
    orders: Mapping[str, float],
    rotation: Rotation | None,
    sample_rate_hz: float,
    notes: list[str],
) -> dict[float, tuple[str, ...]]:
    """Orders that can be measured apart, with every name that shares one."""
    top_hz = float(rotation.rate_hz.max()) if rotation is not None else 0.0
    named: dict[float, tuple[str, ...]] = {}
    for name, order in sorted(orders.items(), key=lambda item: item[1]):
        if order * top_hz > 0.4 * sample_rate_hz:
            notes.append(f"{name} is too fast for {sample_rate_hz:.0f} samples a second")
            continue
        shared = next((o for o in named if abs(o - order) < CLOSEST_ORDERS), None)
        if shared is not None:
            notes.append(f"{name} cannot be told from {named[shared][0]}")
        key = order if shared is None else shared
        named[key] = (*named.get(key, ()), name)
    return named


def refine_on_best_axis(
    samples: Samples, rotation: Rotation | None, notes: list[str]
) -> tuple[Refined | None, int]:
    """Refined turns from the axis where order 1 stands out most."""
    main = max(samples.vertical, 0)
    if rotation is None:
        return None, main
    slowest = SLOWEST_SHARE * float(rotation.rate_hz.max())
    try:
        tries = [
            refine_rotation(
                a, samples.sample_rate_hz, rotation, min_rate_hz=slowest, valid=samples.valid
            )
            for a in samples.acceleration
        ]
    except ValueError as error:
        notes.append(f"turns not refined: {error}")
        return Refined(rotation, False, 1.0, 0.0), main
    best = max(range(len(tries)), key=lambda k: (tries[k].found, tries[k].above_noise))
    if not tries[best].found:
        notes.append("order 1 is too weak to refine the speed on it: order amplitudes may read low")
        return tries[best], main
    return tries[best], best


def track_orders(
    samples: Samples, refined: Refined | None, orders: tuple[float, ...], notes: list[str]
) -> tuple[tuple[OrderTrack, ...], tuple[OrderSpectrum, ...]]:
    """Amplitude of each order and the order spectrum, for every axis; empty with a note if not."""
    if refined is None or not orders:
        return (), ()
    tracks, spectra = [], []
    try:
        for axis in samples.acceleration:
            angle = resample_by_angle(
                axis,
                samples.sample_rate_hz,
                refined.rotation,
                max_order=max(orders) + 0.6,
                min_rate_hz=SLOWEST_SHARE * float(refined.rotation.rate_hz.max()),
                valid=samples.valid,
            )
            tracks.append(order_amplitudes(angle, orders))
            spectra.append(order_spectrum(angle))
    except ValueError as error:
        notes.append(f"no order tracking: {error}")
        return (), ()
    return tuple(tracks), tuple(spectra)


def loudest_axis(tracks: tuple[OrderTrack, ...], otherwise: int) -> int:
    """Axis with the most power in its orders; `otherwise` when none were measured."""
    power = [sum(order.amplitude**2 for order in track.averages) for track in tracks]
    return max(range(len(power)), key=power.__getitem__) if any(power) else otherwise
