"""A step as plain text, 80 columns: first what it takes and its cautions, then how it is done."""

from __future__ import annotations

from collections.abc import Sequence

from advisor.bench.step import Remedy, Step
from advisor.model.diagnosis import CautionNote, Outlook, PlannedInspection
from advisor.model.pack import Pack
from advisor.model.place import DUALS
from advisor.model.place import SIDES as ENDS
from advisor.report import words
from advisor.report.lines import labeled, wrap

WIDTH = 80
LEADS = 3
SIDES = (*ENDS, *DUALS)


def step_lines(step: Step, pack: Pack) -> list[str]:
    """A step for a terminal of 24 lines: what it takes and what to mind, then how it is done.

    Cautions stand as the act in one line; `cautions` gives them in full.
    """
    at_work = step.inspection is not None and not step.confirm and step.safety.level != "stop"
    lines = ["", *([] if at_work else banner(step))]
    if step.kind == "question":
        return lines + _question(step)
    if step.inspection is not None:
        return lines + _inspection(step, step.inspection, pack)
    return lines + _end(step)


def banner(step: Step) -> list[str]:
    """The safety verdict, while there is one; a finding of the worst level in words."""
    lines: list[str] = []
    if step.safety.level != "none":
        first = step.safety.findings[0]
        text = f"{words.LEVEL_HEADING[step.safety.level]}. {first.says} {first.do_now}"
        lines += wrap(text, WIDTH, "! ")
    if step.skipped_safety:
        names = ", ".join(i.replace("-", " ") for i in step.skipped_safety)
        lines += wrap(f"Put off: {names}. Until done, nothing on the road.", WIDTH, "! ")
    return lines


def _question(step: Step) -> list[str]:
    assert step.question is not None
    lines = [f"STEP {step.number}  ASK THE DRIVER"]
    lines += wrap(step.question.ask, WIDTH, "  ")
    lines += ["", *leads(step)]
    return [*lines, "Answer: yes, no, skip, back, why, stop, help"]


def title(step: Step) -> str:
    """'3 Hub heat, every axle': what an answer at the prompt is about."""
    if step.inspection is None:
        return str(step.number)
    place = step.inspection.place
    where = "every axle" if place == "all" else words.place(place)
    return f"{step.number} {step.inspection.name}, {where}"


def _inspection(step: Step, planned: PlannedInspection, pack: Pack) -> list[str]:
    number, _, name = title(step).partition(" ")
    head = "SAFETY: " if step.kind == "safety" else ""
    lines = wrap(f"STEP {number} {head}{name}", WIDTH)
    if step.confirm:
        return lines + _before(step, planned)
    for n, how in enumerate(planned.how, 1):
        lines += wrap(how, WIDTH, f"  {n}. ")
    for note in planned.limit:
        lines += labeled("limit  ", f"{words.limit(note)} ({note.seen})", WIDTH, "  ")
    for tell in planned.tells:
        lines += wrap(_tell(tell, pack), WIDTH, "  ", "         ")
    ends = pack.inspections[planned.id].at == "wheel_end"
    number = "left 0.034 right 0.128" if ends else "0.034 in"
    reading = f", a reading ({number})" if planned.fields else ""
    for field in planned.fields:
        lines += labeled("reading", field, WIDTH, "  ")
    found = "found left" if planned.place and not planned.place.endswith(SIDES) else "found"
    answers = f"Answer: {found}, clear{reading}, skip, back, why, cautions, stop, help"
    return lines + wrap(answers, WIDTH)


def _before(step: Step, planned: PlannedInspection) -> list[str]:
    """What it takes and what to mind, before anything is lifted or taken off."""
    time = words.minutes(planned.minutes_with_access)
    if planned.opens:
        time += f" ({words.minutes(planned.minutes)} of it hands-on)"
    lines = labeled("time   ", time, WIDTH, "  ")
    lines += labeled("tool   ", planned.tool, WIDTH, "  ")
    lines += labeled("now    ", "; ".join(step.open_now) or "as parked", WIDTH, "  ")
    lines += labeled("open   ", "; ".join(planned.opens), WIDTH, "  ")
    lines += labeled("close  ", "; ".join(step.closes), WIDTH, "  ")
    if any(name.startswith("On the road") for name in planned.opens) and step.open_now:
        lines += labeled("first  ", "let it down on its wheels before it moves", WIDTH, "  ")
    lines += _cautions(step.cautions)
    lines += leads(step)
    says = 'Say "ready" when all of that is in place; or cautions (in full), skip, back, why, stop'
    return lines + wrap(says, WIDTH)


def _cautions(notes: Sequence[CautionNote]) -> list[str]:
    """The act of each caution; where there is none, the whole caution."""
    return [line for note in notes for line in wrap(note.short or note.text, WIDTH, "  ! ")]


def _tell(tell: Outlook, pack: Pack) -> str:
    first = tell.first[0] if tell.first else None
    led = ""
    if first is not None and first.place in pack.causes:
        led = f" Then first: {pack.causes[first.place].name} ({words.chance(first.probability)})."
    chance = f" ({words.chance(tell.probability)})" if tell.result == "found" else ""
    return f"{tell.result}{chance}: {words.sentence(tell.means)}{led}"


def leads(step: Step, most: int = LEADS) -> list[str]:
    """The first causes on a line or two."""
    told = []
    for lead in step.leads[:most]:
        at = f", {words.place(lead.place)}" if lead.place else ""
        told.append(f"{lead.name}{at} ({words.chance(lead.probability)})")
    return labeled("Likely now:", "; ".join(told), WIDTH)


def _end(step: Step) -> list[str]:
    if step.kind == "specialist":
        lines = wrap(f"NOT SETTLED. {step.stop.says}", WIDTH)
        lines += leads(step, 5)
        return [*lines, "Answer: stop, back, why; close if the cause is known now"]
    lines = [text for remedy in step.remedies for text in _remedy(remedy)]
    lines += labeled("now    ", "; ".join(step.open_now), WIDTH, "  ")
    lines += wrap(words.DEFER, WIDTH)
    return [*lines, "Answer: close, more (a second cause?), cautions (in full), back, why, stop"]


def _remedy(remedy: Remedy) -> list[str]:
    at = words.place(remedy.place) if remedy.place else words.WHOLE_VEHICLE
    by = words.listing(remedy.confirmed_by)
    lines = wrap(f"CONFIRMED: {remedy.name}, {at}, by: {by}", WIDTH)
    if remedy.danger != "none":
        urgent = "Do not drive it" if remedy.danger == "stop" else "It does not go back to work"
        lines += wrap(f"{urgent} until it is put right. {remedy.danger_because}", WIDTH, "! ")
    lines += _cautions(remedy.cautions)
    for n, done in enumerate(remedy.steps, 1):
        lines += wrap(done, WIDTH, f"  {n}. ")
    lines += labeled("needs  ", remedy.needs, WIDTH, "  ")
    lines += labeled("verify ", remedy.verify, WIDTH, "  ")
    lines += labeled("if it comes back:", remedy.if_it_comes_back, WIDTH, "  ")
    return lines


def told(says: Sequence[str]) -> list[str]:
    """What an answer did, as lines."""
    return [line for text in says for line in wrap(text, WIDTH, "> ", "  ")]
