"""From a picture's kind to the function that draws it."""

from __future__ import annotations

from collections.abc import Callable

from advisor.errors import did_you_mean
from advisor.model.diagnosis import Picture
from advisor.report.figures.data import UnfitPicture
from advisor.report.figures.runout import polar_runout
from advisor.report.figures.spectra import order_spectrum, waterfall
from advisor.report.figures.two_speed import two_speed
from advisor.report.figures.vectors import vector_diagram

KINDS: dict[str, Callable[..., str]] = {
    "polar_runout": polar_runout,
    "vector_diagram": vector_diagram,
    "order_spectrum": order_spectrum,
    "waterfall": waterfall,
    "two_speed": two_speed,
}


def draw(picture: Picture, prefix: str = "picture") -> str:
    """SVG text of a picture; prefix starts every id in it, so give each on a page its own.

    Raises UnfitPicture for an unknown kind or data that cannot be drawn.
    """
    paint = KINDS.get(picture.kind)
    if paint is None:
        hint = did_you_mean(picture.kind, KINDS)
        raise UnfitPicture(f"picture kind {picture.kind!r} is unknown; {hint}".rstrip("; "))
    return paint(picture.data, title=picture.title, prefix=prefix)
