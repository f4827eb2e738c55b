"""Said against was: whether causes given a probability turned out so as often as it said."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from advisor.report import words
from advisor.report.figures import ink
from advisor.report.figures.data import UnfitPicture, entries, number

if TYPE_CHECKING:
    from matplotlib.figure import Figure

KIND = "reliability"
SIDEWAYS = 1.645  # standard deviations to either side of a 90 % interval


def reliability(
    data: Mapping[str, Any], title: str = "Reliability", prefix: str = "reliability"
) -> str:
    """SVG text: a point a bin over the line of perfect agreement, with bars and counts.

    data: bins: list of {said, was, count}. Bars: 90 % interval of a share (Wilson, Journal of the
    American Statistical Association 22, 1927, from memory), as if the causes of a case were
    independent. Raises UnfitPicture when a key is missing or there is no bin.
    """
    points = [
        tuple(number(KIND, b, key) for key in ("said", "was", "count"))
        for b in entries(KIND, data, "bins")
    ]
    if not points:
        raise UnfitPicture(f"picture {KIND}: bins is empty")
    if any(not 0 <= p <= 1 or not 0 <= q <= 1 or n < 1 for p, q, n in points):
        raise UnfitPicture(f"picture {KIND}: said and was are shares, count is 1 or more")

    def paint(figure: Figure) -> None:
        axes = figure.add_axes((0.13, 0.13, 0.83, 0.83))
        axes.plot((0, 1), (0, 1), color=ink.GRAY, lw=ink.FINE, ls=ink.STYLES[1])
        for said, was, count in points:
            low, high = interval(was, count)
            axes.plot((said, said), (low, high), color=ink.INK, lw=ink.FINE)
            axes.plot(said, was, "o", ms=7, mfc="white", mec=ink.INK, mew=ink.MEDIUM)
            side, up = -1 if said > 0.85 else 1, was < 0.1
            axes.annotate(
                f"{count:.0f}", (said, was), (8 * side, 4 if up else -4),
                textcoords="offset points", ha="left" if side > 0 else "right",
                va="bottom" if up else "top", fontsize=9,
            )  # fmt: skip
        axes.text(0.02, 0.1, "as often as said", color=ink.GRAY, fontsize=9, rotation=45)
        axes.set(xlabel="probability said", ylabel="share that was so", aspect="equal")
        axes.set(xlim=(-0.02, 1.02), ylim=(-0.02, 1.02))

    said = "; ".join(
        f"said {words.figure(p)}, was {words.figure(q)} of {n:.0f}" for p, q, n in points
    )
    return ink.svg(paint, (4.6, 4.6), title, f"{said}.", prefix)


def interval(share: float, count: float) -> tuple[float, float]:
    """90 % interval of a share seen in so many (Wilson 1927)."""
    z2 = SIDEWAYS**2 / count
    middle = (share + z2 / 2) / (1 + z2)
    half = SIDEWAYS / (1 + z2) * math.sqrt(share * (1 - share) / count + z2 / (4 * count))
    return max(0.0, middle - half), min(1.0, middle + half)
