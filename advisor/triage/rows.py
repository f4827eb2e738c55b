"""One row of a stack, read: complaint or not, what it tells, what must not wait."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace

from advisor.intake.merge_write_up import masked, reader_of
from advisor.intake.stack_columns import bare
from advisor.intake.stack_dates import read_date
from advisor.model.case import Span, Vehicle
from advisor.model.pack import Pack
from advisor.model.read import Mark, ReadWriteUp
from advisor.model.stack import StackRow
from advisor.physics import tire as tires
from advisor.plan.safety import gate_of
from advisor.triage.told import Told, told_by


@dataclass(frozen=True)
class RowRead:
    """A row as understood. date: ISO or empty; told: what it tells, whether a complaint or not;
    safety: symptoms that must not wait; level: of those words alone; notes: what to know about
    how it was read. text and driver are masked unless asked for."""

    line: int
    unit: str
    date: str
    text: str
    is_vibration: bool
    told: Told
    safety: tuple[str, ...] = ()
    level: str = "none"
    notes: tuple[str, ...] = ()
    shop: str = ""
    batch: str = ""
    driver: str = ""
    item: str = ""
    path: str = ""


class RowReader:
    """Reads rows by one pack. default_vehicle: the type of a vehicle that is not named."""

    def __init__(
        self,
        pack: Pack,
        default_vehicle: str,
        day_first: bool = False,
        show_personal: bool = False,
    ):
        self.pack = pack
        self.reader = reader_of(pack)
        self.default_vehicle = default_vehicle
        self.day_first = day_first
        self.show_personal = show_personal
        self._types = {bare(v.id): v.id for v in pack.vehicles.values()}
        self._types |= {bare(v.name): v.id for v in pack.vehicles.values()}
        self._items = _item_table(pack)
        self._vehicles: dict[tuple[str, str, str], tuple[Vehicle, tuple[str, ...]]] = {}
        self._levels: dict[tuple[str, ...], str] = {}

    def read(self, row: StackRow) -> RowRead:
        """The row as understood; the same row always reads the same."""
        read = self.read_text(row)
        vehicle, notes = self._vehicle(row)
        date = read_date(row.date, self.day_first) or ""
        if row.date and not date:
            notes = (*notes, f'date "{row.date}" not understood')
        told = told_by(read, vehicle)
        if row.case is not None:
            told = Told(row.case.vehicle, source=row.path, case=row.case)
        return RowRead(
            line=row.line,
            unit=row.unit,
            date=date,
            text=row.text if self.show_personal else masked(row.text, read.personal),
            is_vibration=read.is_vibration or row.case is not None,
            told=told,
            safety=read.safety,
            level=self._level(read),
            notes=(*notes, *(note.replace("_", " ") for note in read.notes)),
            shop=row.shop,
            batch=row.batch,
            driver=row.driver if self.show_personal else re.sub(r"\w", "#", row.driver),
            item=row.item,
            path=row.path,
        )

    def read_text(self, row: StackRow) -> ReadWriteUp:
        """The write-up read, beside the item of an inspection report if one is named; places in
        the text count from its own start."""
        prefix = self._items.get(bare(row.item), "") if row.item else ""
        if not prefix:
            return self.reader.read(row.text)
        read = self.reader.read(f"{prefix} {row.text}")
        shift = len(prefix) + 1
        return replace(
            read,
            text=row.text,
            marks=tuple(m for mark in read.marks if (m := _moved(mark, shift)) is not None),
            personal=tuple(s for span in read.personal if (s := _shifted(span, shift))),
        )

    def _vehicle(self, row: StackRow) -> tuple[Vehicle, tuple[str, ...]]:
        key = (row.vehicle, row.tire, row.axle_ratio)
        if key not in self._vehicles:
            self._vehicles[key] = self._make_vehicle(*key)
        return self._vehicles[key]

    def _make_vehicle(self, said: str, tire: str, ratio: str) -> tuple[Vehicle, tuple[str, ...]]:
        notes = []
        type_ = self._types.get(bare(said))
        if said and type_ is None:
            notes.append(f'vehicle "{said}" not known, taken as {self.default_vehicle}')
        type_ = type_ or self.default_vehicle
        size = self._tire(tire)
        if tire and size is None:
            notes.append(f'tire "{tire}" not known, left out')
        axle_ratio = _ratio(ratio)
        if ratio and axle_ratio is None:
            notes.append(f'axle ratio "{ratio}" not understood, left out')
        duty = self.pack.vehicles[type_].duty
        return Vehicle(type_, tire=size, axle_ratio=axle_ratio, duty=duty), tuple(notes)

    def _tire(self, said: str) -> str | None:
        name = tires.normalize(said) if said else ""
        size = tires.parse_size(name) if name else None
        computable = size is not None and size.diameter_m and tires.is_plausible(size.diameter_m)
        return name if name in self.pack.tires or computable else None

    def _level(self, read: ReadWriteUp) -> str:
        """The level of what is said, before any ranking."""
        seen = tuple(sorted({a.symptom for a in read.answers if a.state == "yes"}))
        if not read.safety:
            return "none"
        if seen not in self._levels:
            self._levels[seen] = gate_of(self.pack, {s: s for s in seen}, {}).level
        return self._levels[seen]


def _item_table(pack: Pack) -> Mapping[str, str]:
    table = {}
    for item in pack.report_items.values():
        for name in (item.says, item.id, *item.alike):
            table[bare(name)] = item.reads_as
    return table


def _ratio(text: str) -> float | None:
    try:
        value = float(text)
    except ValueError:
        return None
    return value if 1.2 < value < 20 else None


def _shifted(span: Span, by: int) -> Span | None:
    return Span(span.start - by, span.end - by, span.text) if span.start >= by else None


def _moved(mark: Mark, by: int) -> Mark | None:
    span = _shifted(mark.span, by)
    return replace(mark, span=span) if span else None
