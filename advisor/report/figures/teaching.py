"""The same vehicle with one fault and with another, side by side over road speed."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from advisor.report import words
from advisor.report.figures import ink
from advisor.report.figures.data import UnfitPicture, entries, numbers

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

KIND = "side_by_side"
Line = tuple[str, list[float]]


def side_by_side(
    data: Mapping[str, Any],
    title: str = "Same vehicle, two faults",
    prefix: str = "sidebyside",
) -> str:
    """SVG text: one panel a fault, the other faults thin in gray behind it, one scale for all.

    data: mph: N numbers; panels: two or more of {name, level: N numbers}; unit: of the levels;
    source: what stands below. Raises UnfitPicture when a key is missing or sizes differ.
    """
    mph = numbers(KIND, data, "mph")
    lines = [(ink.label(p.get("name", "")), numbers(KIND, p, "level"))
             for p in entries(KIND, data, "panels")]  # fmt: skip
    if len(lines) < 2 or any(len(level) != len(mph) for _, level in lines):
        raise UnfitPicture(f"picture {KIND}: two panels or more, each with a level for each mph")
    top = 1.25 * max(max(level) for _, level in lines)
    unit, source = ink.label(data.get("unit", "")), ink.label(data.get("source", ""))

    def paint(figure: Figure) -> None:
        for n in range(len(lines)):
            wide = 0.84 / len(lines)
            axes = figure.add_axes((0.1 + n * wide, 0.22, wide - 0.03, 0.7))
            axes.set(xlim=(min(mph), max(mph)), ylim=(0, top), xlabel="road speed, mph")
            if n:
                axes.set_yticklabels([])
            else:
                axes.set_ylabel(f"shake of the frame, {unit}")
            _panel(axes, mph, lines, n)
        figure.text(0.1, 0.02, source, fontsize=8, color=ink.GRAY)

    return ink.svg(paint, (7.2, 3.8), title, _says(mph, lines, unit), prefix)


def _panel(axes: Axes, mph: list[float], lines: list[Line], own: int) -> None:
    """The panel's own line bold with its name on it; the others as thin memory."""
    for n, (name, level) in enumerate(lines):
        bold = n == own
        axes.plot(
            mph, level, color=ink.INK if bold else ink.GRAY, ls=ink.STYLES[n % len(ink.STYLES)],
            lw=ink.BOLD if bold else ink.FINE,
        )  # fmt: skip
        if bold:
            peak = level.index(max(level))
            middle = (min(mph) + max(mph)) / 2
            side = "right" if mph[peak] > middle else "left"
            axes.annotate(
                f"{name}\nmost at {words.figure(mph[peak])} mph", (mph[peak], level[peak]), (0, 6),
                textcoords="offset points", ha=side, va="bottom", fontsize=9, fontweight="bold",
            )  # fmt: skip


def _says(mph: list[float], lines: list[Line], unit: str) -> str:
    """The picture in words: peak and both ends of each line."""
    told = []
    for name, level in lines:
        peak = max(level)
        told.append(
            f"{name}: {words.figure(level[0])} at {words.figure(mph[0])} mph, most "
            f"{words.figure(peak)} at {words.figure(mph[level.index(peak)])} mph, "
            f"{words.figure(level[-1])} at {words.figure(mph[-1])} mph"
        )
    return f"Shake of the frame in {unit}. {'; '.join(told)}."
