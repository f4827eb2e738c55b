"""How far measured orders speak for or against a cause that would make them."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from advisor.physics.ordertrack import OrderAmplitude

TYPICAL_AMPLITUDE_M_S2 = 0.2  # frame over the axle at a fault; source: computed, quarter model
BACKGROUND = 0.1  # chance that an order shows for another reason; source: judgement
MATCH = 0.01  # orders nearer than this, relative, are the same order


def order_log10_ratio(
    measured: OrderAmplitude,
    *,
    typical_amplitude: float = TYPICAL_AMPLITUDE_M_S2,
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
    measured: Sequence[OrderAmplitude],
    hypotheses: Mapping[str, Mapping[float, float]],
    *,
    background: Mapping[float, float] | float = BACKGROUND,
    typical_amplitude: float = TYPICAL_AMPLITUDE_M_S2,
    floor: float = 0.0,
) -> dict[str, float]:
    """log10 likelihood ratio, cause present over absent, for each hypothesis by name.

    hypotheses: name -> {order: chance that the order shows when the cause is there};
    background: chance that it shows all the same. So one order speaks at most
    log10(chance / background) for and log10((1 - chance) / (1 - background)) against, however
    loud it is: another cause may make it. Orders not measured say nothing. Own derivation.
    """
    found = {
        o.order: order_log10_ratio(o, typical_amplitude=typical_amplitude, floor=floor)
        for o in measured
    }
    return {
        name: sum(
            _bounded(found[at], chance, _background(background, order))
            for order, chance in orders.items()
            if (at := _nearest(found, order)) is not None
        )
        for name, orders in hypotheses.items()
    }


def _background(background: Mapping[float, float] | float, order: float) -> float:
    return background if isinstance(background, float) else background.get(order, BACKGROUND)


def _nearest(found: Mapping[float, float], order: float) -> float | None:
    near = min(found, key=lambda o: abs(o - order), default=None)
    return near if near is not None and abs(near - order) <= MATCH * order else None


def _bounded(log10_ratio: float, chance: float, background: float) -> float:
    if not (0 < chance < 1 and 0 < background < 1):
        raise ValueError("chances must lie between zero and one, both excluded")
    ratio = 10.0 ** min(log10_ratio, 300.0)
    return math.log10((chance * ratio + 1 - chance) / (background * ratio + 1 - background))
