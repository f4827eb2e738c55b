"""One runout reading -> what it says: total, offset against shape, limit, high spot."""

from __future__ import annotations

import math

import numpy as np

from advisor.evidence.reading_result import Result, Said, Shop
from advisor.evidence.reading_words import (
    chance,
    clock,
    degrees,
    flaw,
    in_unit,
    length,
    limit,
    spot,
    where,
)
from advisor.evidence.reindex_result import say_reindex
from advisor.evidence.runout_fit import Fitted, fit_set_ups
from advisor.model.choose import limit_for
from advisor.model.diagnosis import Picture
from advisor.model.pack import Limit
from advisor.model.reading import ZERO_WORDS, Runout
from advisor.physics.runout import RunoutFit
from advisor.physics.seating import probability_over
from advisor.physics.units import M_PER_IN

# Where the dial stood -> the check it belongs to. Sidewall and hub face have no rules of their own.
CHECK_OF = {
    "tread": "tread-runout",
    "rim": "rim-runout",
    "rim_side": "lateral-runout",
    "wheel_face": "lateral-runout",
    "bead_seat_inner": "bare-wheel-runout",
    "bead_seat_outer": "bare-wheel-runout",
    "hub_pilot": "pilot-check",
    "drum": "drum-runout",
    "rotor_face": "drum-runout",
}
LIMITS_WITHOUT_CHECK = {"sidewall": "lateral-runout"}
SHAPES = {2: "oval", 3: "three-lobed", 4: "four-lobed"}
# A dip or lump is sudden when one position holds most of the shape (judgement).
SUDDEN_SHARE = 0.6
MOST_PICTURES = 4
DEFAULT_READING_SD_M = 0.002 * M_PER_IN  # one reading by hand (judgement)


def runout_result(reading: Runout, shop: Shop) -> Result:
    """What a runout reading says about this vehicle."""
    title = f"Runout of the {reading.dial.words}{where(reading.place)}"
    said = Said("runout", f"{title} ({reading.name})" if reading.name else title, reading.place)
    fitted = fit_set_ups(reading)
    first = fitted[0]
    held = limit_of(reading, shop)
    _total(said, reading, first, held, shop)
    if first.fit is not None:
        _offset_and_shape(said, reading, first.fit)
        _lobes(said, reading, first.fit)
        _sudden(said, reading, first.fit)
    for n, one in enumerate(fitted):
        _doubts(said, one, f"Set-up {n + 1}: " if len(fitted) > 1 else "")
        _picture(said, reading, one, n, len(fitted))
    say_reindex(said, reading, fitted, held.value * M_PER_IN if held else None, shop)
    return said.result()


def limit_of(reading: Runout, shop: Shop) -> Limit | None:
    """The limit that fits the vehicle, axle and wheel, or None."""
    pack = shop.pack
    if reading.of in LIMITS_WITHOUT_CHECK:
        ids = pack.inspections[LIMITS_WITHOUT_CHECK[reading.of]].limits
        ids = [i for i in ids if "assembly" in pack.limits[i].applies_to]
    elif reading.of in CHECK_OF:
        ids = shop.measure(CHECK_OF[reading.of], "tir_in").over
        if reading.of == "bead_seat_inner" or reading.of == "bead_seat_outer":
            ids = [i for i in ids if "radial" in i]
    else:
        return None
    return limit_for(ids, pack, shop.vehicle, reading.place)


def _total(said: Said, reading: Runout, one: Fitted, held: Limit | None, shop: Shop) -> None:
    """Total indicated runout against the limit, and what that is worth as evidence."""
    tir, sd, unit = one.spread_m, tir_sd_m(reading, one, shop), reading.unit
    said.numbers |= {
        "tir_in": round(tir / M_PER_IN, 5),
        "tir_sd_in": round(sd / M_PER_IN, 5),
        "positions": len(one.tidy.reading_m),
    }
    least = "at least " if one.fit is None else ""
    line = f"Total indicated runout {least}{length(tir, unit)} (+/- {length(sd, unit)})"
    if held is None:
        said.lines.append(f"{line}; no limit is known for this vehicle and place.")
        return
    said.held_against(held)
    p = probability_over(tir, sd, held.value * M_PER_IN)
    verdict = "over" if p > 0.95 else "within" if p < 0.05 else "too near the limit to call"
    near = f": {chance(p)} that it is over" if verdict.startswith("too") else ""
    said.lines.append(f"{line} against a limit of {limit(held, shop.pack)}: {verdict}{near}.")
    said.numbers |= {"limit_in": held.value, "probability_over": round(p, 4)}
    check = CHECK_OF.get(reading.of)
    # too few positions can miss the high spot, so they cannot clear a part
    if check and (one.fit is not None or p > 0.5):
        kind = shop.pack.inspections[check]
        words = f"{kind.name}: {length(tir, unit)} against a limit of {held.value:g} {held.unit}"
        said.find(check, p, words, shop)


def tir_sd_m(reading: Runout, one: Fitted, shop: Shop) -> float:
    """Error of the total: two readings, at least what the check repeats to, and half of what the
    turn failed to close by (judgement)."""
    sd = math.sqrt(2.0) * (reading.reading_sd_m or DEFAULT_READING_SD_M)
    check = CHECK_OF.get(reading.of)
    if check and reading.reading_sd_m is None:
        sd = shop.measure(check, "tir_in").repeatability * M_PER_IN
    closure = one.tidy.closure_m or 0.0
    bad = any(f.kind == "closure" for f in one.tidy.flaws)
    return math.hypot(sd, closure / 2 if bad else 0.0)


def _offset_and_shape(said: Said, reading: Runout, fit: RunoutFit) -> None:
    """First harmonic against the rest, and where the high spot is."""
    offset, unit = fit.offset, reading.unit
    shape = fit.shape_tir_m
    zero = ZERO_WORDS[reading.counted_from]
    mostly = "mostly off center" if offset.tir_m > shape else "mostly shape"
    if reading.dial.direction == "lateral":
        mostly = "mostly tilt" if offset.tir_m > shape else "mostly a bend or warp"
    said.lines.append(
        f"Once a turn {length(offset.tir_m, unit)} (+/- {length(offset.tir_sd_m, unit)}), shape "
        f"beyond that {length(shape, unit)}: {mostly}."
    )
    if offset.vector.angle_sd_rad < math.radians(45):
        at = spot(offset.high_spot_rad, zero, offset.high_spot_sd_rad)
        said.lines.append(f"Chalk the high spot at {at}.")
    else:
        said.lines.append("The high spot cannot be told from reading error.")
    for harmonic in fit.harmonics[1:]:
        if harmonic.tir_m > max(3 * harmonic.tir_sd_m, 0.4 * fit.tir_m):
            shown = SHAPES.get(harmonic.order, "")
            at = spot(harmonic.high_spot_rad, zero)
            said.lines.append(f"{length(harmonic.tir_m, unit)} of it is {shown}, one high at {at}.")
    said.numbers |= {
        "offset_tir_in": round(offset.tir_m / M_PER_IN, 5),
        "offset_tir_sd_in": round(offset.tir_sd_m / M_PER_IN, 5),
        "high_spot_deg": degrees(offset.high_spot_rad),
        "high_spot_sd_deg": round(math.degrees(offset.high_spot_sd_rad), 2),
        "shape_tir_in": round(shape / M_PER_IN, 5),
        "reading_sd_in": round(fit.reading_sd_m / M_PER_IN, 5),
    }


def _lobes(said: Said, reading: Runout, fit: RunoutFit) -> None:
    """Patterns these positions would show as an offset."""
    near = [n for n in fit.lobes_as_offset if n <= 13]
    if not near:
        return
    count = len(fit.angle_rad)
    text = f"{count} positions cannot tell {' or '.join(map(str, near))} lobes from an offset"
    if reading.studs in near:
        text += f"; with {reading.studs} studs that can be the bolt pattern: read 12 positions"
    said.lines.append(f"{text}.")
    said.numbers["lobes_as_offset"] = near


def _sudden(said: Said, reading: Runout, fit: RunoutFit) -> None:
    """One dip or lump by itself is no smooth high and low."""
    shape = fit.reading_m - np.median(fit.reading_m)
    worst = int(np.abs(shape).argmax())
    rest = float(np.ptp(np.delete(fit.reading_m, worst)))
    if fit.tir_m == 0 or rest > (1 - SUDDEN_SHARE) * fit.tir_m:
        return
    kind = "dip" if shape[worst] < 0 else "lump"
    at = spot(float(fit.angle_rad[worst]), ZERO_WORDS[reading.counted_from])
    look = "a flat spot or a dent" if kind == "dip" else "a bulge or a separation"
    text = f"A sudden {kind} of {length(abs(float(shape[worst])), reading.unit)} at {at}"
    said.problems.append(
        f"{text}: look there for {look} by hand and eye before anything else. Still known: the "
        "total. Measure again: every inch on either side of it. A bulge or separation stops the "
        "vehicle."
    )
    said.beside(["one-stop-finding-no-roll"])


def _doubts(said: Said, one: Fitted, before: str) -> None:
    said.problems += [f"{before}{flaw(found)}" for found in one.tidy.flaws]
    if one.failure is not None:
        said.problems.append(f"{before}{flaw(one.failure)}")


def _picture(said: Said, reading: Runout, one: Fitted, number: int, count: int) -> None:
    if one.fit is None or number >= MOST_PICTURES:
        return
    fit, unit = one.fit, reading.unit
    zero = ZERO_WORDS[reading.counted_from]
    title = f"{said.title}, set-up {number + 1} of {count}" if count > 1 else said.title
    said.pictures.append(
        Picture(
            kind="polar_runout",
            title=title,
            data={
                "angles_deg": [degrees(float(a)) for a in fit.angle_rad],
                "readings": [in_unit(float(r), unit) for r in fit.reading_m],
                "unit": unit,
                "mean": in_unit(fit.mean_m, unit),
                "amplitude": in_unit(fit.offset.amplitude_m, unit),
                "high_deg": degrees(fit.offset.high_spot_rad),
                "high_says": f"high spot at {clock(fit.offset.high_spot_rad)}",
                "zero_at": zero,
            },
        )
    )
