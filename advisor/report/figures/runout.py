"""Dial readings round the clock, with the offset circle fitted to them and the high spot."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from advisor.report import words
from advisor.report.figures import ink
from advisor.report.figures.data import UnfitPicture, number, numbers, same_length

if TYPE_CHECKING:
    from matplotlib.figure import Figure
    from matplotlib.projections.polar import PolarAxes

KIND = "polar_runout"


def polar_runout(data: Mapping[str, Any], title: str = "Runout", prefix: str = "runout") -> str:
    """SVG text of a polar plot, clockwise from the top as on the wheel.

    data: angles_deg, readings: lists of N numbers (None: a missing point); unit: of the readings;
    mean, amplitude, high_deg: the fitted circle, mean + amplitude * cos(angle - high_deg), in that
    unit and in degrees; high_says: the high spot in words; zero_at: what stands at the top.
    Raises UnfitPicture when a key is missing or the lists differ in length.
    """
    same_length(KIND, data, "angles_deg", "readings")
    pairs = zip(numbers(KIND, data, "angles_deg"), numbers(KIND, data, "readings"), strict=True)
    points = [(angle, value) for angle, value in pairs if math.isfinite(angle + value)]
    if len(points) < 3:
        raise UnfitPicture(f"picture {KIND}: fewer than three readings")
    mean, amplitude = number(KIND, data, "mean"), number(KIND, data, "amplitude")
    high = number(KIND, data, "high_deg")
    unit, high_says = ink.label(data.get("unit", "")), ink.label(data.get("high_says", "high spot"))
    zero_at = ink.label(data.get("zero_at", "mark"))

    def paint(figure: Figure) -> None:
        axes = ink.clock(figure, (0.14, 0.1, 0.72, 0.76))
        _dress(axes, points, zero_at)
        _readings(axes, points)
        _circle(axes, mean, amplitude, high, high_says)
        figure.text(0.5, 0.015, f"numbers: readings, {unit}; dashed: fitted circle", ha="center")

    says = (
        f"{len(points)} dial readings in {unit}, top is the {zero_at}. Once-a-turn part: "
        f"{words.figure(amplitude)} {unit} to each side; {high_says}."
    )
    return ink.svg(paint, (5.6, 5.4), title, says, prefix)


def _dress(axes: PolarAxes, points: list[tuple[float, float]], zero_at: str) -> None:
    """Clock face; the middle is lifted so that a small runout can be seen."""
    low, high = min(v for _, v in points), max(v for _, v in points)
    room = (high - low) or abs(high) or 1.0
    axes.set_rorigin(low - 2.4 * room)
    axes.set_rlim(low - 0.75 * room, high + 0.25 * room)
    axes.set_rticks([])
    axes.grid(color=ink.PALE, lw=0.6)
    axes.annotate(
        zero_at, (0.5, 1.0), (0, 26), xycoords="axes fraction", textcoords="offset points",
        ha="center", fontsize=9, fontweight="bold",
    )  # fmt: skip


def _readings(axes: PolarAxes, points: list[tuple[float, float]]) -> None:
    ring = [*points, points[0]]
    axes.plot(
        [math.radians(a) for a, _ in ring], [v for _, v in ring], color=ink.INK, lw=1.2,
        marker="o", ms=5,
    )  # fmt: skip
    low, high = axes.get_ylim()
    for angle, value in points:
        spot = value - 0.17 * (high - low)
        axes.text(math.radians(angle), spot, words.figure(value), ha="center", va="center",
                  fontsize=8)  # fmt: skip


def _circle(axes: PolarAxes, mean: float, amplitude: float, high: float, says: str) -> None:
    turn = [math.radians(a) for a in range(0, 361, 3)]
    fitted = [mean + amplitude * math.cos(a - math.radians(high)) for a in turn]
    axes.plot(turn, fitted, color=ink.GRAY, lw=1.2, ls=ink.STYLES[1])
    top = math.radians(high)
    bottom = axes.get_ylim()[0]
    axes.annotate(
        "", (top, mean + amplitude), (top, bottom), arrowprops={"arrowstyle": "-|>", "lw": ink.BOLD,
                                                               "color": ink.INK},
    )  # fmt: skip
    axes.annotate(says, (0.5, 0.5), xycoords="axes fraction", ha="center", va="center", fontsize=9,
                  fontweight="bold")  # fmt: skip
