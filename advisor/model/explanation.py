"""Why one cause stands where it stands, as a document."""

from __future__ import annotations

from dataclasses import dataclass

from advisor.model.diagnosis import PackStamp, RankedCause


@dataclass(frozen=True)
class Changer:
    """An answer or a result nobody has given yet, and the cause's probability after each."""

    symptom: str
    says: str
    if_yes: float
    if_no: float
    first_if_yes: str
    first_if_no: str


@dataclass(frozen=True)
class Explanation:
    """All that `advisor why` shows."""

    case: str
    rank: int
    cause: RankedCause
    pack: PackStamp
    changers: tuple[Changer, ...]
    sources: dict[str, str]
    confirm: str
    remedy: tuple[str, ...]
    verify: str
    sensitivity: tuple[str, ...] = ()
