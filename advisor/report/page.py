"""A plain page of headings, lists, tables and pictures, shown as text, Markdown, HTML or JSON.

The bench sheet has its own template; everything else that is shown is one of these.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from advisor.model.diagnosis import Picture
from advisor.report.clean import clean
from advisor.report.lines import columns, heading, wrap

WIDTH = 80


@dataclass(frozen=True)
class Table:
    """Headings and rows of short texts."""

    headings: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Section:
    """A heading with paragraphs, a list, a table and pictures, each of which may be missing."""

    heading: str
    text: tuple[str, ...] = ()
    items: tuple[str, ...] = ()
    table: Table | None = None
    pictures: tuple[Picture, ...] = ()


@dataclass(frozen=True)
class Page:
    """What a command shows; data: the same for other programs, as plain JSON values."""

    title: str
    lead: tuple[str, ...]
    sections: tuple[Section, ...]
    data: Mapping[str, Any]
    foot: tuple[str, ...] = ()


def render_page(page: Page, kind: str) -> str:
    """A page as text, markdown, html or json."""
    if kind == "json":
        return json.dumps(page.data, indent=2, ensure_ascii=True) + "\n"
    if kind == "html":
        return _html(page)
    return _markdown(page) if kind == "markdown" else _text(page)


def _text(page: Page) -> str:
    lines = wrap(page.title, WIDTH)
    for text in page.lead:
        lines += wrap(text, WIDTH)
    for section in page.sections:
        lines += heading(section.heading, WIDTH)
        for text in section.text:
            lines += wrap(text, WIDTH, "  ")
        for item in section.items:
            lines += wrap(item, WIDTH, "  - ", "    ")
        if section.table and section.table.rows:
            lines += _text_table(section.table)
        if section.pictures:
            names = ", ".join(p.title for p in section.pictures)
            lines += wrap(f"(pictures with --format html: {names})", WIDTH, "  ")
    for text in page.foot:
        lines += ["", *wrap(text, WIDTH)]
    return "\n".join(lines) + "\n"


def _text_table(table: Table) -> list[str]:
    """Aligned columns where they fit, else one block of labeled lines a row."""
    rows = columns([table.headings, *table.rows], indent="  ")
    if max(map(len, rows)) <= WIDTH:
        return rows
    lines: list[str] = []
    for row in table.rows:
        lines += wrap(row[0], WIDTH, "  ")
        for name, cell in zip(table.headings[1:], row[1:], strict=True):
            if cell:
                lines += wrap(f"{name}: {cell}", WIDTH, "      ")
    return lines


def _markdown(page: Page) -> str:
    lines = [f"# {_plain(page.title)}", ""]
    lines += [f"{_plain(text)}\n" for text in page.lead]
    for section in page.sections:
        lines += [f"## {_plain(section.heading)}", ""]
        lines += [f"{_plain(text)}\n" for text in section.text]
        lines += [f"- {_plain(item)}" for item in section.items]
        if section.table and section.table.rows:
            lines += _markdown_table(section.table)
        lines.append("")
    lines += [f"{_plain(text)}\n" for text in page.foot]
    return "\n".join(lines).rstrip() + "\n"


def _markdown_table(table: Table) -> list[str]:
    def line(cells: Sequence[str]) -> str:
        return "| " + " | ".join(_plain(c).replace("|", "\\|") for c in cells) + " |"

    return [
        "",
        line(table.headings),
        line(["---"] * len(table.headings)),
        *map(line, table.rows),
    ]


def _plain(text: str) -> str:
    """One line, with characters that would be markup made harmless."""
    flat = " ".join(clean(text).split())
    for mark in ("\\", "<", "*", "`", "["):
        flat = flat.replace(mark, "\\" + mark if mark != "<" else "&lt;")
    return flat


def _html(page: Page) -> str:
    from advisor.report.html import _drawings, _environment

    template = _environment().get_template("sections.html.j2")
    return template.render(page=page, drawn=_drawings())
