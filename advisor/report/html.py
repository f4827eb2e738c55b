"""The bench sheet: one self-contained page to print, work from, and sign."""

from __future__ import annotations

import functools
import re
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup, escape

from advisor.model.diagnosis import Diagnosis, Diagram, OrderBand, Picture
from advisor.report import orders as orders_report
from advisor.report import spans, view, words
from advisor.report.clean import clean
from advisor.report.figures import draw, interference_diagram
from advisor.report.terminal_steps import time

CAUSES, STEPS, REMEDIES, QUESTIONS = 5, 5, 3, 5
_TEMPLATES = Path(__file__).parent / "templates"
_NAMESPACES = re.compile(r' xmlns(?::xlink)?="[^"]*"')


def render_html(d: Diagnosis) -> str:
    """The bench sheet as one HTML page: no outside resource, no script, Letter or A4.

    Five causes, five inspections and every safety inspection are shown in full, the rest by name.
    Raises UnfitPicture when a reading carries a picture that cannot be drawn.
    """
    citations = view.Citations(d.sources)
    steps = view.first_steps(d, STEPS)
    return _environment().get_template("sheet.html.j2").render(
        d=d,
        steps=steps,
        later=view.later_steps(d, STEPS),
        general=[(note, note.text, "") for note in view.general_cautions(d, steps)],
        pieces=spans.pieces(d.write_up, d.spans),
        legend=spans.legend(d.write_up, d.spans),
        diagram=_diagram(d.diagram),
        mode_rows=_mode_rows(d.diagram),
        drawn=_drawings(),
        citations=citations,
        cite=_cite(citations),
        told=view.Told(d),
        most_causes=CAUSES,
        most_remedies=REMEDIES,
        most_questions=QUESTIONS,
    )  # fmt: skip


def orders_html(orders: Sequence[OrderBand], diagram: Diagram) -> str:
    """The report of `advisor orders` as one HTML page with the interference diagram."""
    return _environment().get_template("orders.html.j2").render(
        orders=orders,
        tire=diagram.tire,
        basis=orders_report.basis(diagram),
        diagram=_diagram(diagram),
        mode_rows=_mode_rows(diagram),
    )  # fmt: skip


@functools.cache
def _environment() -> Environment:
    environment = Environment(
        loader=FileSystemLoader(_TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        finalize=_harmless,
    )
    environment.globals.update(words=words, view=view, orders_report=orders_report, step_time=time)
    environment.filters["css_text"] = _css_text
    return environment


def _harmless(value: Any) -> Any:
    """Every text a template prints loses its control characters; ready markup passes."""
    return clean(value) if isinstance(value, str) and not isinstance(value, Markup) else value


def _css_text(text: str) -> Markup:
    """Only characters that cannot end a quoted text in a style sheet."""
    return Markup(re.sub(r"[^\w .,:/-]", " ", clean(text), flags=re.ASCII))


def _cite(citations: view.Citations) -> Callable[[str], Markup]:
    """A function that numbers a source where it is cited and links to the foot."""

    def cite(source: str) -> Markup:
        if not source:
            return Markup("")
        n = citations.number(source)
        return Markup('<sup class="cite"><a href="#source-{0}">[{0}]</a></sup>').format(escape(n))

    return cite


def _drawings() -> Callable[[Picture], Markup]:
    """A function that draws pictures, each with ids of its own on the page."""
    count = 0

    def drawn(picture: Picture) -> Markup:
        nonlocal count
        count += 1
        return _inline(draw(picture, prefix=f"picture{count}"))

    return drawn


def _diagram(diagram: Diagram | None) -> Markup | None:
    return _inline(interference_diagram(diagram)) if diagram else None


def _mode_rows(diagram: Diagram | None) -> list[tuple[str, str, str, str, str, str]]:
    if diagram is None:
        return []
    lines = orders_report.mode_lines(diagram)
    return [(*line, mode.source) for line, mode in zip(lines, diagram.modes, strict=True)]


def _inline(svg: str) -> Markup:
    """A drawing inside a page needs no namespaces."""
    return Markup(_NAMESPACES.sub("", svg))
