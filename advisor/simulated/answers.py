"""A driver's answers, drawn from the rule pack's own noisy-OR with the planted causes present."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from advisor.evidence.network import groups_of
from advisor.model.case import Answer, Vehicle
from advisor.model.pack import Pack, Symptom
from advisor.model.place import SIDES, Place
from advisor.odds import Odds
from advisor.simulated.planted import Planted

ANSWERS = 31  # stream of random numbers
MOST_YES = {
    "sensation": 2,
    "felt_at": 2,
    "onset": 1,
    "condition": 3,
}  # that a driver names: assumed


def odds_of(pack: Pack, vehicle: Vehicle, planted: Iterable[Planted], chatter: float = 1.0) -> Odds:
    """The odds of planted causes, every side of every axle told apart."""
    sides = [Place(group.group, side) for group in groups_of(pack, vehicle) for side in SIDES]
    return Odds(pack, vehicle, [(one.cause, one.place) for one in planted], sides, chatter)


def sample_answers(pack: Pack, odds: Odds, seed: int) -> tuple[Answer, ...]:
    """Yes or no to every symptom that can be asked, per place where it is placed.

    Of a key that allows one value at most one is a yes; of those in MOST_YES a driver names so
    many, the rest stays unsaid. What follows from speeds is left out.
    """
    rng = np.random.default_rng([seed, ANSWERS])
    answers: list[Answer] = []
    for key in pack.keys:
        asked = [s for s in pack.symptoms.values() if s.key == key and s.derive is None]
        for symptom in asked:
            places: tuple[Place | None, ...] = odds.apart if symptom.placed else (None,)
            for place in places:
                said = rng.random() < odds.of(symptom.id, place, len(places))
                answers.append(Answer(symptom.id, "yes" if said else "no", place))
        exclusive = bool(asked) and asked[0].exclusive
        most = 1 if exclusive else MOST_YES.get(key)
        if most is not None:
            answers = _at_most(most, answers, asked, odds, rng, exclusive)
    return tuple(answers)


def _at_most(
    most: int,
    answers: list[Answer],
    asked: list[Symptom],
    odds: Odds,
    rng: np.random.Generator,
    exclusive: bool,
) -> list[Answer]:
    """Keep so many yes of a key, the likelier the more often they show; what an exclusive key
    loses is a no, what another loses is unsaid."""
    ids = {s.id for s in asked}
    yes = [a.symptom for a in answers if a.symptom in ids and a.state == "yes"]
    if len(yes) <= most:
        return answers
    chance = np.array([odds.of(symptom) for symptom in yes])
    kept = rng.choice(len(yes), most, replace=False, p=chance / chance.sum())
    lost = set(yes) - {yes[int(k)] for k in kept}
    if exclusive:
        return [Answer(a.symptom, "no", a.place) if a.symptom in lost else a for a in answers]
    return [a for a in answers if a.symptom not in lost]
