"""Published figures a weighted vibration may be compared with, and why that is no assessment."""

from __future__ import annotations

import math
from dataclasses import dataclass

CAUTION = (
    "Context only, no exposure assessment: that needs a calibrated instrument at the seat surface, "
    "the whole working day and the rules in force where the vehicle works."
)


@dataclass(frozen=True)
class ComfortRange:
    """Range of the vibration total value in m/s2 and the reaction to expect; ranges overlap."""

    low_m_s2: float
    high_m_s2: float
    reaction: str


@dataclass(frozen=True)
class ExposureValue:
    """One figure of a directive, for an eight-hour day, with its source."""

    name: str
    value_m_s2: float
    source: str


COMFORT_SOURCE = "ISO 2631-1:1997 Annex C, public transport, quoted in open-source code (secondary)"
COMFORT_RANGES = (
    ComfortRange(0.0, 0.315, "not uncomfortable"),
    ComfortRange(0.315, 0.63, "a little uncomfortable"),
    ComfortRange(0.5, 1.0, "fairly uncomfortable"),
    ComfortRange(0.8, 1.6, "uncomfortable"),
    ComfortRange(1.25, 2.5, "very uncomfortable"),
    ComfortRange(2.0, math.inf, "extremely uncomfortable"),
)
_DIRECTIVE = "Directive 2002/44/EC, article 3(2)({}), 2002 (published)"
EXPOSURE_VALUES = (
    ExposureValue("daily exposure action value", 0.5, _DIRECTIVE.format("b")),
    ExposureValue("daily exposure limit value", 1.15, _DIRECTIVE.format("a")),
)


def comfort_reactions(total_value_m_s2: float) -> tuple[str, ...]:
    """Every reaction whose range holds the value: one, or two where ranges overlap."""
    if total_value_m_s2 < 0:
        raise ValueError("a total value is never negative")
    return tuple(
        r.reaction for r in COMFORT_RANGES if r.low_m_s2 <= total_value_m_s2 <= r.high_m_s2
    )


def hours_to_reach(exposure_m_s2: float, rms_m_s2: float) -> float:
    """Hours a day at rms_m_s2 until the eight-hour value equals exposure_m_s2; infinite at zero."""
    return math.inf if rms_m_s2 == 0 else 8 * (exposure_m_s2 / rms_m_s2) ** 2
