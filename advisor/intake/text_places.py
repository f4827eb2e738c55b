"""Wheel positions named near a finding."""

from __future__ import annotations

from advisor.intake.text_sheet import Sheet
from advisor.model.place import Place, parse_place

REACH, AXLE_REACH = 8, 5
AXLES = {"front_end": "steer", "rear": "drive"}


def place_near(sheet: Sheet, start: int, end: int) -> Place | None:
    """The nearest wheel position in the same segment; else the axle whose tires are named right
    beside it; or None."""
    if "place" not in sheet.hits:
        return _axle(sheet, start, end)
    segment = sheet.segment[start]
    near = [
        (max(start - hit.end, hit.start - end, 0), hit.start, hit.value)
        for hit in sheet.within("place", max(0, start - 2 * REACH), end + 2 * REACH)
        if sheet.segment[hit.start] == segment
    ]
    if not near or min(near)[0] > REACH:
        return _axle(sheet, start, end)
    return parse_place(min(near)[2])


def _axle(sheet: Sheet, start: int, end: int) -> Place | None:
    """ "front tires cupped": the steer axle."""
    for hit in sheet.within("felt", start - AXLE_REACH, end + 2):
        tires = any(h.value == "tires" for h in sheet.within("thing", hit.start, hit.start + 1))
        near = hit.end <= start <= hit.end + 2 or hit.start >= end
        if tires and near and hit.value in AXLES and sheet.clause[hit.start] == sheet.clause[start]:
            return parse_place(AXLES[hit.value])
    return None
