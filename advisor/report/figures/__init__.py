"""Drawings as SVG text for black-and-white paper; the drawing library loads only on the first."""

from advisor.report.figures.draw import draw
from advisor.report.figures.interference import interference_diagram
from advisor.report.figures.runout import polar_runout
from advisor.report.figures.spectra import order_spectrum, waterfall
from advisor.report.figures.two_speed import two_speed
from advisor.report.figures.vectors import vector_diagram

__all__ = [
    "draw",
    "interference_diagram",
    "order_spectrum",
    "polar_runout",
    "two_speed",
    "vector_diagram",
    "waterfall",
]
