"""One line of the day's list in words; every form of output says it the same way."""

from __future__ import annotations

from collections.abc import Iterable

from advisor.model.pack import Pack
from advisor.report import words
from advisor.triage.board import Board, Line
from advisor.triage.patterns import Pattern

LEVEL = {"stop": "STOP", "soon": "SOON", "none": "-"}
AGAIN = ("no_change", "came_back", "worse")
CONFIDENCE = {
    "clear": "the first cause leads clearly",
    "fair": "the first cause leads",
    "open": "open: ask before you book more than the checks",
}


def verdict(line: Line, pack: Pack) -> str:
    """The level and, for stop and soon, why and what to do now."""
    quick = line.glance.quick
    if quick.clash:
        return f"SOON: answers clash, ask again: {quick.clash}"
    held = [rule for rule in pack.safety if rule.id in quick.safety]
    told = [rule for rule in held if rule.level == quick.level]
    if not told:
        return "No warning sign reported; that does not clear it."
    return f"{LEVEL[quick.level]}: {' '.join(rule.says for rule in told)} {told[0].do_now}"


def causes(line: Line, pack: Pack) -> str:
    """'imbalance (about 6 in 10), out-of-round tire (about 2 in 10)'."""
    told = [f"{pack.causes[c].name} ({words.chance(p)})" for c, p in line.glance.quick.causes]
    return ", ".join(told)


def place(line: Line) -> str:
    """Where the first cause is likeliest."""
    return words.place(line.glance.quick.place) if line.glance.quick.place else "whole vehicle"


def question(line: Line, pack: Pack) -> str:
    """The first question to the driver."""
    id_ = line.glance.question
    return pack.symptoms[id_].ask if id_ else ""


def inspection(line: Line, pack: Pack) -> str:
    """The first inspection after the safety checks, and where."""
    look = line.glance
    if not look.inspection:
        return "nothing after the safety checks until the driver has been asked"
    return f"{pack.inspections[look.inspection].name}, {words.place(look.inspection_place)}"


def checks(line: Line, pack: Pack) -> str:
    """The safety checks that come first."""
    return words.listing([pack.inspections[c].name for c in line.glance.checks])


def equipment(line: Line, pack: Pack) -> str:
    """What to book beside the bay: tools of the state of access and of the inspection."""
    look = line.glance
    if not look.inspection:
        return pack.access["as_parked"].equipment if "as_parked" in pack.access else ""
    tool = pack.inspections[look.inspection].tool
    return f"{pack.access[look.access].equipment}; {tool}"


def dollars(three: tuple[float, float, float]) -> str:
    """'30 to 1,350 (typical 250) USD', rounded to two figures."""
    low, typical, high = (f"{_two(v):,.0f}" for v in three)
    return f"{low} to {high} (typical {typical}) USD"


def _two(value: float) -> float:
    return float(f"{value:.2g}")


def worth(line: Line, pack: Pack) -> str:
    """What waiting may cost against what looking costs."""
    if pack.worth is None:
        return ""
    look = line.glance
    return (
        f"waiting {pack.worth.waiting_days:.0f} days may cost {dollars(look.waiting)}; "
        f"this look costs {dollars(look.looking)} and may save {dollars(look.avoided)}"
    )


def repeats(line: Line, pack: Pack) -> str:
    """What came back over time; empty for a first complaint."""
    unit = line.unit
    parts = []
    if len(unit.rows) > 1:
        dates = [row.date for row in unit.rows if row.date]
        since = f" since {dates[0]}" if dates else ""
        parts.append(f"{len(unit.rows)} complaints{since}")
        if line.same_again > 1:
            parts.append(f"same cause first in {line.same_again} of them")
    after = dict(unit.again_after)
    for what, result in unit.told.work:
        if result in AGAIN:
            when = f" ({after[what]})" if after.get(what) else ""
            word = "came back after" if result == "came_back" else "no better after"
            parts.append(f"{word}: {pack.work[what].name}{when}")
    if unit.earlier:
        parts.append(f"{len(unit.earlier)} older complaints left out")
    return "; ".join(parts)


def cautions(lines: Iterable[Line], pack: Pack) -> list[str]:
    """The cautions of everything these lines book, each once and in one line."""
    ids: dict[str, None] = {}
    rules = {rule.id: rule for rule in pack.safety}
    for line in lines:
        look = line.glance
        named = [c for rule in look.quick.safety for c in rules[rule].cautions]
        for inspection in filter(None, (*look.checks, look.inspection)):
            named += pack.inspections[inspection].cautions
            named += _access_cautions(pack.inspections[inspection].access, pack)
        ids.update(dict.fromkeys(named))
    return [pack.cautions[id_].short for id_ in ids]


def _access_cautions(access: str | None, pack: Pack) -> list[str]:
    """Cautions of a state of access and of all that is opened on the way to it."""
    found: list[str] = []
    while access is not None:
        found += pack.access[access].cautions
        access = pack.access[access].after
    return found


def pattern(found: Pattern) -> str:
    """A pattern with how unlikely it is by chance."""
    odds = 1 / found.chance if found.chance > 0 else float("inf")
    by_chance = f"1 in {_two(odds):,.0f}" if odds < 1e9 else "less than 1 in a billion"
    return (
        f"{found.what}: {found.count} of {found.out_of} units ({', '.join(found.units[:12])}"
        f"{', ...' if len(found.units) > 12 else ''}), where {found.expected:.0%} are expected "
        f"({found.because}). So many or more by chance: {by_chance} ({found.test}; "
        f"{found.compared} such comparisons were made)."
    )


def counts(board: Board) -> str:
    """Every row accounted for."""
    rows = words.counted(board.rows, "row")
    told = words.counted(board.complaints, "vibration complaint")
    units = words.counted(len(board.lines), "unit")
    return (
        f"{rows}: {told} of {units}, {len(board.apart)} not about vibration, "
        f"{len(board.rejects)} set aside."
    )
