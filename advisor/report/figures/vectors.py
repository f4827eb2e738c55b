"""Match mounting: what the wheel has, what the tire has, and where the tire should go."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from advisor.report import words
from advisor.report.figures import ink
from advisor.report.figures.data import UnfitPicture, number

if TYPE_CHECKING:
    from matplotlib.figure import Figure
    from matplotlib.projections.polar import PolarAxes

KIND = "vector_diagram"


def vector_diagram(
    data: Mapping[str, Any], title: str = "Match mounting", prefix: str = "vectors"
) -> str:
    """SVG text of vectors from the middle, clockwise from the top as on the wheel.

    data: wheel, tire: {amount, angle_deg}, as found; turn_deg: how far to turn the tire on the
    wheel, clockwise; unit; zero_at: what stands at the top; optional left: {amount, angle_deg},
    what stays after turning; optional says: the advice in words.
    Raises UnfitPicture when a key is missing or all amounts are zero.
    """
    wheel, tire = _vector(data, "wheel"), _vector(data, "tire")
    turned = (tire[0], tire[1] + number(KIND, data, "turn_deg"))
    left = _vector(data, "left") if data.get("left") else None
    reach = max(wheel[0], tire[0], left[0] if left else 0.0)
    if reach <= 0:
        raise UnfitPicture(f"picture {KIND}: all amounts are zero")
    unit, advice = ink.label(data.get("unit", "")), ink.label(data.get("says", ""))

    def paint(figure: Figure) -> None:
        axes = ink.clock(figure, (0.14, 0.14, 0.72, 0.7))
        _dress(axes, reach, unit, ink.label(data.get("zero_at", "valve stem")))
        _arrow(axes, wheel, f"wheel {words.figure(wheel[0])} {unit}", "-", ink.BOLD)
        found = f"tire as found {words.figure(tire[0])} {unit}"
        _arrow(axes, tire, found, ink.STYLES[2], ink.MEDIUM)
        _arrow(axes, turned, "tire turned", ink.STYLES[1], ink.BOLD)
        _sweep(axes, tire, turned, reach)
        if left:
            _arrow(axes, left, f"left over {words.figure(left[0])} {unit}", "-", 3.4)
        figure.text(0.5, 0.02, advice, ha="center", fontsize=10, fontweight="bold")

    return ink.svg(paint, (5.6, 5.4), title, _says(wheel, tire, turned, left, unit, advice), prefix)


def _vector(data: Mapping[str, Any], key: str) -> tuple[float, float]:
    found = data.get(key)
    if not isinstance(found, Mapping):
        raise UnfitPicture(f"picture {KIND}: {key} must have amount and angle_deg")
    return number(KIND, found, "amount"), number(KIND, found, "angle_deg")


def _says(
    wheel: tuple[float, float],
    tire: tuple[float, float],
    turned: tuple[float, float],
    left: tuple[float, float] | None,
    unit: str,
    advice: str,
) -> str:
    parts = [
        f"wheel {words.figure(wheel[0])} {unit} at {wheel[1] % 360:.0f} degrees",
        f"tire {words.figure(tire[0])} {unit} at {tire[1] % 360:.0f} degrees, "
        f"after turning at {turned[1] % 360:.0f} degrees",
    ]
    parts += [f"left over {words.figure(left[0])} {unit}"] if left else []
    return f"{'; '.join(parts)}. {advice}"


def _dress(axes: PolarAxes, reach: float, unit: str, zero_at: str) -> None:
    axes.set_rlim(0, reach * 1.25)
    axes.set_rticks([reach / 2, reach], ["", f"{words.figure(reach)} {unit}"], fontsize=8)
    axes.grid(color=ink.PALE, lw=0.6)
    axes.annotate(
        zero_at, (0.5, 1.0), (0, 26), xycoords="axes fraction", textcoords="offset points",
        ha="center", fontsize=9, fontweight="bold",
    )  # fmt: skip


def _arrow(
    axes: PolarAxes, vector: tuple[float, float], name: str, style: object, width: float
) -> None:
    amount, angle = vector[0], math.radians(vector[1])
    axes.plot([angle, angle], [0, amount], color=ink.INK, lw=width, ls=style)
    axes.plot([angle], [amount], color=ink.INK, marker="o", ms=4 + width)
    # names run inward from the tip, so that none leaves the picture
    inward = "right" if math.sin(angle) > 0 else "left"
    lift = -12 if name.startswith("left over") else 8
    axes.annotate(
        name, (angle, amount), (0, lift), textcoords="offset points", fontsize=9, ha=inward,
        va="center",
        bbox={"facecolor": "white", "edgecolor": "none", "pad": 1.0}, annotation_clip=False,
    )  # fmt: skip


def _sweep(
    axes: PolarAxes, tire: tuple[float, float], turned: tuple[float, float], reach: float
) -> None:
    """The way the tire is turned, as a thin arc."""
    steps = [tire[1] + (turned[1] - tire[1]) * k / 40 for k in range(41)]
    arc = [math.radians(a) for a in steps]
    axes.plot(arc, [reach * 1.15] * len(arc), color=ink.GRAY, lw=ink.FINE)
    axes.plot(arc[-1:], [reach * 1.15], color=ink.GRAY, marker="s", ms=4)
