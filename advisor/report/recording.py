"""The sheet of a recording as text, Markdown, HTML or JSON."""

from __future__ import annotations

from advisor.model.recording_sheet import Part, RecordingSheet
from advisor.report import words
from advisor.report.page import Page, Section, Table, render_page


def render_recording(sheet: RecordingSheet, kind: str) -> str:
    """A sheet in one of the four formats; cautions stand at the foot."""
    cautions = Section("Cautions", items=sheet.cautions)
    stamp = f"Rules {sheet.pack.version}, content {sheet.pack.sha256[:12]}"
    page = Page(
        title=sheet.title,
        lead=sheet.lead,
        sections=(*map(_section, sheet.parts), cautions),
        data=sheet.data,
        foot=(words.DEFER, stamp),
    )
    return render_page(page, kind)


def _section(part: Part) -> Section:
    table = Table(part.grid.headings, part.grid.rows) if part.grid else None
    return Section(part.heading, part.text, part.items, table, part.pictures)
