"""How bad the vibration is for the driver: weighted, with ranges that overlap and a caution."""

from __future__ import annotations

import math

from advisor.evidence.recording_words import listing
from advisor.model.recording import DriveFindings
from advisor.model.recording_sheet import Grid, Part
from advisor.physics.comfort import (
    CAUTION,
    COMFORT_RANGES,
    COMFORT_SOURCE,
    EXPOSURE_VALUES,
    comfort_reactions,
    hours_to_reach,
)
from advisor.physics.weighting import CREST_FACTOR_LIMIT

HEADING = "How bad it is for the driver"
MOST_HOURS = 24.0


def comfort_part(found: DriveFindings) -> Part:
    """Weighted rms by ISO 2631-1 with the reactions to expect and the directive's figures."""
    weighted = found.analysis.weighted
    if not weighted:
        why = "Needs an acceleration in m/s2 or g and a known vertical axis."
        return Part(HEADING, text=(f"Not worked out. {why}", CAUTION))
    rows = tuple(
        (axis, w.weighting, f"{w.rms_m_s2:.3f} m/s2", f"{w.crest_factor:.1f}")
        for axis, w in zip(found.drive.axes, weighted, strict=True)
    )
    text = [
        "Frequency-weighted rms over the whole recording, where the recorder sat (ISO 2631-1: Wk "
        "up and down, Wd sideways and fore-aft)."
    ]
    total = found.analysis.weighted_total_m_s2
    if total is not None:
        text.append(_reaction(total))
    else:
        text.append("A total value needs all three axes.")
    if any(w.crest_factor > CREST_FACTOR_LIMIT for w in weighted):
        text.append(
            f"A crest factor above {CREST_FACTOR_LIMIT:g} means knocks: the rms understates them."
        )
    worst = max(w.rms_m_s2 for w in weighted)
    grid = Grid(("axis", "weighting", "weighted rms", "crest factor"), rows)
    return Part(HEADING, text=(*text, CAUTION), items=_directive(worst), grid=grid)


def _reaction(total_m_s2: float) -> str:
    named = [
        f"{r.reaction} ({_range(r.low_m_s2, r.high_m_s2)})"
        for r in COMFORT_RANGES
        if r.reaction in comfort_reactions(total_m_s2)
    ]
    both = " The ranges overlap." if len(named) > 1 else ""
    return f"Total {total_m_s2:.2f} m/s2: {listing(named, 'to')}.{both} Source: {COMFORT_SOURCE}."


def _range(low: float, high: float) -> str:
    if low == 0:
        return f"below {high:g} m/s2"
    return f"above {low:g} m/s2" if math.isinf(high) else f"{low:g} to {high:g} m/s2"


def _directive(worst_m_s2: float) -> tuple[str, ...]:
    """The directive's eight-hour figures beside the strongest axis, as context."""
    said = []
    for value in EXPOSURE_VALUES:
        hours = hours_to_reach(value.value_m_s2, worst_m_s2)
        reach = (
            f"the strongest axis would reach it in about {hours:.1f} h a day"
            if hours <= MOST_HOURS
            else "the strongest axis would not reach it in a day"
        )
        said.append(f"{value.name}: {value.value_m_s2:g} m/s2 over 8 h; {reach}; {value.source}")
    return tuple(said)
