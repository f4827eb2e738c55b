"""The inspections, their cautions and the frequency table as plain text."""

from __future__ import annotations

from collections.abc import Sequence

from advisor.model.diagnosis import Diagnosis, OrderBand, PlannedInspection
from advisor.report import view, words
from advisor.report.clean import one_line
from advisor.report.lines import columns, heading, labeled, wrap

LATER = 3  # steps named in brief after those shown


def steps(
    d: Diagnosis, width: int, most: int | None, citations: view.Citations | None
) -> list[str]:
    """The next inspections in order; with citations also how each is done."""
    shown = _shown(d, most)
    found = heading("NEXT INSPECTIONS, IN THIS ORDER", width) if shown else []
    walk = [step for step in shown if step.safety] if citations is None else []
    found += _safety_walk(walk, width)
    for n, step in enumerate(shown, 1):
        if n > len(walk):
            found += _step(d, n, step, width, citations)
    later = d.inspections[len(shown) :]
    names = "; ".join(f"{s.name}, {words.place(s.place)} ({time(s)})" for s in later[:LATER])
    return found + (wrap(names, width, " Then: ", "   ") if later else [])


def _shown(d: Diagnosis, most: int | None) -> list[PlannedInspection]:
    """The safety inspections and the first `most` others."""
    walk = [step for step in d.inspections if step.safety]
    others = [step for step in d.inspections if not step.safety]
    return [*walk, *others[:most]]


def _safety_walk(walk: Sequence[PlannedInspection], width: int) -> list[str]:
    """The safety inspections in brief, together: they always come first."""
    if not walk:
        return []
    numbers = "1" if len(walk) == 1 else f"1-{len(walk)}"
    minutes = words.minutes(sum(step.minutes for step in walk))
    named = "; ".join(f"{step.name} ({words.place(step.place)})" for step in walk)
    return wrap(f"SAFETY FIRST, {minutes}: {named}", width, f" {numbers}. ", "    ")


def _step(
    d: Diagnosis, n: int, step: PlannedInspection, width: int, citations: view.Citations | None
) -> list[str]:
    safety = "SAFETY: " if step.safety else ""
    text = f"{safety}{step.name}, {words.place(step.place)}: {time(step)}; {step.tool}"
    found = wrap(text, width, f"{n:2}. ")
    if citations:
        for note in view.cautions(d, step.cautions):
            found += labeled("caution", note.text, width, "    ")
        for how in step.how:
            found += wrap(how, width, "    - ")
    found += _limits(step, width, citations)
    for tell in step.tells:
        if citations:
            text = view.outlook(d, tell)
        elif step.safety and tell.result == "clear":
            continue
        else:
            text = view.outlook_in_brief(d, tell, step)
        found += wrap(text, width, f"    {view.result(tell)}: ", "      ")
    return found


def _limits(step: PlannedInspection, width: int, citations: view.Citations | None) -> list[str]:
    """All limits with their source numbers; in brief the first that is measured."""
    if not citations:
        measured = [words.limit(note) for note in step.limit if note.value > 0]
        return wrap(measured[0], width, "    limit ", "      ") if measured else []
    found = []
    for note in step.limit:
        text = f"{words.limit(note)} ({words.seen(note.seen)}) [{citations.number(note.source)}]"
        found += labeled("limit", text, width, "    ")
    return found


def time(step: PlannedInspection) -> str:
    """Minutes for a step and what must be opened for it."""
    hands = words.minutes(step.minutes)
    if not step.opens:
        return hands
    return f"{hands}, {words.minutes(step.minutes_with_access)} with {words.listing(step.opens)}"


def step_cautions(d: Diagnosis, width: int, most: int | None) -> list[str]:
    """The cautions of the safety walk and of the step after it, each as the act it asks for.

    With everything shown (most is None) the cautions stand beside their steps, so none here.
    """
    if most is None:
        rest = view.general_cautions(d, d.inspections)
        return [line for note in rest for line in wrap(note.text, width, " Caution: ", "   ")]
    shown = _shown(d, most)
    walk = [step for step in shown if step.safety]
    said = {i for finding in d.safety.findings for i in finding.cautions}
    found: list[str] = []
    for at, steps_ in (("walk", walk), (f"step {len(walk) + 1}", shown[len(walk) :][:1])):
        ids = [i for step in steps_ for i in step.cautions if i not in said]
        said |= set(ids)
        told = " ".join(view.short(note) for note in view.cautions(d, ids))
        found += wrap(told, width, f" Caution, {at}: ", "   ") if told else []
    where = "(every caution in full, beside its step: on the bench sheet)"
    return [*found, *wrap(where, width, " ")] if found else []


def frequencies(d: Diagnosis, width: int, full: bool) -> list[str]:
    """The orders at the reported speeds, in Hz; two columns, or with `full` the whole table."""
    if not d.orders:
        return []
    if full:
        return heading("FREQUENCIES AT THE REPORTED SPEEDS", width) + table(d.orders, width)
    found = heading(f"FREQUENCIES AT {view.speeds(d)}", width)
    cells = [(o.name, words.hz(o.hz_low, o.hz_high)) for o in d.orders]
    half = (len(cells) + 1) // 2
    right = [*cells[half:], ("", "")]
    rows = columns([(*a, *b) for a, b in zip(cells[:half], right, strict=False)])
    if max(map(len, rows)) > width:
        rows = [line for name, hz in cells for line in wrap(f"{name}  {hz}", width, " ")]
    return found + rows


def table(orders: Sequence[OrderBand], width: int) -> list[str]:
    """One line an order: name, Hz, mph, and the note behind it or below."""
    rows = columns(
        [(o.name, words.hz(o.hz_low, o.hz_high), words.mph(o.mph_low, o.mph_high)) for o in orders]
    )
    found = []
    for order, line in zip(orders, rows, strict=True):
        tail = one_line(order.note)
        if tail and len(line) + len(tail) + 2 <= width:
            found.append(f"{line}  {tail}")
        else:
            found += [line] if len(line) <= width else wrap(line, width, " ")
            found += wrap(tail, width, "   ") if tail else []
    return found
