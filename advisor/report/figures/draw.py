"""From a picture's kind to the function that draws it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from advisor.errors import did_you_mean
from advisor.model.diagnosis import Diagram, Picture
from advisor.report.figures.data import UnfitPicture
from advisor.report.figures.interference import interference_diagram
from advisor.report.figures.reliability import reliability
from advisor.report.figures.runout import polar_runout
from advisor.report.figures.spectra import order_spectrum, waterfall
from advisor.report.figures.teaching import side_by_side
from advisor.report.figures.two_speed import two_speed
from advisor.report.figures.vectors import vector_diagram


def _interference(data: Mapping[str, Any], title: str = "", prefix: str = "diagram") -> str:
    """The interference diagram from a document's own data; it makes its title itself."""
    return interference_diagram(Diagram.model_validate(data), prefix)


KINDS: dict[str, Callable[..., str]] = {
    "interference": _interference,
    "polar_runout": polar_runout,
    "vector_diagram": vector_diagram,
    "order_spectrum": order_spectrum,
    "waterfall": waterfall,
    "two_speed": two_speed,
    "side_by_side": side_by_side,
    "reliability": reliability,
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
