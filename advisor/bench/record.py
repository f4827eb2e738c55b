"""The bench's own part of a case file: what is open, and every answer in turn."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import yaml

from advisor.errors import InputProblems
from advisor.intake.raw_case import RawBench, RawBenchStep
from advisor.model.pack import AxleGroup, Pack
from advisor.model.place import parse_place
from advisor.plan.access import group_needed, kept_open, rooms_of
from advisor.yaml_marks import Document, validate

ACCESS = "access"
SETTLED = "settled"


@dataclass(frozen=True)
class Record:
    """opened: rooms open now; log: answers, oldest first."""

    opened: frozenset[str] = frozenset()
    log: tuple[RawBenchStep, ...] = ()

    def with_step(self, step: RawBenchStep, opened: frozenset[str]) -> Record:
        """One answer more."""
        return replace(self, opened=opened, log=(*self.log, step))

    def ready(self) -> set[str]:
        """Steps whose hazards were confirmed."""
        return {s.step for s in self.log if s.answer == "ready"}

    def asked(self) -> set[str]:
        """Questions that were put, answered or not."""
        return {s.step for s in self.log if s.answer in ("yes", "no", "skipped")}


def read_record(document: Document, pack: Pack, groups: Sequence[AxleGroup]) -> Record:
    """The `bench:` section, checked against pack and vehicle; raises InputProblems."""
    data = document.data.get("bench")
    if not data:
        return Record()
    raw = validate(document, data, RawBench, ("bench",))
    problems = []
    for i, room in enumerate(raw.opened):
        if not _is_room(room, pack, groups):
            what = f'"{room}" is not a state of access of this vehicle'
            allowed = "such as raised@" + groups[0].group
            problems.append(document.problem(("bench", "opened", i), what, allowed))
    for i, step in enumerate(raw.log):
        if not _is_step(step.step, pack):
            what = f'"{step.step}" is no step of the bench'
            problems.append(document.problem(("bench", "log", i, "step"), what))
    if problems:
        raise InputProblems(problems)
    return Record(frozenset(raw.opened), tuple(raw.log))


def _is_room(room: str, pack: Pack, groups: Sequence[AxleGroup]) -> bool:
    state, at, group = room.partition("@")
    info = pack.access.get(state)
    if info is None or info.open_minutes <= 0:
        return False
    per_place = info.per == "place"
    return per_place == bool(at) and (not at or group in {g.group for g in groups})


def _is_step(step: str, pack: Pack) -> bool:
    name = step.partition("@")[0]
    return name in pack.inspections or name in pack.symptoms or name in (ACCESS, SETTLED)


def after_inspection(
    opened: frozenset[str], id_: str, place: str, pack: Pack, groups: Sequence[AxleGroup]
) -> frozenset[str]:
    """The rooms open once a check was done."""
    kind, here = pack.inspections[id_], parse_place(place)
    group = here.group if here else group_needed(pack, kind, groups)
    return kept_open(opened, rooms_of(pack, kind.access, group), kind.at == "wheel_end")


def replayed(
    log: Sequence[RawBenchStep], pack: Pack, groups: Sequence[AxleGroup]
) -> frozenset[str]:
    """The rooms open after these answers, from a vehicle as parked."""
    opened: frozenset[str] = frozenset()
    for step in log:
        name, _, place = step.step.partition("@")
        if step.answer == "lowered":
            opened = frozenset()
        elif step.answer in ("found", "clear", "measured") and name in pack.inspections:
            opened = after_inspection(opened, name, place, pack, groups)
    return opened


def section(record: Record) -> str:
    """The section as text: one line an answer."""
    if not record.log and not record.opened:
        return ""
    lines = ["bench:", f"  opened: [{', '.join(sorted(record.opened))}]", "  log:"]
    for step in record.log:
        said = {"step": step.step, "answer": step.answer}
        said |= {"why": step.why} if step.why else {}
        said |= {"added": step.added} if step.added else {}  # type: ignore[dict-item]
        lines.append(f"    - {flow(said)}")
    return "\n".join(lines) + "\n"


def flow(data: object) -> str:
    """Plain data on one line of YAML."""
    text = yaml.safe_dump(data, default_flow_style=True, sort_keys=False, width=10_000)
    return text.strip().removesuffix("...").strip()
