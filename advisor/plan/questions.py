"""Which questions to the driver would settle most."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from advisor.model.diagnosis import Question
from advisor.model.network import Array, Posterior
from advisor.model.pack import Pack, Symptom
from advisor.plan.assess import Assess

SHORTLIST = 14
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
    ]
    if not open_:
        return []
    promise = _promises(assess, open_)
    ranked = sorted(zip(-promise, open_, strict=True), key=lambda pair: (pair[0], pair[1].id))
    made = [_question(assess, symptom) for _, symptom in ranked[:shortlist]]
    made.sort(key=lambda q: (-round(q.bits, 9), q.symptom))
    return [q for q in made if q.bits >= LEAST_BITS][:most]


def _promises(assess: Assess, symptoms: Sequence[Symptom]) -> Array:
    """A quick estimate: spread of each answer's probability over the causes in play."""
    both = [assess.links(symptom.id, None) for symptom in symptoms]
    links, leaks = np.array([link for link, _ in both]), np.array([leak for _, leak in both])
    p = assess.now.state
    shown = 1 - (1 - leaks[:, None]) * (1 - links)
    mean = shown @ p / max(float(p.sum()), 1e-12)
    spread = (shown - mean[:, None]) ** 2 @ (p * (1 - np.minimum(p, 1)))
    return np.asarray(spread / np.maximum(mean * (1 - mean), 0.02))


def _question(assess: Assess, symptom: Symptom) -> Question:
    supposed = assess.suppose(symptom.id, [None])
    yes, no, chance = supposed.yes, supposed.no, supposed.chance
    bits = entropy(assess.now) - chance * entropy(yes) - (1 - chance) * entropy(no)
    return Question(
        symptom=symptom.id,
        ask=symptom.ask,
        bits=max(0.0, round(bits, 6)),
        if_yes=top(yes.cause),
        if_no=top(no.cause),
    )


def top(causes: Mapping[str, float]) -> str:
    """The first cause; ties go by id."""
    return min(causes, key=lambda c: (-causes[c], c))


def entropy(posterior: Posterior) -> float:
    """Sum over causes of the binary entropy of presence, in bits."""
    p: Array = np.clip(np.array(list(posterior.cause.values())), 1e-12, 1 - 1e-12)
    return float(-(p * np.log2(p) + (1 - p) * np.log2(1 - p)).sum())
