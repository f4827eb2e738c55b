"""The inspections, their cautions and the frequency table as plain text."""

from __future__ import annotations

from collections.abc import Sequence

from advisor.model.diagnosis import Diagnosis, OrderBand, PlannedInspection
from advisor.report import view, words
from advisor.report.clean import one_line
from advisor.report.lines import columns, heading, labeled, wrap


def steps(
    d: Diagnosis, width: int, most: int | None, citations: view.Citations | None
) -> list[str]:
    """The next inspections in order; with citations also how each is done."""
    shown = view.first_steps(d, most)
    found = heading("NEXT INSPECTIONS, IN THIS ORDER", width) if shown else []
    for n, step in enumerate(shown, 1):
        found += _step(d, n, step, width, citations)
    left = len(d.inspections) - len(shown)
    return found + ([f" and {left} more if these settle nothing"] if left else [])


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
    """The first sentence of each caution of the shown steps, with the numbers of its steps,
    but for those that stand beside a safety finding already.

    With everything shown (most is None) the cautions stand beside their steps, so none here.
    """
    if most is None:
        rest = view.general_cautions(d, d.inspections)
        return [line for note in rest for line in wrap(note.text, width, " Caution: ", "   ")]
    numbers: dict[str, list[str]] = {}
    for n, step in enumerate(view.first_steps(d, most), 1):
        for caution in dict.fromkeys(step.cautions):
            numbers.setdefault(caution, []).append(str(n))
    said = {i for finding in d.safety.findings for i in finding.cautions}
    groups: dict[str, list[str]] = {}
    for note in view.cautions(d, [i for i in numbers if i not in said]):
        at = f"step {words.listing(numbers[note.id])}"
        groups.setdefault(at, []).append(words.first_sentence(note.text))
    found = [
        x for at, told in groups.items() for x in wrap(f"{at}: {' '.join(told)}", width, " ! ")
    ]
    return found + ([" (cautions in full: on the bench sheet)"] if found else [])


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
