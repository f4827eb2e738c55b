"""What each part asks for as one figure, held against the limits of the trade."""

from __future__ import annotations

import math
from dataclasses import dataclass

from advisor.evidence.reading_result import Said, Shop
from advisor.evidence.reading_words import chance, limit
from advisor.model.choose import limit_for
from advisor.model.pack import Limit, Pack
from advisor.model.reading import Balance
from advisor.physics.seating import probability_over
from advisor.physics.units import KG_PER_OZ, kg_to_oz

CHECK_OF = {
    "assembly": "balance-check",
    "on_vehicle": "on-vehicle-balance",
    "hub_and_drum": "hub-and-drum-balance",
}
ADDED_LIMIT = "balance-added"


@dataclass(frozen=True)
class PartBalance:
    """Means of one part: plane -> kg to ADD; known: whether angles were read."""

    of: str
    planes: dict[str, complex]
    known: bool
    sd_kg: float

    @property
    def static(self) -> complex:
        """Both planes as one."""
        return sum(self.planes.values(), 0j)

    @property
    def worst_kg(self) -> float:
        """The largest of the static mass and that of each plane, which is what a limit is for."""
        each = [abs(v) for v in self.planes.values()]
        return max([abs(self.static), *each]) if self.known else max(each)


def parts_of(reading: Balance, shop: Shop) -> dict[str, PartBalance]:
    """Each part with its repeats averaged."""
    made = {}
    for of in dict.fromkeys(m.of for m in reading.masses):
        rows = [m for m in reading.masses if m.of == of]
        planes: dict[str, complex] = {}
        most = 1
        for plane in dict.fromkeys(m.plane for m in rows):
            same = [m.add_kg for m in rows if m.plane == plane]
            planes[plane] = sum(same, 0j) / len(same)
            most = max(most, len(same))
        sd = reading.reading_sd_kg or _repeatability_kg(of, shop)
        made[of] = PartBalance(of, planes, all(m.has_angle for m in rows), sd / math.sqrt(most))
    return made


def _repeatability_kg(of: str, shop: Shop) -> float:
    check = CHECK_OF.get(of, "balance-check")
    return shop.measure(check, "balance_oz").repeatability * KG_PER_OZ


def say_limits(said: Said, reading: Balance, part: PartBalance, check: str, shop: Shop) -> None:
    """The limit the rules hold it against, then the other figures the trade goes by."""
    pack, kind = shop.pack, shop.pack.inspections[check]
    ounces, sd = kg_to_oz(part.worst_kg), kg_to_oz(part.sd_kg)
    held = limit_for(shop.measure(check, "balance_oz").over, pack, shop.vehicle, reading.place)
    if held is None:
        said.lines.append(f"No limit is known for this place ({ounces:.1f} oz).")
    else:
        p = probability_over(ounces, sd, held.value)
        verdict = "over" if p > 0.95 else "within" if p < 0.05 else "too near to call"
        said.held_against(held)
        said.lines.append(f"Against {limit(held, pack)}: {verdict} ({chance(p)} that it is over).")
        said.numbers[part.of] |= {"limit_oz": held.value, "probability_over": round(p, 4)}
        words = f"{kind.name}: {ounces:.1f} oz against a limit of {held.value:g} oz"
        said.find(check, p, words, shop)
    for id_ in kind.limits:
        other = pack.limits[id_]
        fits = limit_for([id_], pack, shop.vehicle, reading.place) is not None
        if fits and other.unit.startswith("oz"):
            said.held_against(other)
            said.lines.append(_beside(reading, part, other, pack))


def _beside(reading: Balance, part: PartBalance, other: Limit, pack: Pack) -> str:
    """A figure the trade goes by beside the limit: what is left, each side, or the total added."""
    if other.id.startswith(ADDED_LIMIT):
        total = kg_to_oz(part.worst_kg + (reading.weight_on_kg or 0.0))
        base = "asked for and already on" if reading.weight_on_kg else "asked for"
        over = "over" if total > other.value else "within"
        return f"Weight {base} {total:.1f} oz against a cap of {limit(other, pack)}: {over}."
    ounces = kg_to_oz(part.worst_kg)
    if "each side" in other.what:
        # one plane stands for both sides, half in each
        two = len(part.planes) == 2
        ounces = kg_to_oz(max(map(abs, part.planes.values())) / (1 if two else 2))
    over = "over" if ounces > other.value else "within"
    what = other.what[0].lower() + other.what[1:]
    return f"Against {limit(other, pack)}, {what}: {over}."
