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
from advisor.model.read import ReadWriteUp
from advisor.model.stack import StackRow
from advisor.physics import tire as tires
from advisor.plan.safety import gate_of
from advisor.triage.told import Told, told_by


@dataclass(frozen=True)
class RowRead:
    """A row as understood. date: ISO or empty; told: what it tells, whether a complaint or not;
    safety: symptoms that must not wait; level, act: what those words alone ask for; notes: what to
    know about how it was read. text and driver are masked unless asked for."""

    line: int
    unit: str
    date: str
    text: str
    is_vibration: bool
    told: Told
    safety: tuple[str, ...] = ()
    level: str = "none"
    act: str = ""
    notes: tuple[str, ...] = ()
    shop: str = ""
    batch: str = ""
    driver: str = ""
    item: str = ""
    path: str = ""
    file: str = ""


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
        self._types: dict[str, str] = {bare(v.id): v.id for v in pack.vehicles.values()}
        self._types |= {bare(v.name): v.id for v in pack.vehicles.values()}
        self._items = _item_table(pack)
        self._vehicles: dict[tuple[str, str, str], tuple[Vehicle, tuple[str, ...]]] = {}
        self._urgent: dict[tuple[str, ...], tuple[str, str]] = {}

    def read(self, row: StackRow) -> RowRead:
        """The row as understood; the same row always reads the same."""
        read = self.read_text(row)
        vehicle, notes = self._vehicle(row)
        date = read_date(row.date, self.day_first) or ""
        if row.date and not date:
            notes = (*notes, f'date "{row.date}" not understood')
        told = told_by(read, vehicle)
        level, act = self._urgency(read)
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
            level=level,
            act=act,
            notes=(*notes, *(note.replace("_", " ") for note in read.notes)),
            shop=row.shop,
            batch=row.batch,
            driver=row.driver if self.show_personal else re.sub(r"\w", "#", row.driver),
            item=row.item,
            path=row.path,
            file=row.file,
        )

    def read_text(self, row: StackRow) -> ReadWriteUp:
        """The write-up read, beside the item of an inspection report if one is named; places in
        the text count from its own start."""
        prefix = self._items.get(bare(row.item), "") if row.item else ""
        if not prefix:
            return self.reader.read(row.text)
        read = self.reader.read(f"{prefix} {row.text}")
        return from_own_start(read, row.text, len(prefix) + 1)

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
        kind = type_ or self.default_vehicle
        size = self._tire(tire)
        if tire and size is None:
            notes.append(f'tire "{tire}" not known, left out')
        axle_ratio = _ratio(ratio)
        if ratio and axle_ratio is None:
            notes.append(f'axle ratio "{ratio}" not understood, left out')
        duty = self.pack.vehicles[kind].duty
        return Vehicle(kind, tire=size, axle_ratio=axle_ratio, duty=duty), tuple(notes)

    def _tire(self, said: str) -> str | None:
        name = tires.normalize(said) if said else ""
        size = tires.parse_size(name) if name else None
        computable = size is not None and size.diameter_m and tires.is_plausible(size.diameter_m)
        return name if name in self.pack.tires or computable else None

    def _urgency(self, read: ReadWriteUp) -> tuple[str, str]:
        """The level of what is said, before any ranking, and what to do now."""
        if not read.safety:
            return "none", ""
        seen = tuple(sorted({a.symptom for a in read.answers if a.state == "yes"}))
        if seen not in self._urgent:
            safety = gate_of(self.pack, {s: s for s in seen}, {})
            told = safety.findings[0] if safety.findings else None
            self._urgent[seen] = (safety.level, f"{told.says} {told.do_now}" if told else "")
        return self._urgent[seen]


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


def from_own_start(read: ReadWriteUp, text: str, shift: int) -> ReadWriteUp:
    """A read text without its first `shift` characters; what stood in them keeps no place."""

    def moved(span: Span | None) -> Span | None:
        if span is None or span.start < shift:
            return None
        return Span(span.start - shift, span.end - shift, span.text)

    asides = [(mark, moved(mark.span)) for mark in read.asides]
    return replace(
        read,
        text=text,
        answers=tuple(replace(a, span=moved(a.span)) for a in read.answers),
        speed=replace(read.speed, span=moved(read.speed.span)) if read.speed else None,
        work_done=tuple(replace(w, span=moved(w.span)) for w in read.work_done),
        asides=tuple(replace(mark, span=span) for mark, span in asides if span is not None),
        personal=tuple(span for one in read.personal if (span := moved(one)) is not None),
    )
