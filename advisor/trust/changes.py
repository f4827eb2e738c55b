"""What differs between two rule packs, entry by entry, and what step of version it asks for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from advisor.model.base import Record
from advisor.model.pack import Pack
from advisor.rulebook.load import entry_id

TABLES = (
    "rules", "causes", "symptoms", "inspections", "limits", "vehicles", "tires", "access", "keys",
    "safety", "cautions", "limitations", "families", "sources", "work", "weights", "recordings",
)  # fmt: skip
NOT_A_CHANGE = {"version", "date", "changelog"}
STEPS = ("none", "patch", "minor", "major")
LONGEST = 70


@dataclass(frozen=True)
class EntryChange:
    """One entry that was added, removed or changed, and in which fields."""

    table: str
    id: str
    kind: str
    fields: tuple[str, ...] = ()


def entry_changes(old: Pack, new: Pack) -> Iterator[EntryChange]:
    """Entries that differ, table by table; then the pack's own figures; then other files."""
    same = True
    for table in TABLES:
        for change in _table_changes(table, _entries(old, table), _entries(new, table)):
            same = False
            yield change
    told = [f for f in fields(old.info, new.info) if f.partition(":")[0] not in NOT_A_CHANGE]
    if told:
        yield EntryChange("pack", "pack.yaml", "changed", tuple(told))
    elif same and _other_files(old) != _other_files(new):
        yield EntryChange("pack", "words, worth or columns", "changed")


def _table_changes(
    table: str, before: Mapping[str, Record], after: Mapping[str, Record]
) -> Iterator[EntryChange]:
    for id_ in sorted(before.keys() | after.keys()):
        if id_ not in after:
            yield EntryChange(table, id_, "removed")
        elif id_ not in before:
            yield EntryChange(table, id_, "added")
        elif before[id_] != after[id_]:
            yield EntryChange(table, id_, "changed", fields(before[id_], after[id_]))


def _entries(pack: Pack, table: str) -> Mapping[str, Record]:
    held = getattr(pack, table)
    return {entry_id(e): e for e in held} if isinstance(held, tuple) else dict(held)


def _other_files(pack: Pack) -> tuple[object, ...]:
    return pack.wording, pack.worth, dict(pack.report_items), pack.columns


def fields(old: Record, new: Record) -> tuple[str, ...]:
    """'background: seldom -> rarely' for every field that differs."""
    a, b = old.model_dump(mode="json"), new.model_dump(mode="json")
    return tuple(
        f"{key}: {_short(a.get(key))} -> {_short(b.get(key))}"
        for key in b
        if a.get(key) != b.get(key)
    )


def _short(value: object) -> str:
    text = str(value)
    return text if len(text) <= LONGEST else f"{text[: LONGEST - 3]}..."


def step_needed(entries: Sequence[EntryChange], first_moved: bool) -> str:
    """Major: an id went away; minor: something new, or a first cause changed; patch: the rest."""
    if any(e.kind == "removed" and e.table != "rules" for e in entries):
        return "major"
    if first_moved or any(e.kind == "added" for e in entries):
        return "minor"
    return "patch" if entries else "none"


def step_taken(old: str, new: str) -> str:
    """Which number of the version rose; none where it did not rise."""
    before, after = version_parts(old), version_parts(new)
    if after <= before:
        return "none"
    rose = next(i for i, (a, b) in enumerate(zip(before, after, strict=True)) if a != b)
    return ("major", "minor", "patch")[rose]


def version_parts(version: str) -> tuple[int, ...]:
    """1.10.0 comes after 1.9.0."""
    return tuple(map(int, version.split(".")))
