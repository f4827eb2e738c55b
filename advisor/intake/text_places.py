"""Wheel positions named near a finding."""

from __future__ import annotations

from advisor.intake.text_sheet import Sheet
from advisor.model.place import Place, parse_place

REACH = 8


def place_near(sheet: Sheet, start: int, end: int) -> Place | None:
    """The nearest wheel position in the same segment, or None."""
    if "place" not in sheet.hits:
        return None
    segment = sheet.segment[start]
    near = [
        (max(start - hit.end, hit.start - end, 0), hit.start, hit.value)
        for hit in sheet.within("place", max(0, start - 2 * REACH), end + 2 * REACH)
        if sheet.segment[hit.start] == segment
    ]
    if not near or min(near)[0] > REACH:
        return None
    return parse_place(min(near)[2])
