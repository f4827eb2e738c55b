"""Where the tire should go on the wheel: for runout, and for runout and imbalance at once."""

from __future__ import annotations

import cmath
import math
from collections.abc import Sequence

from numpy.typing import NDArray

from advisor.evidence.reading_result import Said, Shop
from advisor.evidence.reading_words import degrees, in_unit, length, spot, way
from advisor.model.diagnosis import Picture
from advisor.model.reading import ZERO_WORDS, Runout
from advisor.physics.matchmount import MatchMount, match_mount, nearest_stud_steps
from advisor.physics.tradeoff import Aim, best_compromise
from advisor.physics.units import M_PER_IN
from advisor.physics.vector import UncertainVector, wrap_angle

# Match mounting pays when it takes off this much more than the error (judgement).
WORTH_GAIN = 1.0
CHECK = "reindex-tire"


def say_match(
    said: Said,
    reading: Runout,
    wheel: UncertainVector,
    tire: UncertainVector,
    joint: NDArray | None,
    shop: Shop,
) -> None:
    """Best turn of the tire on the wheel, in degrees, by marks and by studs, and what it leaves."""
    best = match_mount(wheel, tire, joint_covariance=joint)
    unit = reading.unit
    said.numbers["match_mounting"] = {
        "turn_deg": round(math.degrees(best.turn_rad), 1),
        "now_tir_in": round(2 * best.now_m / M_PER_IN, 5),
        "left_tir_in": round(2 * best.residual_m / M_PER_IN, 5),
        "likely_tir_in": [round(2 * r / M_PER_IN, 5) for r in best.likely_m],
        "half_turn_rule_tir_in": round(2 * best.half_turn_m / M_PER_IN, 5),
    }
    if 2 * (best.now_m - best.expected_m) < WORTH_GAIN * 2 * wheel.sd:
        said.lines.append("Turning the tire on the wheel would gain no more than reading error.")
        return
    said.lines += _advice(reading, wheel, tire, best, shop)
    said.lines.append(
        f"That leaves {length(2 * best.residual_m, unit)} of wheel and tire (likely "
        f"{length(2 * best.likely_m[0], unit)} to {length(2 * best.likely_m[1], unit)}) instead of "
        f"{length(2 * best.now_m, unit)}; the half-turn rule of thumb would leave "
        f"{length(2 * best.half_turn_m, unit)}."
    )
    said.beside(shop.pack.inspections[CHECK].cautions)
    said.cite([shop.pack.inspections[CHECK].source])
    said.pictures.append(_picture(reading, wheel, tire, best))


def _advice(
    reading: Runout, wheel: UncertainVector, tire: UncertainVector, best: MatchMount, shop: Shop
) -> list[str]:
    zero = ZERO_WORDS[reading.counted_from]
    to = wrap_angle(tire.angle_rad + best.turn_rad)
    found = [
        f"Match mounting: turn the tire on the wheel {way(best.turn_rad)}. Mark to valve: the "
        f"tire's own high spot, first at {spot(tire.angle_rad, zero)}, goes to {spot(to, zero)}, "
        "opposite the wheel's."
    ]
    studs = reading.studs or shop.vehicle.studs
    if studs:
        steps = nearest_stud_steps(wheel.value, tire.value, best.turn_rad, studs)
        side = "clockwise" if steps.steps >= 0 else "counterclockwise"
        found.append(
            f"By the studs: {abs(steps.steps)} of {studs} stud spaces {side}, which leaves "
            f"{length(2 * steps.residual_m, reading.unit)}."
        )
    return found


def _picture(
    reading: Runout, wheel: UncertainVector, tire: UncertainVector, best: MatchMount
) -> Picture:
    left = wheel.value + tire.value * cmath.exp(1j * best.turn_rad)

    def vector(value: complex) -> dict[str, float]:
        return {
            "amount": round(in_unit(2 * abs(value), reading.unit), 3),
            "angle_deg": degrees(cmath.phase(value)),
        }

    return Picture(
        kind="vector_diagram",
        title="Match mounting: runout of wheel and tire",
        data={
            "wheel": vector(wheel.value),
            "tire": vector(tire.value),
            "left": vector(left),
            "turn_deg": round(math.degrees(best.turn_rad), 1),
            "unit": reading.unit,
            "zero_at": ZERO_WORDS[reading.counted_from],
            "says": f"turn the tire {way(best.turn_rad).removesuffix(' (seen from outside)')}",
        },
    )


def say_compromise(said: Said, aims: Sequence[Aim]) -> None:
    """One turn of the tire for runout and imbalance, each against its limit."""
    best = best_compromise(aims)
    said.numbers["compromise"] = {
        "turn_deg": round(math.degrees(best.turn_rad), 1),
        "left_share_of_limit": {a.name: round(best.left[a.name] / a.size, 3) for a in aims},
        "own_turn_deg": {
            name: round(math.degrees(turn), 1) for name, turn in best.own_turn_rad.items()
        },
    }
    own = "; ".join(
        f"{a.name} alone wants {math.degrees(best.own_turn_rad[a.name]):+.0f} degrees" for a in aims
    )
    left = " and ".join(
        f"{best.left[a.name] / a.size:.0%} of the limit in {a.name} (its own best "
        f"{best.own_left[a.name] / a.size:.0%})"
        for a in aims
    )
    said.lines.append(
        f"Runout and imbalance together: turn the tire {way(best.turn_rad)}; {own}. It leaves "
        f"{left}."
    )
