"""The two-speed test: the ounces that quiet the wheel at each speed, and what would fit them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from advisor.report import words
from advisor.report.figures import ink
from advisor.report.figures.data import UnfitPicture, entries, number, numbers, same_length

if TYPE_CHECKING:
    from matplotlib.figure import Figure

KIND = "two_speed"


def two_speed(
    data: Mapping[str, Any], title: str = "Two-speed test", prefix: str = "twospeed"
) -> str:
    """SVG text: trial weight against speed with error bars, and the curves it is held against.

    data: points: list of {mph, amount, error}; curves: list of {name, mph: list, amount: list} (the
    best constant, the best fall with speed squared, the best mix); unit: of the amounts.
    Raises UnfitPicture when a key is missing or there is no point.
    """
    points = [
        tuple(number(KIND, p, key) for key in ("mph", "amount", "error"))
        for p in entries(KIND, data, "points")
    ]
    if not points:
        raise UnfitPicture(f"picture {KIND}: points is empty")
    curves = []
    for curve in entries(KIND, data, "curves"):
        same_length(KIND, curve, "mph", "amount")
        curves.append((ink.label(curve.get("name", "")), numbers(KIND, curve, "mph"),
                       numbers(KIND, curve, "amount")))  # fmt: skip
    unit = ink.label(data.get("unit", "oz"))

    def paint(figure: Figure) -> None:
        axes = figure.add_axes((0.1, 0.14, 0.6, 0.8))
        for n, (_, mph, amount) in enumerate(curves):
            axes.plot(mph, amount, color=ink.INK, lw=ink.MEDIUM, ls=ink.STYLES[n % 6])
        speeds, weights, errors = zip(*points, strict=True)
        axes.errorbar(speeds, weights, yerr=errors, color=ink.INK, fmt="o", ms=7, capsize=5, lw=1.4)
        axes.set(xlabel="road speed, mph", ylabel=f"weight that quiets it, {unit}")
        axes.set_ylim(0, axes.get_ylim()[1] * 1.08)
        _names(axes, [(name, amount[-1], mph[-1]) for name, mph, amount in curves])

    said = "; ".join(f"{words.figure(a)} {unit} at {words.figure(v)} mph" for v, a, _ in points)
    return ink.svg(paint, (7.2, 3.8), title, f"Measured: {said}.", prefix)


def _names(axes: Any, ends: list[tuple[str, float, float]]) -> None:
    """Each curve is named at its right end."""
    ends = sorted(ends, key=lambda end: end[1])
    top = axes.get_ylim()[1]
    spots = ink.apart([amount for _, amount, _ in ends], 0.07 * top, 0.0, top)
    edge = axes.get_xlim()[1]
    for (name, amount, mph), spot in zip(ends, spots, strict=True):
        axes.annotate(
            name, (mph, amount), (edge, spot), annotation_clip=False, va="center", fontsize=9,
            arrowprops=ink.LEADER,
        )  # fmt: skip
