"""Class mode on paper: a worksheet without the answer, and the key."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence

from advisor.drill.debrief import answer_section, picture_section, weight_section
from advisor.drill.driver import MINUTES_PER_QUESTION, topics
from advisor.drill.paths import Walk, advised, axles, checklist_walked, follow
from advisor.drill.rate import as_told
from advisor.drill.results import DRAWN, checks_table
from advisor.drill.world import world_of
from advisor.model.case import Case
from advisor.model.pack import Pack
from advisor.report import words
from advisor.report.page import Page, Section, Table


def sheet_number(case: Case) -> str:
    """Ties worksheet and key together without giving the case's telling name away."""
    return hashlib.sha256(case.id.encode()).hexdigest()[:6]


def vehicle_words(case: Case, pack: Pack) -> str:
    """The vehicle on one line."""
    v = case.vehicle
    parts = [
        pack.vehicles[v.type].name,
        v.tire or "",
        f"axle ratio {v.axle_ratio:g}" if v.axle_ratio else "",
    ]
    parts += [f"{v.wheel.replace('_', ' ')} wheels" if v.wheel else ""]
    return ", ".join(p for p in parts if p)


def worksheet(case: Case, pack: Pack) -> Page:
    """What an apprentice gets: write-up, vehicle, questions and checks to choose from, lines."""
    told = (vehicle_words(case, pack), case.write_up or "No write-up came with it.")
    asks = tuple((key.ask, "") for key in topics(pack))
    rules = (
        "Write down, in order, what you would ask and check, and why. A question costs "
        f"{MINUTES_PER_QUESTION:g} minute; a check costs its minutes and what must be opened.",
        "The three safety checks come first, whatever you think it is. Leaving one out fails the "
        "sheet; so does a road test before all three have come out clear.",
        "Name a cause and a place, and how sure you are in percent.",
    )
    lines = tuple((str(n), "", "", "") for n in range(1, 11))
    sections = (
        Section("The complaint", text=told),
        Section("How it goes", items=rules),
        Section("Questions to the driver", table=Table(("question", "answer"), asks)),
        Section("Checks", table=_checks(case, pack)),
        Section("Your plan", table=Table(("no.", "check and place", "why", "result"), lines)),
        Section("Your answer", text=("Cause:", "Place:", "How sure (percent):", "Name and date:")),
    )
    number = sheet_number(case)
    return Page(f"Worksheet {number}", (), sections, {"sheet": number}, (words.DEFER,))


def _checks(case: Case, pack: Pack) -> Table:
    world = world_of(case, pack, 0)
    rows = []
    for kind in pack.inspections.values():
        if not axles(world, kind):
            continue
        each = {"wheel_end": " a wheel end", "axle": " an axle"}.get(kind.at, "")
        state = pack.access[kind.access].name.lower()
        rows.append((kind.name, f"{words.minutes(kind.minutes)}{each}", state))
    return Table(("check", "minutes", "state of access"), tuple(rows))


def answer_key(case: Case, pack: Pack, ids: Sequence[str], seed: int) -> Page:
    """What the trainer gets: the answer, every result, the planner's path, the weights."""
    world = world_of(case, pack, seed)
    plan = follow(Walk(world, as_told(case)), advised)
    fixed = checklist_walked(world, as_told(case), ids)
    compare = tuple(
        f"{name}: {words.minutes(w.minutes)}, {len(w.taken)} checks, "
        f"{w.pulled_for_nothing} wheels pulled for nothing"
        + ("" if w.confirmed else "; it confirms nothing")
        for name, w in (("planner", plan), ("fixed checklist", fixed))
    )
    table = checks_table(plan.taken, pack)
    right = [c.id for c in world.causes]
    sections = (
        answer_section(case, pack),
        Section("The planner's path", text=(DRAWN,), items=compare, table=table),
        weight_section(case, pack),
        picture_section(case, right, pack),
    )
    number = sheet_number(case)
    lead = (f"Case {case.id}: {case.title}", vehicle_words(case, pack))
    data = {"sheet": number, "case": case.id}
    return Page(f"Answer key {number}", lead, sections, data, (words.DEFER,))
