"""One step of the walk, as every front end shows it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from advisor.model.diagnosis import CautionNote, PlannedInspection, Question, Safety, StopRule

Kind = Literal["safety", "question", "inspection", "settled", "specialist"]


@dataclass(frozen=True)
class Lead:
    """A cause near the top: id, name, probability and its likeliest place ('' if anywhere)."""

    id: str
    name: str
    probability: float
    place: str


@dataclass(frozen=True)
class Remedy:
    """What corrects a confirmed cause, and how to know that it did."""

    cause: str
    name: str
    place: str
    confirmed_by: tuple[str, ...]
    steps: tuple[str, ...]
    needs: str
    verify: str
    if_it_comes_back: str
    cautions: tuple[CautionNote, ...]
    danger: str
    danger_because: str
    source: str


@dataclass(frozen=True)
class Step:
    """What comes next.

    id: inspection@place, a symptom, or the kind; confirm: hazards that must be confirmed with
    `ready` before a result is taken; open_now, opens, closes: states of access in words; leads: the
    first causes; remedies: where a cause is confirmed; number: steps answered so far, plus one.
    """

    kind: Kind
    id: str
    number: int
    safety: Safety
    leads: tuple[Lead, ...]
    stop: StopRule
    inspection: PlannedInspection | None = None
    question: Question | None = None
    cautions: tuple[CautionNote, ...] = ()
    confirm: bool = False
    open_now: tuple[str, ...] = ()
    closes: tuple[str, ...] = ()
    remedies: tuple[Remedy, ...] = ()
    skipped_safety: tuple[str, ...] = ()


@dataclass(frozen=True)
class Reply:
    """What an answer did: lines to tell, and whether the case changed. ended: stop was said."""

    says: tuple[str, ...]
    changed: bool = False
    ended: bool = False
