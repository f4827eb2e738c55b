"""Patterns over the fleet that chance alone would seldom make.

A count k out of n units is held against a share that the rules expect (binomial probability of k
or more), or against the units without a vibration complaint (hypergeometric, that is Fisher's exact
test on one side). Many things are compared, so a pattern is shown only when that probability times
the number of comparisons is small; all of it is printed.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from advisor.model.pack import Pack
from advisor.model.place import parse_place
from advisor.triage.rows import RowRead
from advisor.triage.units import Unit, unit_key

LEAST_UNITS = 3
SELDOM = 0.05  # of all comparisons together (judgement)
FEW_CONTROLS = 5
BINOMIAL, EXACT = "binomial", "hypergeometric"


@dataclass(frozen=True)
class Pattern:
    """kind: wear, shop, batch, tire or work; what: in words; count of out_of units, expected share
    and where that share comes from; chance: of so many or more, by which test; compared: how many
    comparisons were made; units: which."""

    kind: str
    what: str
    count: int
    out_of: int
    expected: float
    because: str
    chance: float
    test: str
    compared: int
    units: tuple[str, ...]


def chance_of(count: int, out_of: int, share: float) -> float:
    """Binomial probability of `count` or more of `out_of` at a share from 0 to 1."""
    from scipy.stats import binom

    return float(binom.sf(count - 1, out_of, share))


def chance_among(count: int, out_of: int, others: int, out_of_others: int) -> float:
    """Hypergeometric probability that `count` or more of all that share a value fall among
    `out_of` units, when `others` of `out_of_others` further units share it too."""
    from scipy.stats import hypergeom

    return float(hypergeom.sf(count - 1, out_of + out_of_others, count + others, out_of))


def patterns(units: Sequence[Unit], rows: Sequence[RowRead], pack: Pack) -> list[Pattern]:
    """Patterns, most unlikely first."""
    controls = _controls(rows, units)
    found = [*_wear(units, pack), *_work(units, pack)]
    found += _shared(units, controls, "shop", "last at shop", lambda r: r.shop)
    found += _shared(units, controls, "batch", "tire batch", lambda r: r.batch)
    found += _shared(units, controls, "tire", "tire size", lambda r: r.told.vehicle.tire or "")
    kept = [replace(p, compared=len(found)) for p in found]
    kept = [p for p in kept if p.count >= LEAST_UNITS and p.chance * p.compared <= SELDOM]
    return sorted(kept, key=lambda p: (p.chance, p.kind, p.what))


def _controls(rows: Sequence[RowRead], units: Sequence[Unit]) -> list[RowRead]:
    """One row of each unit without a vibration complaint: what the fleet is like otherwise."""
    with_complaint = {unit_key(row) for unit in units for row in unit.rows}
    first: dict[str, RowRead] = {}
    for row in rows:
        key = unit_key(row)
        if key not in with_complaint:
            first.setdefault(key, row)
    return list(first.values())


def _wear(units: Sequence[Unit], pack: Pack) -> Iterator[Pattern]:
    """The same wear at the same axle, against how often it is reported with no cause at all."""
    who: dict[tuple[str, str], list[str]] = {}
    for unit in units:
        worn = {
            (symptom, parse_place(place).group)  # type: ignore[union-attr]
            for symptom, state, place in unit.told.answers
            if symptom.startswith("wear.") and state == "yes" and place
        }
        for key in worn:
            who.setdefault(key, []).append(unit.name)
    for (symptom, group), names in who.items():
        entry = pack.symptoms[symptom]
        share = float(pack.info.scale[entry.background])
        because = f'reported with no cause "{entry.background.replace("_", " ")}" in the rules'
        yield from _pattern(
            "wear", f"{entry.name}, {group} axle", names, len(units), share, because
        )


def _work(units: Sequence[Unit], pack: Pack) -> Iterator[Pattern]:
    """Complaints that began after work, against how often that is said with no cause."""
    who: dict[str, list[str]] = {}
    for unit in units:
        for symptom, state, _ in unit.told.answers:
            if symptom.startswith("onset.after_") and state == "yes":
                who.setdefault(symptom, []).append(unit.name)
    for symptom, names in who.items():
        entry = pack.symptoms[symptom]
        share = float(pack.info.scale[entry.background])
        because = f'said with no cause "{entry.background.replace("_", " ")}" in the rules'
        yield from _pattern("work", entry.name, names, len(units), share, because)


def _shared(
    units: Sequence[Unit],
    controls: Sequence[RowRead],
    kind: str,
    words: str,
    value: Callable[[RowRead], str],
) -> Iterator[Pattern]:
    """The same value on many units that vibrate, against its share on those that do not."""
    who: dict[str, list[str]] = {}
    for unit in units:
        for said in {value(row) for row in unit.rows if value(row)}:
            who.setdefault(said, []).append(unit.name)
    named = sum(1 for unit in units if any(value(row) for row in unit.rows))
    others = Counter(value(row) for row in controls if value(row))
    total = sum(others.values())
    values = len(set(who) | set(others))
    for said, names in who.items():
        units_named = tuple(sorted(set(names)))
        if total >= FEW_CONTROLS:
            share = others[said] / total
            because = f"its share among {total} units without a vibration complaint"
            chance, test = chance_among(len(units_named), named, others[said], total), EXACT
        elif values > 1:
            share, because = 1 / values, f"one of {values} as likely as the others"
            chance, test = chance_of(len(units_named), named, share), BINOMIAL
        else:
            continue
        what = f"{words} {said}"
        yield Pattern(
            kind, what, len(units_named), named, share, because, chance, test, 1, units_named
        )


def _pattern(
    kind: str, what: str, names: Iterable[str], out_of: int, share: float, because: str
) -> Iterator[Pattern]:
    found = tuple(sorted(set(names)))
    chance = chance_of(len(found), out_of, share)
    yield Pattern(kind, what, len(found), out_of, share, because, chance, BINOMIAL, 1, found)
