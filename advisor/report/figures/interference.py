"""The interference diagram: where the orders of rotation meet the vehicle's own frequencies."""

from __future__ import annotations

import textwrap
from string import ascii_uppercase
from typing import TYPE_CHECKING

from advisor.model.diagnosis import Diagram, ModeNote
from advisor.report import words
from advisor.report.figures import ink

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

# no dots or circles: each is a curve, and a band of them weighs a quarter of a megabyte
HATCHES = ("////", "\\\\\\\\", "----", "||||", "xxxx", "++++", "//", "\\\\")


KEY_LINE_IN = 0.18


def interference_diagram(diagram: Diagram, prefix: str = "diagram") -> str:
    """SVG text: orders against road speed, mode bands hatched, the driver's band shaded.

    Each line carries its name and each band a letter, named below: nothing hangs on color.
    x: mph, y: Hz.
    """

    named = key(diagram.modes, _top(diagram))
    height = 4.6 + KEY_LINE_IN * (len(named) + 1)

    def paint(figure: Figure) -> None:
        ratios = [max(2, len(diagram.modes)), 16]
        own, main = figure.subplots(1, 2, sharey=True, gridspec_kw={"width_ratios": ratios})
        below = 0.75 + KEY_LINE_IN * (len(named) + 0.5)
        figure.subplots_adjust(
            left=0.08, right=0.84, bottom=below / height, top=1 - 1.0 / height, wspace=0.03
        )
        for n, line in enumerate(named):
            figure.text(0.08, KEY_LINE_IN * (len(named) - n - 0.5) / height, line, fontsize=9)
        top = _top(diagram)
        _modes(own, main, diagram.modes, top)
        _band(main, diagram)
        _orders(main, diagram, top)
        _axes(own, main, diagram, top)

    title = f"Rotation orders against road speed, {diagram.tire}"
    return ink.svg(paint, (7.4, height), title, describe(diagram), prefix)


def describe(diagram: Diagram) -> str:
    """The diagram in words: what it shows and what it was drawn from."""
    band = (
        f"The driver's band, {words.mph(*diagram.band_mph)}, is shaded. "
        if diagram.band_mph
        else "No speed band was reported. "
    )
    modes = "; ".join(f"{m.name} {words.hz(m.low_hz, m.high_hz)}" for m in diagram.modes)
    return (
        f"Lines: {words.listing([name for name, _ in diagram.slopes])}. {band}"
        f"Hatched: {modes or 'no band is known for this vehicle'}. "
        f"Rolling circumference {diagram.circumference_m:.3f} m, "
        f"give or take {words.figure(diagram.tolerance_percent)} %."
    )


def letter(n: int) -> str:
    """The letter that stands for a mode band in the drawing."""
    return ascii_uppercase[n % 26]


def key(modes: list[ModeNote], top: float) -> list[str]:
    """What the letters mean, wrapped to the width of the drawing."""
    told = [
        f"{letter(n)}: {ink.label(m.name)} ({words.hz(m.low_hz, m.high_hz)}"
        + (")" if m.low_hz < top else "; above this drawing)")
        for n, m in enumerate(modes)
    ]
    return [line for text in told for line in textwrap.wrap(text, 100, subsequent_indent="    ")]


def _top(diagram: Diagram) -> float:
    """Highest frequency shown: all mode bands below 40 Hz, and wheel order 1 with room above."""
    modes = [m.high_hz for m in diagram.modes if m.high_hz <= 40]
    ends = sorted(slope * diagram.max_mph for _, slope in diagram.slopes)
    return 1.12 * max([*modes, *ends[:2], 1.0])


def _modes(own: Axes, main: Axes, modes: list[ModeNote], top: float) -> None:
    """One hatched column a mode, lettered, and its edges carried faintly across the diagram."""
    for n, mode in enumerate(modes):
        low, high = mode.low_hz, min(mode.high_hz, top)
        if low >= top:
            continue
        hatch = HATCHES[n % len(HATCHES)]
        own.bar(n, high - low, 0.9, low, facecolor="white", edgecolor=ink.INK, hatch=hatch, lw=0.9)
        main.axhspan(low, high, facecolor="none", edgecolor="#b5b5b5", hatch=hatch, lw=0)
        for edge in (low, high):
            main.axhline(edge, color=ink.GRAY, lw=0.4)
        own.text(n, high + 0.01 * top, letter(n), ha="center", va="bottom", fontweight="bold")


def _band(main: Axes, diagram: Diagram) -> None:
    if diagram.band_mph is None:
        return
    low, high = diagram.band_mph
    main.axvspan(low, max(high, low + 0.4), facecolor="#9a9a9a", alpha=0.35, lw=0)
    for edge in (low, high):
        main.axvline(edge, color=ink.INK, lw=0.9)
    main.annotate(
        f"driver: {words.mph(low, high)}", ((low + high) / 2, 0), (0, -30), ha="center",
        textcoords="offset points", fontsize=9, fontweight="bold", annotation_clip=False,
        arrowprops={"arrowstyle": "-|>", "color": ink.INK, "lw": 1.0},
    )  # fmt: skip


def _orders(main: Axes, diagram: Diagram, top: float) -> None:
    """The order lines, named where they leave: at the right edge or through the top."""
    lines = sorted(diagram.slopes, key=lambda pair: pair[1])
    ends = [(name, min(diagram.max_mph, top / slope), slope) for name, slope in lines if slope > 0]
    for n, (_, mph, slope) in enumerate(ends):
        width = ink.BOLD if n == 0 else ink.MEDIUM
        main.plot([0, mph], [0, slope * mph], color=ink.INK, lw=width, ls=_style(n))
    right = [(name, slope * mph) for name, mph, slope in ends if mph >= diagram.max_mph]
    spots = ink.apart([hz for _, hz in right], 0.045 * top, 0.0, top)
    for (name, hz), spot in zip(right, spots, strict=True):
        _name(main, name, (diagram.max_mph, hz), (diagram.max_mph * 1.015, spot), 0)
    over = sorted((mph, name) for name, mph, _ in ends if mph < diagram.max_mph)
    spots = ink.apart([mph for mph, _ in over], 0.06 * diagram.max_mph, 0.0, diagram.max_mph)
    for (mph, name), spot in zip(over, spots, strict=True):
        _name(main, name, (mph, top), (spot, top * 1.025), 55)


def _style(n: int) -> object:
    return ink.STYLES[n % len(ink.STYLES)]


def _name(
    main: Axes, name: str, end: tuple[float, float], at: tuple[float, float], turn: float
) -> None:
    main.annotate(
        ink.label(name), end, at, annotation_clip=False, rotation=turn, fontsize=9,
        ha="left", va="bottom" if turn else "center", rotation_mode="anchor" if turn else "default",
        arrowprops=ink.LEADER,
    )  # fmt: skip


def _axes(own: Axes, main: Axes, diagram: Diagram, top: float) -> None:
    main.set(xlim=(0, diagram.max_mph), ylim=(0, top))
    main.set_xlabel("road speed, mph", loc="left", labelpad=14)
    own.set(xlim=(-0.6, max(0.6, len(diagram.modes) - 0.4)), ylabel="frequency, Hz", xticks=[])
    own.set_xlabel("own frequencies", fontsize=9)
    main.tick_params(left=False, labelleft=False)
    main.grid(axis="x", color=ink.PALE, lw=0.5)
