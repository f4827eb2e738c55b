"""What a recording holds: strength by order, and by frequency as the speed goes up."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from advisor.report import words
from advisor.report.figures import ink
from advisor.report.figures.data import UnfitPicture, entries, number, numbers, same_length

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

MOST_LINES, MOST_POINTS = 40, 400


def order_spectrum(
    data: Mapping[str, Any], title: str = "Strength by order", prefix: str = "orders"
) -> str:
    """SVG text: amplitude against order (cycles per turn of the wheel).

    data: orders, amplitudes: lists of N numbers; unit: of the amplitudes; named: list of
    {order, name} to point at; optional floor: the level below which nothing is said.
    Raises UnfitPicture when a key is missing or the lists differ in length.
    """
    kind = "order_spectrum"
    same_length(kind, data, "orders", "amplitudes")
    orders, amplitudes = numbers(kind, data, "orders"), numbers(kind, data, "amplitudes")
    named = [(number(kind, e, "order"), ink.label(e.get("name", "")))
             for e in entries(kind, data, "named")]  # fmt: skip
    finite = [a for a in amplitudes if math.isfinite(a)]
    if not finite:
        raise UnfitPicture(f"picture {kind}: no amplitude is a number")
    peak, unit = max(finite) or 1.0, ink.label(data.get("unit", ""))

    def paint(figure: Figure) -> None:
        axes = figure.add_axes((0.11, 0.14, 0.86, 0.62))
        axes.plot(orders, amplitudes, color=ink.INK, lw=1.1)
        axes.set(xlim=(min(orders), max(orders)), ylim=(0, peak * 1.08),
                 xlabel="order, cycles per wheel turn", ylabel=f"amplitude, {unit}")  # fmt: skip
        if data.get("floor") is not None:
            axes.axhline(number(kind, data, "floor"), color=ink.GRAY, lw=ink.FINE, ls="--")
        _point_at(axes, named, peak * 1.08, max(orders) - min(orders))

    says = f"Orders pointed at: {words.listing([name for _, name in named]) or 'none'}."
    return ink.svg(paint, (7.2, 3.8), title, says, prefix)


def _point_at(axes: Axes, named: Sequence[tuple[float, str]], top: float, width: float) -> None:
    """Names above the plot, slanted, with a thin line down to their order."""
    inside = sorted((o, name) for o, name in named if axes.get_xlim()[0] <= o <= axes.get_xlim()[1])
    low, high = axes.get_xlim()
    spots = ink.apart([o for o, _ in inside], 0.045 * width, low, high)
    for (order, name), spot in zip(inside, spots, strict=True):
        axes.axvline(order, color=ink.GRAY, lw=0.5, ls=":")
        axes.annotate(
            name, (order, top), (spot, top * 1.03), annotation_clip=False, rotation=40, ha="left",
            va="bottom", rotation_mode="anchor", fontsize=9,
            arrowprops=ink.LEADER,
        )  # fmt: skip


def waterfall(data: Mapping[str, Any], title: str = "Run-up", prefix: str = "waterfall") -> str:
    """SVG text: one spectrum a speed, stacked by speed, with the orders drawn across.

    data: speed_mph: N numbers; hz: M numbers; level: N lists of M numbers; unit: of the levels;
    orders: list of {name, hz_per_mph}. At most 40 spectra of 400 points are drawn, evenly picked,
    the strongest value of each stretch kept. Raises UnfitPicture when a key is missing or a size
    does not fit.
    """
    kind = "waterfall"
    speeds, hz = numbers(kind, data, "speed_mph"), numbers(kind, data, "hz")
    rows = data.get("level")
    if not isinstance(rows, list | tuple) or len(rows) != len(speeds):
        raise UnfitPicture(f"picture {kind}: level must have one list for each speed")
    levels = [numbers(kind, {"level": row}, "level") for row in rows]
    if any(len(row) != len(hz) for row in levels):
        raise UnfitPicture(f"picture {kind}: each list of level must be as long as hz")
    orders = [(ink.label(e.get("name", "")), number(kind, e, "hz_per_mph"))
              for e in entries(kind, data, "orders")]  # fmt: skip

    def paint(figure: Figure) -> None:
        axes = figure.add_axes((0.1, 0.11, 0.87, 0.72))
        axes.set(xlim=(min(hz), max(hz)), xlabel="frequency, Hz", ylabel="road speed, mph")
        top = _ridges(axes, speeds, hz, levels)
        axes.set_ylim(min(speeds), top)
        _order_lines(axes, orders, max(speeds), max(hz))

    says = (
        f"Spectra from {words.mph(min(speeds), max(speeds))}, levels in "
        f"{ink.label(data.get('unit', ''))}; drawn across: "
        f"{words.listing([name for name, _ in orders]) or 'no orders'}."
    )
    return ink.svg(paint, (7.2, 5.4), title, says, prefix)


def _ridges(axes: Axes, speeds: list[float], hz: list[float], levels: list[list[float]]) -> float:
    """Draw the spectra from the fastest to the slowest; returns the top of the picture in mph."""
    strongest = max((v for row in levels for v in row if math.isfinite(v)), default=0.0) or 1.0
    every = -(-len(speeds) // MOST_LINES)
    picked = sorted(zip(speeds[::every], levels[::every], strict=True), reverse=True)
    reach = 4.0 * (max(speeds) - min(speeds)) / max(1, len(picked)) or 1.0
    x = _thin(hz, min)
    for n, (speed, row) in enumerate(picked):
        line = _corners(
            [(f, max(v, 0.0) / strongest) for f, v in zip(x, _thin(row, max), strict=True)]
        )
        outline = [(x[0], 0.0), *line, (x[-1], 0.0)]
        y = [speed + reach * v for _, v in outline]
        axes.fill(
            [f for f, _ in outline], y, facecolor="white", edgecolor=ink.INK, lw=0.6, zorder=n
        )
    return max(speeds) + 1.1 * reach


def _thin(values: list[float], keep: Any) -> list[float]:
    """At most MOST_POINTS values, each kept from one stretch; missing values count as zero."""
    every = -(-len(values) // MOST_POINTS)
    known = [v if math.isfinite(v) else 0.0 for v in values]
    return [keep(known[n : n + every]) for n in range(0, len(known), every)]


def _corners(line: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """The line without the points inside flat stretches (less than 1/500 of the peak)."""
    inner = [
        b
        for a, b, c in zip(line, line[1:], line[2:], strict=False)
        if max(abs(a[1] - b[1]), abs(c[1] - b[1])) > 0.002
    ]
    return [line[0], *inner, *line[-1:]]


def _order_lines(
    axes: Axes, orders: Sequence[tuple[str, float]], fastest: float, highest: float
) -> None:
    top = axes.get_ylim()[1]
    ends = sorted((min(slope * top, highest), name, slope) for name, slope in orders if slope > 0)
    spots = ink.apart([hz for hz, _, _ in ends], 0.035 * highest, axes.get_xlim()[0], highest)
    for n, ((hz, name, slope), spot) in enumerate(zip(ends, spots, strict=True)):
        style = ink.STYLES[(n + 1) % len(ink.STYLES)]
        axes.plot([0, hz], [0, hz / slope], color=ink.INK, lw=1.3, ls=style, zorder=1000)
        axes.annotate(
            name, (hz, hz / slope), (spot, top * 1.01), annotation_clip=False, rotation=40,
            ha="left", va="bottom", rotation_mode="anchor", fontsize=9,
            arrowprops=ink.LEADER,
        )  # fmt: skip
