"""The diagnosis as plain text: one screen in the ordinary case, everything with `full`."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from advisor.model.diagnosis import Diagnosis, RankedCause, SafetyFinding, Statement
from advisor.report import view, words
from advisor.report.lines import NARROWEST, heading, labeled, wrap
from advisor.report.terminal_steps import frequencies, step_cautions, steps


@dataclass(frozen=True)
class Cut:
    """How many of each are shown; None shows all."""

    causes: int | None
    statements: int | None
    questions: int | None
    unknown: int | None
    inspections: int | None


BRIEF = Cut(causes=5, statements=3, questions=3, unknown=3, inspections=2)
FULL = Cut(causes=None, statements=None, questions=None, unknown=None, inspections=None)


def render_text(d: Diagnosis, width: int = 80, full: bool = False) -> str:
    """The diagnosis for a terminal, safety verdict first.

    width: columns, at least 40; full: all causes, steps, statements and sources instead of one
    screen. No color; control characters in any text are written out. Ends with a line end.
    """
    cut, width = (FULL if full else BRIEF), max(width, NARROWEST)
    citations = view.Citations(d.sources)
    parts = [
        safety(d, width, citations if full else None),
        title(d, width, full),
        causes(d, width, cut),
        talk(d, width, cut),
        steps(d, width, cut.inspections, citations if full else None),
        step_cautions(d, width, cut.inspections),
        frequencies(d, width, full),
        notes(d, width, full),
        foot(d, width, citations if full else None),
    ]
    return "\n".join(line for part in parts for line in part) + "\n"


def safety(d: Diagnosis, width: int, citations: view.Citations | None) -> list[str]:
    """The verdict, every finding, and what they ask for together.

    Without citations (in brief) reasons are left out and cautions are cut to the first sentence.
    """
    level = d.safety.level
    found = wrap(words.LEVEL_HEADING[level], width, "SAFETY  ")
    found += wrap(d.safety.verdict, width, "  ")
    if level == "none":
        found += wrap(words.NOT_CLEARED, width, "  ")
    for finding in d.safety.findings:
        found += _finding(d, finding, width, citations)
    for now in view.do_now(d):
        found += wrap(now, width, "  Now: ", "    ")
    if citations or level != "none":
        found += labeled("Check:", "; ".join(view.safety_checks(d)), width, "  ")
    notes_ = view.safety_cautions(d)
    if citations:
        for note in notes_:
            found += wrap(note.text, width, "  Caution: ", "    ")
    elif notes_:
        found += wrap(" ".join(map(view.short, notes_)), width, "  Caution: ", "    ")
    return found


def _finding(
    d: Diagnosis, finding: SafetyFinding, width: int, citations: view.Citations | None
) -> list[str]:
    seen = "; ".join(view.triggers(d, finding))
    if not citations:
        return wrap(f"{finding.says} ({seen})", width, "  ! ")
    number = citations.number(finding.source)
    found = wrap(f"{finding.says} {finding.because} [{number}]", width, "  ! ")
    found += labeled("Seen in:", seen, width, "    ")
    return found + labeled("US rule:", finding.us_rule, width, "    ")


def title(d: Diagnosis, width: int, full: bool) -> list[str]:
    """Which case this is, and with `full` what the driver wrote and what was understood."""
    found = ["", *wrap(view.head(d), width), *wrap(d.title, width)]
    found += wrap(view.vehicle(d) + (f". {words.DEMO}" if d.demo else ""), width)
    if full:
        found += labeled("Written:", d.write_up, width)
        found += labeled("Taken as:", "; ".join(d.answers), width)
    return found


def causes(d: Diagnosis, width: int, cut: Cut) -> list[str]:
    """The ranked causes with what speaks for and against each."""
    found = heading(f"PROBABLE CAUSES ({words.PRESENT})", width)
    for n, cause in enumerate(d.causes[: cut.causes], 1):
        found += _cause(n, cause, width, cut)
    firmness = view.firmness(d, most=99 if cut is FULL else 1)
    sure = d.confidence.says if d.confidence else ""
    found += wrap(f"{sure} {firmness} {d.stop.says}", width, " ")
    for change in d.changes:
        found += wrap(f"{change.what}: {change.says}", width, " changed by ")
    return found


def _cause(n: int, cause: RankedCause, width: int, cut: Cut) -> list[str]:
    at = words.places(cause.places, chances=cut is FULL)
    found = wrap(f"{cause.name}: {words.chance(cause.probability)}, {at}", width, f"{n:2}. ")
    found += labeled("for    ", _said(cause.for_, cut, width - 12), width, "    ")
    found += labeled("against", _said(cause.against, cut, width - 12), width, "    ")
    found += wrap(words.DANGER_IN_WORDS[cause.danger], width, "    ! ")
    if cut is FULL:
        found += labeled("confirm", cause.confirm, width, "    ")
        found += labeled("cure   ", " ".join(map(words.sentence, cause.remedy)), width, "    ")
        found += labeled("verify ", cause.verify, width, "    ")
    return found


def _said(statements: Sequence[Statement], cut: Cut, room: int) -> str:
    """The strongest statements; cut short, those that fit on one line, and at least one."""
    shown: list[str] = []
    for statement in statements[: cut.statements]:
        says = statement.says.rstrip(".")
        if shown and cut.statements and len("; ".join([*shown, says])) > room:
            break
        shown.append(says)
    return "; ".join(shown)


def talk(d: Diagnosis, width: int, cut: Cut) -> list[str]:
    """What nobody has said yet, and the questions that would settle most."""
    found = heading("ASK THE DRIVER", width) if d.questions or d.unknown else []
    for question in d.questions[: cut.questions]:
        found += wrap(question.ask, width, " - ")
        if cut is FULL and (question.if_yes or question.if_no):
            yes, no = view.effect(d, question.if_yes), view.effect(d, question.if_no)
            found += wrap(f"yes: {yes}; no: {no}", width, "   ")
    unknown = view.unknown(d, [q.symptom for q in d.questions[: cut.questions]])
    shown = unknown[: cut.unknown]
    more = len(unknown) - len(shown)
    shown += [f"and {more} more"] if more else []
    return found + (wrap("; ".join(shown), width, " Not known: ", "   ") if shown else [])


def notes(d: Diagnosis, width: int, full: bool) -> list[str]:
    """Readings, conflicts and the limits of this result."""
    found = []
    for reading in d.readings:
        shown = reading.lines if full else reading.lines[:1]
        found += wrap(
            f"{reading.title}: {' '.join((*shown, *reading.problems))}", width, " Reading "
        )
    for c in d.conflicts:
        text = f'{words.plain(c.symptom)}: answered "{c.answer}", the write-up reads "{c.read}"'
        found += wrap(f"{text}; the answer was used", width, " Conflict ", "   ")
    for note in d.limitations:
        found += wrap(f"{note.says} {note.do}", width, " Limit ", "   ")
    return ["", *found]


def foot(d: Diagnosis, width: int, citations: view.Citations | None) -> list[str]:
    """Deference, cited sources (only where numbers were printed), pack stamp."""
    found = wrap(words.DEFER, width)
    for n, text, seen in citations.cited() if citations else []:
        found += wrap(f"{text} ({seen})", width, f" [{n}] ")
    return found + wrap(view.stamp(d, short=citations is None), width)
