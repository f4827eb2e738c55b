"""What a shop's closed cases say about how common causes are, and how often signs show.

Counts update the pack's figures as pseudo-counts: a prior p worth `strength` cases becomes
(strength x p + cases with the cause) / (strength + cases), the mean of a Beta distribution. A shop
with twenty cases moves little; the pack cannot be ruined.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from advisor.evidence.network import groups_of
from advisor.model.case import Case
from advisor.model.pack import Pack, Prior

PRIOR_STRENGTH = 100.0  # cases the pack's priors are worth (judgement)
RULE_STRENGTH = 20.0  # answers a rule's word is worth (judgement)
LEAST_CHANGE = 0.005  # priors that move less are left out of the overlay
LEAST_ANSWERS = 10  # with fewer, a rule's word is left alone
GROUPS = ("steer", "drive", "tag", "trailer")


@dataclass(frozen=True)
class PriorChange:
    """A prior before and after; cases: how many closed cases had the cause there."""

    cause: str
    where: str
    before: float
    after: float
    cases: int
    of: int


@dataclass(frozen=True)
class RuleNews:
    """How often a symptom was answered yes when a cause was found, against the rule's word."""

    rule: str
    symptom: str
    cause: str
    word: str
    said: float
    seen: float
    shrunk: float
    answers: int


@dataclass(frozen=True)
class Learned:
    """All that `advisor learn` shows and writes."""

    cases: int
    priors: tuple[PriorChange, ...]
    rules: tuple[RuleNews, ...]


def learn(cases: Sequence[Case], pack: Pack, strength: float = PRIOR_STRENGTH) -> Learned:
    """Updated priors, and rules whose word the cases question. Nothing is written here."""
    return Learned(
        len(cases), tuple(prior_changes(cases, pack, strength)), tuple(rule_news(cases, pack))
    )


def prior_changes(cases: Sequence[Case], pack: Pack, strength: float) -> list[PriorChange]:
    """Beta update of every prior that some vehicle of these cases can have.

    Closed cases are complaints, not units in service: a prior is scaled to complaints by the share
    of all priors it is, updated, and scaled back, so that only the proportions are learned.
    """
    total = _total(pack)
    made = []
    for cause in pack.causes.values():
        for where in (*GROUPS, "vehicle"):
            prior = getattr(cause.prior, where)
            if not prior:
                continue
            able = [c for c in cases if _can_have(c, where, pack)]
            hits = sum(_has(c, cause.id, where) for c in able)
            share = prior / total
            after = (strength * share + hits) / (strength + len(able)) * total
            made.append(PriorChange(cause.id, where, prior, min(after, 0.9), hits, len(able)))
    return made


def _total(pack: Pack) -> float:
    return sum(
        value
        for cause in pack.causes.values()
        for where in (*GROUPS, "vehicle")
        if (value := getattr(cause.prior, where))
    )


def _can_have(case: Case, where: str, pack: Pack) -> bool:
    return where == "vehicle" or where in [g.group for g in groups_of(pack, case.vehicle)]


def _has(case: Case, cause: str, where: str) -> bool:
    """Whether a case was closed with this cause there; a cause without a place counts anywhere."""
    assert case.confirmed is not None
    for found in case.confirmed.causes:
        if found.id == cause and (
            where == "vehicle" or found.place is None or found.place.group == where
        ):
            return True
    return False


def rule_news(cases: Sequence[Case], pack: Pack) -> list[RuleNews]:
    """Rules about a single confirmed cause with enough yes and no answers to say something."""
    counts: dict[tuple[str, str], list[int]] = {}
    for case in cases:
        assert case.confirmed is not None
        found = {c.id for c in case.confirmed.causes}
        if len(found) != 1:
            continue  # with two causes nobody knows which one showed the sign
        for answer in case.answers:
            tally = counts.setdefault((answer.symptom, next(iter(found))), [0, 0])
            tally[answer.state == "yes"] += 1
    made = []
    for rule in pack.rules:
        for word, names in rule.shows.items():
            for name in names:
                for cause in pack.causes_named(name):
                    no, yes = counts.get((rule.symptom, cause), (0, 0))
                    if no + yes >= LEAST_ANSWERS:
                        said = float(pack.info.scale[word])
                        shrunk = (RULE_STRENGTH * said + yes) / (RULE_STRENGTH + no + yes)
                        made.append(
                            RuleNews(
                                rule.id,
                                rule.symptom,
                                cause,
                                word,
                                said,
                                yes / (no + yes),
                                shrunk,
                                no + yes,
                            )
                        )
    return made


def overlay_data(learned: Learned) -> dict[str, object]:
    """The learned priors as the content of an overlay file."""
    priors: dict[str, dict[str, float]] = {}
    for change in learned.priors:
        if abs(change.after / change.before - 1) < LEAST_CHANGE:
            continue
        priors.setdefault(change.cause, {})[change.where] = round(change.after, 6)
    for values in priors.values():
        Prior(**values)
    return {"shop": f"learned from {learned.cases} closed cases", "priors": priors}
