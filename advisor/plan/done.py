"""Which inspections are done, and where."""

from __future__ import annotations

from advisor.model.case import Case
from advisor.model.choose import groups_of
from advisor.model.pack import Pack
from advisor.model.place import Place


def is_done(case: Case, id_: str, place: Place | None) -> bool:
    """Whether an inspection was done (or cannot be done) at a place."""
    done = [d for d in case.inspections if d.id == id_]
    if place is None:
        return bool(done)
    covered = [d.place for d in done if d.place is not None]
    if any(d.covers(place) for d in covered):
        return True
    return {d.side for d in covered if d.group == place.group} >= {"left", "right"}


def cleared(pack: Pack, case: Case) -> set[str]:
    """Inspections that came out clear at every axle where they apply."""
    not_clear = {d.id for d in case.inspections if d.outcome != "clear"}
    clear = {d.id for d in case.inspections} - not_clear
    groups = [g.group for g in groups_of(pack, case.vehicle)]
    made = set()
    for kind in (pack.inspections[id_] for id_ in clear):
        here = [g for g in groups if not kind.groups or g in kind.groups]
        places = [None] if kind.at == "vehicle" else [Place(g) for g in here]
        if places and all(is_done(case, kind.id, p) for p in places):
            made.add(kind.id)
    return made
