"""What two readings of one wheel end say together: tread against rim, runout against imbalance."""

from __future__ import annotations

from collections.abc import Sequence

from advisor.evidence.balance_limits import parts_of
from advisor.evidence.match_result import say_compromise, say_match
from advisor.evidence.reading_result import Result, Said, Shop
from advisor.evidence.reading_words import length, spot, where
from advisor.evidence.runout_fit import fit_set_ups, on_hub, same_index
from advisor.evidence.runout_result import limit_of
from advisor.model.choose import limit_for
from advisor.model.reading import ZERO_WORDS, Balance, Reading, Runout
from advisor.physics.reindex import SetUp, separate
from advisor.physics.tradeoff import Aim
from advisor.physics.units import KG_PER_OZ, M_PER_IN
from advisor.physics.vector import UncertainVector

Vectors = tuple[UncertainVector, UncertainVector]


def pair_results(readings: Sequence[Reading], shop: Shop) -> list[Result]:
    """Notes on readings of one place that explain each other; no evidence of their own, since the
    readings themselves have entered it."""
    made = []
    for place in dict.fromkeys(r.place for r in readings):
        here = [r for r in readings if r.place == place]
        treads = [r for r in here if isinstance(r, Runout) and r.of == "tread"]
        rims = [r for r in here if isinstance(r, Runout) and r.of == "rim"]
        balances = [r for r in here if isinstance(r, Balance) and r.method == "measured"]
        vectors: Vectors | None = None
        if treads and rims and treads[0].counted_from == rims[0].counted_from:
            said = Said("runout", f"Tread against rim{where(place)}", place)
            vectors = _tread_against_rim(said, treads[0], rims[0], shop)
            made += [said.result()] if vectors else []
        elif treads:
            vectors = _separated(treads[0])
        if vectors and balances:
            both = _with_imbalance(treads[0], vectors, balances, shop)
            made += [both] if both else []
    return made


def _first(reading: Runout) -> SetUp | None:
    fitted = fit_set_ups(reading)
    return on_hub(reading, fitted)[0] if fitted[0].fit is not None else None


def _tread_against_rim(said: Said, tread: Runout, rim: Runout, shop: Shop) -> Vectors | None:
    """The tire is what the tread has and the rim has not, as mounted now."""
    at_tread, at_rim = _first(tread), _first(rim)
    if at_tread is None or at_rim is None or not same_index(at_tread, at_rim):
        return None
    wheel = at_rim.reading
    tire = UncertainVector(
        at_tread.reading.value - wheel.value, at_tread.reading.covariance + wheel.covariance
    )
    zero = ZERO_WORDS[tread.counted_from]
    said.lines.append(
        f"Tire and its seat on the rim: {length(2 * tire.magnitude, tread.unit)} (+/- "
        f"{length(2 * tire.magnitude_sd, tread.unit)}), high at {spot(tire.angle_rad, zero)}; "
        f"wheel as it sits on the hub: {length(2 * wheel.magnitude, tread.unit)}, high at "
        f"{spot(wheel.angle_rad, zero)}."
    )
    said.numbers["tire_tir_in"] = round(2 * tire.magnitude / M_PER_IN, 5)
    said.numbers["wheel_and_hub_tir_in"] = round(2 * wheel.magnitude / M_PER_IN, 5)
    said.lines.append("For this the wheel goes back on the same studs as it was read.")
    say_match(said, tread, wheel, tire, None, shop)
    return wheel, tire


def _separated(tread: Runout) -> Vectors | None:
    """Wheel and tire apart, where the set-ups tell them apart."""
    set_ups = on_hub(tread, fit_set_ups(tread))
    parts = separate(set_ups).parts if len(set_ups) > 2 else {}
    return (parts["wheel"], parts["tire"]) if {"wheel", "tire"} <= set(parts) else None


def _with_imbalance(
    tread: Runout, runout: Vectors, balances: Sequence[Balance], shop: Shop
) -> Result | None:
    """One turn of the tire for both, where tire and wheel were balanced apart."""
    for balance in balances:
        parts = parts_of(balance, shop)
        held = limit_of(tread, shop)
        ounces = limit_for(
            shop.measure("balance-check", "balance_oz").over, shop.pack, shop.vehicle, tread.place
        )
        apart = {"tire", "wheel"} <= set(parts) and parts["tire"].known and parts["wheel"].known
        if not apart or held is None or ounces is None:
            continue
        if balance.counted_from != tread.counted_from:
            continue
        said = Said("runout", f"Runout and imbalance together{where(tread.place)}", tread.place)
        wheel, tire = runout
        say_compromise(
            said,
            [
                Aim("runout", wheel.value, tire.value, held.value * M_PER_IN / 2),
                Aim(
                    "imbalance",
                    parts["wheel"].static,
                    parts["tire"].static,
                    ounces.value * KG_PER_OZ,
                ),
            ],
        )
        said.beside(shop.pack.inspections["reindex-tire"].cautions)
        return said.result()
    return None
