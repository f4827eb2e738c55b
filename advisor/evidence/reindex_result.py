"""Set-ups against each other: does the high spot stay with the hub, the wheel or the tire?"""

from __future__ import annotations

import math
from collections.abc import Sequence

from advisor.evidence.match_result import say_match
from advisor.evidence.reading_result import Said, Shop
from advisor.evidence.reading_words import chance, degrees, length, spot
from advisor.evidence.runout_fit import Fitted, on_hub, same_index
from advisor.model.reading import ZERO_WORDS, Runout
from advisor.physics.dominance import largest_part
from advisor.physics.reindex import Separation, SetUp, separate
from advisor.physics.seating import RepeatScatter, compare_repeats, probability_over, seating_sd_m
from advisor.physics.turns import best_stud_turn, error_gain, next_set_ups
from advisor.physics.units import M_PER_IN

# A part with less than this share of the limit explains no complaint, whichever part it is
# (judgement).
TELLING_SHARE = 0.5
# Past this the turn was too small to tell the parts apart well; 72 degrees has 1.20 (own
# derivation, see physics.turns).
GAIN_TOO_LARGE = 1.5
USUAL_STUDS = 10
SETTLED = 0.9

PARTS = {
    "hub": "hub and mounting",
    "wheel": "wheel",
    "tire": "tire",
    "wheel_and_tire": "wheel and tire together",
    "hub_and_wheel": "hub and wheel together",
}
CHECKS = {"radial": "reindex-wheel", "lateral": "reindex-wheel-sideways"}
BARE = ("bead_seat_inner", "bead_seat_outer")  # turned on a spindle, which is no mounting
BY_CARRIED = {
    "wheel": {"wheel_and_tire": "wheel"},
    "drum": {"wheel_and_tire": "drum", "hub": "hub"},
}


def say_reindex(
    said: Said,
    reading: Runout,
    fitted: Sequence[Fitted],
    limit_m: float | None,
    shop: Shop,
) -> None:
    """Verdict of several set-ups, and which further one would settle what is open."""
    set_ups = on_hub(reading, fitted)
    if not set_ups or reading.dial.carries == "hub":
        return
    scatter = _repeats(said, reading, set_ups)
    seating = _seating_sd(reading, set_ups, scatter)
    turned = any(not same_index(set_ups[0], s) for s in set_ups[1:])
    worth = "probability_over" in said.numbers and said.numbers["probability_over"] > 0.3
    if not turned:
        _seating_only(said, reading, scatter, shop)
        if worth and _is_evidence(reading):
            _advise(said, reading, set_ups, "hub", shop)
        return
    separation = separate(set_ups, seating_sd_m=seating)
    _parts(said, reading, separation)
    _small_turn(said, reading, set_ups, shop)
    if separation.consistency is not None and separation.consistency < 0.01:
        said.problems.append(
            "The set-ups do not fit together within their errors. Still known: each by itself. "
            "Measure again: the first set-up, to see whether the wheel sits the same way twice."
        )
    _verdict(said, reading, separation, set_ups, scatter, limit_m, shop)
    if {"wheel", "tire"} <= set(separation.parts) and reading.of == "tread":
        _, covariance = separation.joint(("wheel", "tire"))
        wheel, tire = separation.parts["wheel"], separation.parts["tire"]
        say_match(said, reading, wheel, tire, covariance, shop)


def _repeats(said: Said, reading: Runout, set_ups: Sequence[SetUp]) -> RepeatScatter | None:
    """The two set-ups mounted alike that differ most."""
    found: RepeatScatter | None = None
    for i, first in enumerate(set_ups):
        for second in set_ups[i + 1 :]:
            if same_index(first, second):
                scatter = compare_repeats(first.reading, second.reading)
                if found is None or scatter.share_of_limit > found.share_of_limit:
                    found = scatter
    if found is not None:
        told = (
            "more than reading error explains: the way it seats changes, so no part is to blame yet"
            if found.seating
            else "no more than reading error: it seats the same way twice"
        )
        said.lines.append(
            f"Mounted the same way twice, the once-a-turn part differs by "
            f"{length(found.tir_m, reading.unit)}, {told}."
        )
        said.numbers["repeat_difference_tir_in"] = round(found.tir_m / M_PER_IN, 5)
        said.numbers["seating"] = found.seating
    return found


def _seating_sd(reading: Runout, set_ups: Sequence[SetUp], scatter: RepeatScatter | None) -> float:
    """Error that each mounting adds: from repeats where there are any, else from the clearance."""
    if scatter is not None:
        # a difference of two vectors of amplitude tir / 2 has four times the variance of one axis
        square = (scatter.tir_m / 2) ** 2 / 4 - set_ups[0].reading.sd ** 2
        return math.sqrt(max(square, 0.0))
    return seating_sd_m(reading.pilot_clearance_m or 0.0)


def _seating_only(said: Said, reading: Runout, scatter: RepeatScatter | None, shop: Shop) -> None:
    if scatter is None or not scatter.seating or not _is_evidence(reading):
        return
    check = CHECKS[reading.dial.direction]
    said.find(check, 1 - scatter.chance, "Does not seat the same way twice", shop)


def _is_evidence(reading: Runout) -> bool:
    """Whether a rule speaks about these parts as they sit on the vehicle."""
    return reading.dial.carries in ("whole", "wheel") and reading.of not in BARE


def _named(reading: Runout, part: str) -> str:
    if reading.of in BARE and part == "hub":
        return "spindle"
    return BY_CARRIED.get(reading.dial.carries, {}).get(part, PARTS.get(part, part))


def _parts(said: Said, reading: Runout, separation: Separation) -> None:
    """Each part with its own runout and error."""
    zero = ZERO_WORDS[reading.counted_from]
    moved = "first " if reading.counted_from != "stud" else ""
    numbers = {}
    for part in ("hub", "wheel", "tire", "wheel_and_tire", "hub_and_wheel"):
        if part not in separation.parts:
            continue
        if part == "wheel_and_tire" and {"wheel", "tire"} <= set(separation.parts):
            continue
        if part == "hub_and_wheel" and {"hub", "wheel"} <= set(separation.parts):
            continue
        v = separation.parts[part]
        numbers[part] = {
            "tir_in": round(2 * v.magnitude / M_PER_IN, 5),
            "tir_sd_in": round(2 * v.magnitude_sd / M_PER_IN, 5),
            "high_spot_deg": degrees(v.angle_rad),
        }
        said.lines.append(
            f"{_named(reading, part).capitalize()}: {length(2 * v.magnitude, reading.unit)} (+/- "
            f"{length(2 * v.magnitude_sd, reading.unit)}), high at "
            f"{spot(v.angle_rad, f'{zero} as {moved}mounted')}."
        )
    said.numbers["parts"] = numbers


def _small_turn(said: Said, reading: Runout, set_ups: Sequence[SetUp], shop: Shop) -> None:
    """One stud of ten is too little to tell the parts apart."""
    turns = [abs(math.remainder(s.wheel_turn_rad - set_ups[0].wheel_turn_rad, 2 * math.pi))
             for s in set_ups]  # fmt: skip
    largest = max(turns)
    if largest == 0 or error_gain(largest) <= GAIN_TOO_LARGE:
        return
    studs = reading.studs or shop.vehicle.studs or USUAL_STUDS
    best = best_stud_turn(studs)
    said.problems.append(
        f"The wheel was turned only {math.degrees(largest):.0f} degrees, which makes the error of "
        f"each part {error_gain(largest):.1f} times that of a reading. Still known: the parts "
        f"within their errors. Measure again: turned {best.studs} of {studs} studs, where it is "
        f"{best.error_gain:.1f} times."
    )


def _verdict(
    said: Said,
    reading: Runout,
    separation: Separation,
    set_ups: Sequence[SetUp],
    scatter: RepeatScatter | None,
    limit_m: float | None,
    shop: Shop,
) -> None:
    """Who carries most of it, as probabilities and as evidence."""
    settled = True
    for split, check in (
        (("hub", "wheel_and_tire"), CHECKS[reading.dial.direction]),
        (("tire", "wheel"), "reindex-tire"),
        (("tire", "hub_and_wheel"), "reindex-tire"),
    ):
        if not set(split) <= set(separation.parts):
            continue
        if split[1] == "hub_and_wheel" and "wheel" in separation.parts:
            continue
        shares = {s.part: s.probability for s in largest_part(separation, split)}
        p = shares[split[0]]
        if check != "reindex-tire" and scatter is not None and scatter.seating:
            p = 1 - (1 - p) * scatter.chance
        told = telling(separation, split, limit_m)
        likely = split[0] if p >= 0.5 else split[1]
        named = _named(reading, likely)
        settled = settled and max(p, 1 - p) >= SETTLED
        words = f"Re-indexed: {named} carries more of it ({chance(max(p, 1 - p))})"
        said.lines.append(f"{words}{_meaning(reading, likely)}.")
        said.numbers.setdefault("largest", {})[likely] = round(max(p, 1 - p), 4)
        if _is_evidence(reading):
            said.find(check, 0.5 + (p - 0.5) * told, words, shop)
            if told < 0.5:
                said.lines.append("All parts are small against the limit, so this counts little.")
    if _is_evidence(reading) and not (settled and "hub" in separation.parts):
        _advise(said, reading, set_ups, "hub", shop)


def telling(separation: Separation, parts: Sequence[str], limit_m: float | None) -> float:
    """How much a verdict between parts matters: chance that the larger one exceeds half the limit.

    1 where no limit is known.
    """
    if limit_m is None:
        return 1.0
    largest = max((separation.parts[part] for part in parts), key=lambda v: v.magnitude)
    return probability_over(
        2 * largest.magnitude, 2 * largest.magnitude_sd, TELLING_SHARE * limit_m
    )


def _meaning(reading: Runout, part: str) -> str:
    if not _is_evidence(reading):
        return ""
    lateral = reading.dial.direction == "lateral"
    return {
        "hub": ": it stays on the hub, so it is the mounting and not the part",
        "wheel_and_tire": ": it goes round with the wheel, so the part itself is "
        + ("bent" if lateral else "out of round"),
        "wheel": ": it stays by the valve, so the wheel is out of round",
        "tire": ": it goes with the tire",
        "hub_and_wheel": ": it does not go with the tire",
    }[part]


def _advise(said: Said, reading: Runout, set_ups: Sequence[SetUp], part: str, shop: Shop) -> None:
    """The next set-up that tells the parts apart best."""
    studs = reading.studs or shop.vehicle.studs or USUAL_STUDS
    assumed = "" if reading.studs or shop.vehicle.studs else " (ten studs assumed)"
    steps = next_set_ups(set_ups, part, studs, wheel_only=True)
    if not steps:
        return
    step = steps[0]
    said.lines.append(
        f"Next set-up that settles most: turn the wheel on by {step.steps} of {studs} studs"
        f"{assumed} and read again; that leaves +/- {length(2 * step.sd_m, reading.unit)} on hub "
        "and mounting. One stud over is not enough to tell."
    )
    said.beside(shop.pack.inspections[CHECKS[reading.dial.direction]].cautions)
