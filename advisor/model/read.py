"""What was read from a write-up."""

from __future__ import annotations

from dataclasses import dataclass

from advisor.model.case import Answer, Span, SpeedRange, WorkDone


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
    not wait. notes: what a reader should know (two complaints, a verdict of somebody else).
    personal: names, phone numbers and addresses, to be hidden in reports.
    """

    text: str
    is_vibration: bool = False
    answers: tuple[Answer, ...] = ()
    speed: SpeedRange | None = None
    work_done: tuple[WorkDone, ...] = ()
    denied: tuple[str, ...] = ()
    safety: tuple[str, ...] = ()
    marks: tuple[Mark, ...] = ()
    notes: tuple[str, ...] = ()
    personal: tuple[Span, ...] = ()
