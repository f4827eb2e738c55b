"""What one row or one unit tells, without its words: rows that tell the same are judged once."""

from __future__ import annotations

from dataclasses import dataclass, field

from advisor.model.case import Answer, Case, SpeedRange, Vehicle, WorkDone
from advisor.model.place import parse_place
from advisor.model.read import ReadWriteUp

Said = tuple[str, str, str]  # symptom, yes or no, place


@dataclass(frozen=True)
class Told:
    """All that the ranking hangs on. source: names a whole case (a file), which is not shared."""

    vehicle: Vehicle
    answers: tuple[Said, ...] = ()
    speed: tuple[float | None, float | None, float | None] | None = None
    work: tuple[tuple[str, str], ...] = ()
    source: str = ""
    case: Case | None = field(default=None, compare=False)

    def as_case(self) -> Case:
        """The case to rank. Its write-up is left out: it has been read."""
        if self.case is not None:
            return self.case
        answers = tuple(
            Answer(symptom, state, parse_place(place) if place else None, "read")  # type: ignore[arg-type]
            for symptom, state, place in self.answers
        )
        speed = SpeedRange(*self.speed, origin="read") if self.speed else None
        work = tuple(WorkDone(what, result, origin="read") for what, result in self.work)
        return Case("stack", self.vehicle, answers=answers, speed=speed, work_done=work)


def told_by(read: ReadWriteUp, vehicle: Vehicle) -> Told:
    """What a read write-up tells about a vehicle."""
    answers = {(a.symptom, a.state, str(a.place or "")) for a in read.answers}
    speed = read.speed
    return Told(
        vehicle,
        tuple(sorted(answers)),
        (speed.low_mph, speed.high_mph, speed.peak_mph) if speed else None,
        tuple(sorted({(w.what, w.result) for w in read.work_done})),
    )
