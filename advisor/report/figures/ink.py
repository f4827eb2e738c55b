"""What all drawings share: one look, and SVG text that is the same byte for byte every time."""

from __future__ import annotations

import io
import re
import threading
import warnings
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from html import escape
from typing import TYPE_CHECKING, Any, cast

from advisor.report.clean import one_line

if TYPE_CHECKING:
    from matplotlib.figure import Figure
    from matplotlib.projections.polar import PolarAxes

INK, GRAY, PALE = "#111111", "#555555", "#d9d9d9"
BOLD, MEDIUM, FINE = 2.2, 1.4, 0.7
STYLES = ("-", (0, (7, 2)), (0, (2, 1.5)), (0, (8, 2, 1.5, 2)), (0, (1, 1)), (0, (4, 1, 1, 1)))
LEADER: dict[str, Any] = {"arrowstyle": "-", "lw": 0.5, "color": GRAY, "shrinkA": 0, "shrinkB": 0}

_SETTINGS: dict[Any, Any] = {
    "svg.hashsalt": "vibration-advisor",
    "svg.fonttype": "none",
    "font.family": "sans-serif",
    "font.sans-serif": ["DejaVu Sans", "Verdana", "Arial"],
    "font.size": 10.0,
    "text.parse_math": False,
    "axes.edgecolor": INK,
    "axes.labelcolor": INK,
    "axes.linewidth": 0.9,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "xtick.color": INK,
    "ytick.color": INK,
    "hatch.linewidth": 0.4,
    "lines.linewidth": MEDIUM,
    "lines.color": INK,
}

# settings of the drawing library belong to the process, so one drawing at a time
_ONE_AT_A_TIME = threading.Lock()


@contextmanager
def _our_settings() -> Iterator[None]:
    import matplotlib

    with _ONE_AT_A_TIME, matplotlib.rc_context(), warnings.catch_warnings():
        # a letter the measuring font lacks is still drawn by the reader's own font
        warnings.filterwarnings("ignore", message="Glyph .* missing")
        matplotlib.rcdefaults()
        matplotlib.rcParams.update(_SETTINGS)
        yield


def svg(
    paint: Callable[[Figure], None],
    size: tuple[float, float],
    title: str,
    says: str,
    prefix: str = "figure",
) -> str:
    """Run `paint` on an empty figure and return the SVG text.

    size: width and height in inches; title, says: what a reader who cannot see it hears;
    prefix: starts every id, so that several drawings can stand on one page.
    """
    with _our_settings():
        from matplotlib.backends.backend_svg import FigureCanvasSVG
        from matplotlib.figure import Figure

        figure = Figure(figsize=size)
        FigureCanvasSVG(figure)
        paint(figure)
        buffer = io.StringIO()
        nothing = dict.fromkeys(("Date", "Creator", "Format", "Type"))
        figure.savefig(buffer, format="svg", metadata=nothing, transparent=True)
    return _for_a_page(buffer.getvalue(), title, says, re.sub(r"[^A-Za-z0-9]", "", prefix))


def _for_a_page(text: str, title: str, says: str, prefix: str) -> str:
    """Only the drawing: own ids, a title and a description, sized by its surroundings."""
    text = text[text.index("<svg") :]
    text = re.sub(r'(\bid="|href="#|url\(#)', rf"\g<1>{prefix}-", text)
    text = re.sub(r' (?:width|height)="[\d.]+pt"', "", text, count=2)
    text = re.sub(r' d="[^"]+"', _rounded, text)
    # as attributes: a style sheet inside a drawing would reach the whole page
    text = re.sub(r"<defs>\s*<style[^>]*>[^<]*</style>\s*</defs>\s*", "", text, count=1)
    head, rest = text.split(">", 1)
    named = 'stroke-linejoin="round" stroke-linecap="butt" '
    named += f'role="img" aria-labelledby="{prefix}-title {prefix}-says"'
    spoken = (
        f'<title id="{prefix}-title">{escape(one_line(title))}</title>'
        f'<desc id="{prefix}-says">{escape(one_line(says))}</desc>'
    )
    return f"{head} {named}>{spoken}{rest}"


def _rounded(path: re.Match[str]) -> str:
    """Path coordinates to a hundredth of a point, on one line: finer cannot be printed."""
    short = re.sub(r"-?\d+\.\d+", lambda m: f"{float(m[0]):.2f}".rstrip("0").rstrip("."), path[0])
    return " " + " ".join(short.split())


def apart(wanted: list[float], gap: float, low: float, high: float) -> list[float]:
    """Label positions near the wanted ones (ascending), at least `gap` apart, within low..high
    where there is room."""
    found: list[float] = []
    for value in wanted:
        found.append(max(value, found[-1] + gap if found else low))
    ceiling = high
    for n in range(len(found) - 1, -1, -1):
        found[n] = max(min(found[n], ceiling), low)
        ceiling = found[n] - gap
    return found


def clock(figure: Figure, where: tuple[float, float, float, float]) -> PolarAxes:
    """A clock face: 12 at the top, clockwise, as on the wheel. where: as for axes of a figure."""
    axes = cast("PolarAxes", figure.add_axes(where, projection="polar"))
    axes.set_theta_zero_location("N")
    axes.set_theta_direction(-1)
    hours = [f"{n or 12} o'clock" if n % 3 == 0 else str(n) for n in range(12)]
    axes.set_thetagrids(range(0, 360, 30), hours, fontsize=9)
    axes.tick_params(axis="x", pad=9)
    return axes


def label(text: object) -> str:
    """A text from outside as a label: one line, harmless."""
    return one_line(str(text))
