"""States of access as they follow one another: what a check opens, and what it closes again.

A room is one opened state: `raised@steer`, `wheel_off@steer`, `road`. The vehicle is not driven
with an axle in the air, so the road closes every other room, and any lift closes the road. A check
of a wheel end wants the wheel as its state leaves it: what was taken off beyond that goes back on.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from advisor.model.pack import AxleGroup, Inspection, Pack

ON_THE_ROAD = "road"


def opening(pack: Pack, groups: Sequence[AxleGroup]) -> dict[str, float]:
    """Minutes to open each room ('raised@steer', 'road') once those around it are open."""
    made: dict[str, float] = {}
    for access in pack.access.values():
        for group in groups:
            made[f"{access.id}@{group.group}"] = access.open_minutes
        made[access.id] = access.open_minutes
    return made


def rooms_of(pack: Pack, access: str, group: str | None) -> tuple[str, ...]:
    """Access states needed, outermost first; those that cost nothing are no rooms."""
    chain: list[str] = []
    state: str | None = access
    while state is not None:
        info = pack.access[state]
        if info.open_minutes > 0:
            chain.append(f"{state}@{group}" if info.per == "place" and group else state)
        state = info.after
    return tuple(reversed(chain))


def group_needed(pack: Pack, kind: Inspection, groups: Sequence[AxleGroup]) -> str | None:
    """A check of the whole vehicle that needs it raised is done at one axle group."""
    if pack.access[kind.access].per != "place":
        return None
    wanted = kind.groups or [groups[0].group]
    return next((g.group for g in groups if g.group in wanted), groups[0].group)


def kept_open(opened: Iterable[str], rooms: Sequence[str], at_wheel_end: bool) -> frozenset[str]:
    """The rooms that are open once a check in `rooms` is done.

    at_wheel_end: the check is of one wheel end, which must not be taken apart further.
    """
    here = frozenset(rooms)
    if not rooms:
        return frozenset(opened)
    if ON_THE_ROAD in here:
        return here
    kept = {room for room in opened if room != ON_THE_ROAD}
    if at_wheel_end:
        _, _, group = rooms[-1].partition("@")
        kept = {room for room in kept if room.partition("@")[2] != group}
    return frozenset(kept) | here


def closed_by(opened: Iterable[str], rooms: Sequence[str], at_wheel_end: bool) -> frozenset[str]:
    """The open rooms that a check in `rooms` closes."""
    before = frozenset(opened)
    return before - kept_open(before, rooms, at_wheel_end)
