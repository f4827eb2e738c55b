"""Places on a vehicle: axle group, side, and which tire of a dual pair."""

from __future__ import annotations

from dataclasses import dataclass

GROUPS = ("steer", "drive", "tag", "trailer")
SIDES = ("left", "right")
DUALS = ("inner", "outer")


@dataclass(frozen=True, order=True)
class Place:
    """`steer`, `drive_left`, `trailer_right_outer`: anything unsaid is empty and means 'any'."""

    group: str
    side: str = ""
    dual: str = ""

    def __str__(self) -> str:
        return "_".join(part for part in (self.group, self.side, self.dual) if part)

    @property
    def words(self) -> str:
        """'left outer drive' in shop order."""
        return " ".join(part for part in (self.side, self.dual, self.group) if part)

    def covers(self, other: Place) -> bool:
        """True when `other` lies within this place."""
        return (
            self.group == other.group
            and self.side in ("", other.side)
            and self.dual in ("", other.dual)
        )


def parse_place(text: str) -> Place | None:
    """A place from its written form, or None when it is not one."""
    parts = text.strip().lower().replace("-", "_").split("_")
    if parts[0] not in GROUPS:
        return None
    rest = parts[1:]
    side = rest.pop(0) if rest and rest[0] in SIDES else ""
    dual = rest.pop(0) if rest and rest[0] in DUALS else ""
    return None if rest else Place(parts[0], side, dual)
