"""What was read from a write-up."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from advisor.model.case import Answer, Span, SpeedRange, WorkDone

ONE_VALUE = ("speed", "growth")  # keys of symptoms that take one value, not a list
PLACED = ("wear", "danger", "seen")  # keys of symptoms that are said of a wheel


@dataclass(frozen=True)
class Mark:
    """A stretch of text and what it was understood as: symptom and value, as in a case."""

    symptom: str
    value: str
    span: Span


@dataclass(frozen=True)
class ReadWriteUp:
    """A write-up as understood.

    is_vibration: it complains of a vibration of the rolling vehicle. answers: symptoms said to be
    there or not. speed: where it is felt. denied: symptom ids said not to be there, `fine.<part>`
    for parts called good, `smooth.<where>` for speeds called smooth. safety: symptom ids that must
    not wait. asides: marks of what is no answer (parts called fine, earlier tries). notes: what a
    reader should know (two complaints, a verdict of somebody else). personal: names, phone numbers
    and addresses, to be hidden in reports.
    """

    text: str
    is_vibration: bool = False
    answers: tuple[Answer, ...] = ()
    speed: SpeedRange | None = None
    work_done: tuple[WorkDone, ...] = ()
    denied: tuple[str, ...] = ()
    safety: tuple[str, ...] = ()
    asides: tuple[Mark, ...] = ()
    notes: tuple[str, ...] = ()
    personal: tuple[Span, ...] = ()

    @property
    def marks(self) -> tuple[Mark, ...]:
        """Every stretch that was understood, in order; made when asked for."""
        made = set(self.asides)
        for answer in self.answers:
            key, _, value = answer.symptom.partition(".")
            if answer.span is not None:
                shown = value if answer.state == "yes" else f"not {value}"
                made.add(Mark(key, shown, answer.span))
        for work in self.work_done:
            if work.span is not None:
                made.add(Mark("work_done", work.what, work.span))
        if self.speed is not None and self.speed.span is not None:
            made.add(Mark("speed", "range", self.speed.span))
        return tuple(sorted(made, key=_mark_order))

    def to_json_dict(self) -> dict[str, Any]:
        """The document of `read --format json`: symptoms in the shape of a case file."""
        return {
            "schema": 1,
            "is_vibration": self.is_vibration,
            "symptoms": self._symptoms(),
            "work_done": [_work(work) for work in self.work_done],
            "denied": list(self.denied),
            "safety": list(self.safety),
            "spans": [
                {
                    "symptom": mark.symptom,
                    "value": mark.value,
                    "start": mark.span.start,
                    "end": mark.span.end,
                    "text": mark.span.text,
                }
                for mark in self.marks
            ],
        }

    def _symptoms(self) -> dict[str, Any]:
        found: dict[str, Any] = {}
        for answer in self.answers:
            key, _, value = answer.symptom.partition(".")
            if answer.state != "yes" or key == "speed":
                continue
            if key in ONE_VALUE:
                found[key] = value
            elif key in PLACED and answer.place is not None:
                found.setdefault(key, {}).setdefault(str(answer.place), []).append(value)
            elif key in PLACED:
                found.setdefault(key, {})[value] = "yes"
            else:
                found.setdefault(key, []).append(value)
        speed = self._speed()
        return {**found, "speed": speed} if speed else found

    def _speed(self) -> dict[str, Any]:
        made: dict[str, Any] = {}
        if self.speed is not None:
            for name in ("low_mph", "high_mph", "peak_mph"):
                if getattr(self.speed, name) is not None:
                    made[name] = getattr(self.speed, name)
        for answer in self.answers:
            if answer.state == "yes" and answer.symptom.startswith("speed."):
                made["pattern"] = answer.symptom.partition(".")[2]
        return made


def _work(work: WorkDone) -> dict[str, str]:
    made = {"what": work.what, "result": work.result}
    return {**made, "where": str(work.place)} if work.place is not None else made


def _mark_order(mark: Mark) -> tuple[int, int, str, str]:
    return mark.span.start, mark.span.end, mark.symptom, mark.value
