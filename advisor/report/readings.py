"""The sheet of readings as a page: what each says, what to look at again, cautions, sources."""

from __future__ import annotations

from advisor.model.diagnosis import ReadingNote
from advisor.model.reading_sheet import ReadingSheet
from advisor.report import words
from advisor.report.page import Page, Section, Table, render_page

TITLES = {"runout": "Runout readings", "balance": "Balance readings"}


def render_readings(sheet: ReadingSheet, kind: str) -> str:
    """A sheet of readings as text, markdown, html or json."""
    return render_page(readings_page(sheet), kind)


def readings_page(sheet: ReadingSheet) -> Page:
    """A sheet of readings as a page."""
    sections = [_section(note) for note in sheet.notes]
    sections += [_evidence(sheet)] if sheet.evidence else []
    if sheet.cautions:
        items = tuple(f"Caution: {note.text}" for note in sheet.cautions)
        sections.append(Section("Cautions", items=items))
    if sheet.sources:
        items = tuple(f"{source.text} ({words.seen(source.seen)})" for source in sheet.sources)
        sections.append(Section("Sources", items=items))
    stamp = f"Rules {sheet.pack.version}, content {sheet.pack.sha256[:12]}"
    return Page(
        title=TITLES.get(sheet.kind, "Readings"),
        lead=(
            f"Held against the limits for: {sheet.vehicle} (--vehicle, --duty and --wheel choose)",
        ),
        sections=tuple(sections),
        data=sheet.data(),
        foot=(words.DEFER, stamp),
    )


def _section(note: ReadingNote) -> Section:
    again = tuple(f"Look again: {problem}" for problem in note.problems)
    return Section(note.title, items=(*note.lines, *again), pictures=tuple(note.pictures))


def _evidence(sheet: ReadingSheet) -> Section:
    rows = tuple(
        (words.plain(check), words.place(place) if place else "not said", words.chance(p))
        for _, check, place, p in sheet.evidence
    )
    return Section(
        "As evidence in a case",
        text=("Put the reading under `readings:` of a case file and it moves the ranking.",),
        table=Table(("Check", "Place", "Chance that it found something"), rows),
    )
