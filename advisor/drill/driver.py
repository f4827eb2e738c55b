"""What the driver of a played case answers: the case's own words, else drawn from the rules."""

from __future__ import annotations

from dataclasses import dataclass, replace

from advisor.drill.world import World
from advisor.model.case import Answer, Case
from advisor.model.pack import Pack, SymptomKey

WORK = "work_done"
MINUTES_PER_QUESTION = 1.0  # judgement


@dataclass(frozen=True)
class Told:
    """Answers to one question; from_case: false where the rules had to answer."""

    answers: tuple[Answer, ...]
    from_case: bool


def topics(pack: Pack) -> list[SymptomKey]:
    """What the driver can be asked about; the order is that of the rules."""
    return [
        key
        for key in pack.keys.values()
        if not key.placed and any(v.ask and v.observable == "driver" for v in key.values.values())
    ]


def ask(case: Case, world: World, key: SymptomKey) -> Told:
    """The driver's answer about one topic."""
    own = tuple(a for a in case.answers if a.symptom.partition(".")[0] == key.key)
    if own:
        return Told(own, from_case=True)
    if key.key in ("speed", "speed_range") and case.speed is not None:
        return Told((), from_case=True)
    made: list[Answer] = []
    for name, value in key.values.items():
        if not value.ask or value.observable != "driver":
            continue
        shows = world.draw(f"{key.key}.{name}", None)
        if shows and not (key.exclusive and any(a.state == "yes" for a in made)):
            made.append(Answer(f"{key.key}.{name}", "yes"))
    return Told(tuple(made), from_case=False)


def with_told(known: Case, told: Told, key: SymptomKey, case: Case) -> Case:
    """What the player knows now."""
    answers = [a for a in known.answers if a.symptom.partition(".")[0] != key.key]
    speed = case.speed if key.key in ("speed", "speed_range") else known.speed
    return replace(known, answers=(*answers, *told.answers), speed=speed)
