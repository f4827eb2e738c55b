"""Which questions to the driver would settle most."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

import numpy as np

from advisor.model.diagnosis import Question
from advisor.model.pack import Pack, Symptom
from advisor.plan.assess import Assess
from advisor.plan.promise import entropy, promises

SHORTLIST = 10  # with them nearly all that the best questions tell is found
LEAST_BITS = 0.005
DRIVE_TESTS = "drive_test"  # the key whose answers are tried on the road


def questions(
    pack: Pack,
    assess: Assess,
    most: int = 8,
    shortlist: int = SHORTLIST,
    may_drive: bool = True,
) -> list[Question]:
    """Unanswered questions by the expected drop in uncertainty about the causes, in bits.

    shortlist: how many that look promising are worked out; may_drive: False under a stop finding,
    when nobody is asked what only a drive could answer.
    """
    answered = {f.symptom for f in assess.findings if not f.implied}
    yes = {f.symptom for f in assess.findings if f.kind == "present"}
    closed = {
        s.key
        for f in assess.findings
        for s in [pack.symptoms.get(f.symptom)]
        if s is not None and s.exclusive and f.kind == "present"
    }
    open_ = [
        s
        for s in pack.symptoms.values()
        if s.ask and s.observable == "driver" and s.id not in answered and s.key not in closed
        if may_drive or s.key != DRIVE_TESTS
        if yes.isdisjoint(s.settled_by)
    ]
    if not open_:
        return []
    promise = promises(assess, open_)
    ranked = sorted(zip(-promise, open_, strict=True), key=lambda pair: (pair[0], pair[1].id))
    likely = [symptom for _, symptom in ranked[:shortlist]]
    made = _questions(assess, likely)
    made.sort(key=lambda q: (-round(q.bits, 9), q.symptom))
    return list(_one_an_aspect(pack, (q for q in made if q.bits >= LEAST_BITS)))[:most]


def _one_an_aspect(pack: Pack, asked: Iterable[Question]) -> Iterator[Question]:
    """Of questions that restate each other only the most telling: its answer settles the rest."""
    seen: set[str] = set()
    for question in asked:
        aspect = pack.symptoms[question.symptom].aspect or question.symptom
        if aspect not in seen:
            seen.add(aspect)
            yield question


def _questions(assess: Assess, symptoms: Sequence[Symptom]) -> list[Question]:
    causes = sorted(assess.now.cause)
    by_name = np.array([list(assess.now.cause).index(c) for c in causes])
    told = assess.suppose_causes([symptom.id for symptom in symptoms])
    yes, no = told.chance, 1 - told.chance
    # an answer that restates another counts less than its chance says, so "before" is their mean
    mean = yes[:, None] * told.yes + no[:, None] * told.no
    before, after_yes, after_no = entropy(np.array([mean, told.yes, told.no]))
    bits = before - yes * after_yes - no * after_no
    # ties go by id
    if_yes, if_no = (side[:, by_name].argmax(axis=1) for side in (told.yes, told.no))
    return [
        Question(
            symptom=symptom.id,
            ask=symptom.ask,
            bits=max(0.0, round(float(bits[n]), 6)),
            if_yes=causes[if_yes[n]],
            if_no=causes[if_no[n]],
        )
        for n, symptom in enumerate(symptoms)
    ]
