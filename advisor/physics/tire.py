"""Tire size designations and rolling circumference."""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import pi

from advisor.physics.units import M_PER_IN, M_PER_MILE

# Rolling circumference over overall diameter. Eight published pairs of diameter and revolutions
# per mile give 3.04 to 3.09, mean 3.065; the UN/ETRTO factor 3.05 is from memory.
ROLLING_FACTOR = 3.065
DEFAULT_TOLERANCE_PERCENT = 2.5
SMALLEST_DIAMETER_M, LARGEST_DIAMETER_M = 0.45, 1.65

_METRIC = re.compile(r"^(LT|P)?(\d{3})/(\d{2,3})\s*[RDB-]?\s*(\d{2}(?:\.\d)?)(C|LT)?$")
_INCH = re.compile(r"^(\d{1,2}(?:\.\d{1,2})?)\s*[R-]\s*(\d{2}(?:\.\d)?)(?:LT)?$")
_FLOTATION = re.compile(r"^(\d{2}(?:\.\d)?)X(\d{1,2}(?:\.\d{1,2})?)\s*R\s*(\d{2}(?:\.\d)?)(?:LT)?$")


@dataclass(frozen=True)
class TireSize:
    """A designation taken apart. diameter_m is None for inch sizes, which need a table: their
    aspect ratio is not in the name (0.84 to 0.98 in use)."""

    designation: str
    rim_in: float
    diameter_m: float | None
    width_mm: float


def normalize(designation: str) -> str:
    """Designation in capitals without spaces, load range or speed symbol: '295/75r 22.5 (H)' ->
    '295/75R22.5'."""
    text = designation.upper().replace(",", ".").strip()
    text = re.sub(r"\(.*?\)|\bLOAD RANGE\b.*|\bLR\s?[A-N]\b.*|\s[A-N]$|\s1\d\d/1\d\d.*", "", text)
    return re.sub(r"\s+", "", text)


def parse_size(designation: str) -> TireSize | None:
    """Take a designation apart, or None when it is none we know.

    Metric: overall diameter = rim + 2 x width x aspect (published worked example: 275/80R22.5 =
    275 x 0.80 x 2 + 22.5 x 25.4 = 1011 mm). Flotation sizes carry the diameter in inches.
    """
    text = normalize(designation)
    if match := _METRIC.match(text):
        width_mm, aspect, rim_in = float(match[2]), float(match[3]) / 100, float(match[4])
        diameter_m = rim_in * M_PER_IN + 2 * width_mm / 1000 * aspect
        return TireSize(text, rim_in, diameter_m, width_mm)
    if match := _FLOTATION.match(text):
        return TireSize(text, float(match[3]), float(match[1]) * M_PER_IN, float(match[2]) * 25.4)
    if match := _INCH.match(text):
        return TireSize(text, float(match[2]), None, float(match[1]) * 25.4)
    return None


def is_plausible(diameter_m: float) -> bool:
    """Whether any road tire has this overall diameter."""
    return SMALLEST_DIAMETER_M <= diameter_m <= LARGEST_DIAMETER_M


def circumference_from_revs_per_mile(revs_per_mile: float) -> float:
    """Rolling circumference in meters (1609.344 / revolutions per mile)."""
    return M_PER_MILE / revs_per_mile


def circumference_from_diameter(diameter_m: float) -> float:
    """Rolling circumference in meters of a loaded radial of this overall diameter."""
    return ROLLING_FACTOR * diameter_m


def free_revs_per_mile(diameter_in: float) -> float:
    """Unloaded revolutions per mile: 63,360 / (pi x diameter), that is 20,168 / diameter.

    The constant divides the diameter, not the loaded radius; a loaded tire turns 2 to 3 % more.
    """
    return 63_360 / (pi * diameter_in)
