"""Readings worked out on their own, without a case: what `advisor runout` and `balance` show."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from advisor.model.diagnosis import CautionNote, PackStamp, ReadingNote, SourceNote


@dataclass(frozen=True)
class ReadingSheet:
    """kind: runout or balance; notes: one for each reading, then what they say together; evidence:
    (note index, inspection, place, probability that it found something)."""

    kind: str
    vehicle: str
    notes: tuple[ReadingNote, ...]
    evidence: tuple[tuple[int, str, str, float], ...]
    cautions: tuple[CautionNote, ...]
    sources: tuple[SourceNote, ...]
    pack: PackStamp

    def data(self) -> dict[str, Any]:
        """The same as plain JSON values."""
        return {
            "schema": 1,
            "kind": self.kind,
            "vehicle": self.vehicle,
            "pack": {"version": self.pack.version, "sha256": self.pack.sha256},
            "readings": [note.model_dump(mode="json") for note in self.notes],
            "evidence": [
                {"reading": n, "inspection": i, "place": p, "probability_found": round(v, 4)}
                for n, i, p, v in self.evidence
            ],
            "cautions": [c.model_dump(mode="json") for c in self.cautions],
            "sources": [s.model_dump(mode="json") for s in self.sources],
        }
