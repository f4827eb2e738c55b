"""How far measured orders speak for or against a cause that would make them."""

from __future__ import annotations

import math
from collections.abc import Mapping

from advisor.physics.ordertrack import OrderAmplitude

MATCH = 0.01  # orders nearer than this, relative, are the same order


def order_log10_ratio(
    measured: OrderAmplitude,
    *,
    typical_amplitude: float,
    floor: float = 0.0,
) -> float:
    """log10 likelihood of one measured order with a line there over noise alone.

    Noise gives a Rayleigh amplitude; a line of unknown size with mean square typical_amplitude^2
    gives a wider one. floor: least noise amplitude, e.g. of the instrument. Own derivation.
    """
    noise = max(measured.amplitude_sd, measured.noise_amplitude, floor) ** 2
    wide = noise + typical_amplitude**2
    if noise <= 0:
        raise ValueError("an order without any uncertainty has no likelihood")
    lead = measured.amplitude**2 * (1 / noise - 1 / wide)
    return (math.log(noise / wide) + lead) / math.log(10)


def hypothesis_log10_ratios(
    found: Mapping[float, float],
    hypotheses: Mapping[str, Mapping[float, float]],
    *,
    background: Mapping[float, float] | float,
) -> dict[str, float]:
    """log10 likelihood ratio, cause present over absent, for each hypothesis by name.

    found: order -> log10 ratio that its line is there (see order_log10_ratio); hypotheses: name ->
    {order: chance that the order shows when the cause is there}; background: chance that it shows
    all the same, for all or by order as in found. So one order speaks at most
    log10(chance / background) for and log10((1 - chance) / (1 - background)) against, however loud
    it is: another cause may make it. Orders not measured say nothing. Own derivation.
    """
    return {
        name: sum(
            bounded_log10_ratio(
                found[at], chance, background if isinstance(background, float) else background[at]
            )
            for order, chance in orders.items()
            if (at := _nearest(found, order)) is not None
        )
        for name, orders in hypotheses.items()
    }


def _nearest(found: Mapping[float, float], order: float) -> float | None:
    near = min(found, key=lambda o: abs(o - order), default=None)
    return near if near is not None and abs(near - order) <= MATCH * order else None


def bounded_log10_ratio(log10_ratio: float, chance: float, background: float) -> float:
    """What a line that is there with the odds 10^log10_ratio says for a cause that shows it with
    `chance`, when it shows with `background` without the cause. Raises ValueError outside 0..1.
    """
    if not (0 < chance < 1 and 0 < background < 1):
        raise ValueError("chances must lie between zero and one, both excluded")
    ratio = 10.0 ** min(log10_ratio, 300.0)
    return math.log10((chance * ratio + 1 - chance) / (background * ratio + 1 - background))
