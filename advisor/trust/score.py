"""Scores over closed cases: how often right, how well calibrated, what each evidence adds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from advisor.model.case import Case
from advisor.model.pack import Pack
from advisor.trust.outcomes import KINDS, Outcome, outcomes

DRAWS = 2000
SEED = 1
BINS = 10
FLOOR = 1e-6


@dataclass(frozen=True)
class Figures:
    """Scores of a set of cases.

    first, top_three: share of cases whose best-ranked confirmed cause is first, or in the first
    three; all_in_three: every confirmed cause is; reciprocal_rank: mean of 1 / best rank;
    log_loss: mean over cases and causes of -ln p of what was so (nats); brier: mean squared error
    of presence (Brier, Monthly Weather Review 78, 1950, for each cause as an event).
    """

    cases: int
    first: float
    top_three: float
    all_in_three: float
    reciprocal_rank: float
    log_loss: float
    brier: float


@dataclass(frozen=True)
class Interval:
    """90 % bootstrap interval of a figure over cases."""

    low: float
    high: float


@dataclass(frozen=True)
class Bin:
    """Cases and causes whose probability fell between two edges: mean of it, share that was so."""

    low: float
    high: float
    count: int
    said: float
    was: float


@dataclass(frozen=True)
class Score:
    """All that `advisor score` shows."""

    whole: Figures
    intervals: dict[str, Interval]
    by_vehicle: dict[str, Figures]
    by_family: dict[str, Figures]
    reliability: tuple[Bin, ...]
    calibration_error: float
    confusion: dict[tuple[str, str], int]
    left_out: dict[str, Figures]
    outcomes: tuple[Outcome, ...]


def figures(results: Sequence[Outcome]) -> Figures:
    """The figures of some outcomes."""
    p, y = said_and_was(results)
    return Figures(
        len(results),
        float(np.mean([r.first == 1 for r in results])),
        float(np.mean([r.first <= 3 for r in results])),
        float(np.mean([r.all_by <= 3 for r in results])),
        float(np.mean([1 / r.first for r in results])),
        float(-np.mean(np.where(y, np.log(p), np.log1p(-p)))),
        float(np.mean((p - y) ** 2)),
    )


def said_and_was(results: Sequence[Outcome]) -> tuple[np.ndarray, np.ndarray]:
    """Every cause of every case: probability said, and whether it was so."""
    p = [r.probability[c] for r in results for c in r.probability]
    y = [c in r.found for r in results for c in r.probability]
    return np.clip(np.array(p), FLOOR, 1 - FLOOR), np.array(y, dtype=bool)


def intervals(results: Sequence[Outcome], draws: int = DRAWS) -> dict[str, Interval]:
    """Bootstrap over cases (Efron 1979, from memory), seeded."""
    rng = np.random.default_rng(SEED)
    ranks = np.array([r.first for r in results])
    chosen = rng.integers(0, len(ranks), (draws, len(ranks)))
    drawn = ranks[chosen]
    made = {
        "first": (drawn == 1).mean(axis=1),
        "top_three": (drawn <= 3).mean(axis=1),
        "reciprocal_rank": (1 / drawn).mean(axis=1),
    }
    return {k: Interval(*map(float, np.quantile(v, (0.05, 0.95)))) for k, v in made.items()}


def reliability(results: Sequence[Outcome]) -> tuple[Bin, ...]:
    """Said against was, in ten bins."""
    return bins_of(*said_and_was(results))


def bins_of(p: np.ndarray, y: np.ndarray) -> tuple[Bin, ...]:
    """Ten bins of equal width; empty ones are left out."""
    place = np.minimum((p * BINS).astype(int), BINS - 1)
    made = []
    for b in range(BINS):
        here = place == b
        if here.any():
            n, said, was = int(here.sum()), float(p[here].mean()), float(y[here].mean())
            made.append(Bin(b / BINS, (b + 1) / BINS, n, said, was))
    return tuple(made)


def calibration_error(bins: Sequence[Bin]) -> float:
    """Expected calibration error: mean of |said - was| weighted by count."""
    total = sum(b.count for b in bins)
    return sum(b.count * abs(b.said - b.was) for b in bins) / total


def confusion(results: Sequence[Outcome], pack: Pack) -> dict[tuple[str, str], int]:
    """(family found, family of the first cause) -> cases."""
    made: dict[tuple[str, str], int] = {}
    for r in results:
        found = [pack.causes[c].family for c in r.found]
        said = pack.causes[r.ranking[0]].family
        key = (said if said in found else found[0], said)
        made[key] = made.get(key, 0) + 1
    return made


def score(cases: Sequence[Case], pack: Pack, leave_out: bool = True) -> Score:
    """Everything; leave_out: also without each kind of evidence in turn."""
    results = outcomes(cases, pack)
    bins = reliability(results)
    groups: dict[str, list[Outcome]] = {}
    for r in results:
        groups.setdefault(r.vehicle, []).append(r)
    families: dict[str, list[Outcome]] = {}
    for r in results:
        for family in dict.fromkeys(pack.causes[c].family for c in r.found):
            families.setdefault(family, []).append(r)
    left_out = {}
    if leave_out:
        for kind, without in KINDS.items():
            left_out[kind] = figures(outcomes([without(case) for case in cases], pack))
    return Score(
        figures(results),
        intervals(results),
        {k: figures(v) for k, v in sorted(groups.items())},
        {k: figures(v) for k, v in sorted(families.items())},
        bins,
        calibration_error(bins),
        confusion(results, pack),
        left_out,
        tuple(results),
    )
