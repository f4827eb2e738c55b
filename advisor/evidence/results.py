"""Results of inspections and of remedies tried, as evidence."""

from __future__ import annotations

from math import erf, sqrt

from advisor.model.case import Answer, Case, InspectionDone, SoftFinding
from advisor.model.choose import limit_for
from advisor.model.pack import Inspection, Limit, Measure, Pack

# From here on a reading is taken as found or clear, like a result given in words (judgement).
MOST_CERTAIN = 0.98
BETTER = (0.75, 0.25)  # 'better' is half a cure: likelihood of the report if it cured, if not


def inspection_soft(case: Case, pack: Pack) -> tuple[list[SoftFinding], list[Answer], list[str]]:
    """Measured inspections as likelihoods, plain results as answers, and the numbers that no
    limit could be found for."""
    softs: list[SoftFinding] = []
    answers: list[Answer] = []
    without_limit: list[str] = []
    for done in case.inspections:
        kind = pack.inspections[done.id]
        if done.outcome in ("found", "clear"):
            state = "yes" if done.outcome == "found" else "no"
            answers.append(Answer(f"found.{done.id}", state, done.place, "measured"))  # type: ignore[arg-type]
            continue
        soft = _measured(done, kind, case, pack)
        if soft:
            softs.append(soft)
        elif done.values:
            without_limit.append(kind.name)
    return softs, answers, without_limit


def _measured(done: InspectionDone, kind: Inspection, case: Case, pack: Pack) -> SoftFinding | None:
    """The number that says most, against its limit."""
    best: tuple[float, str] | None = None
    for measure in kind.measures:
        if measure.key not in done.values:
            continue
        limit = limit_for(measure.over, pack, case.vehicle, done.place)
        if limit is None:
            continue
        value = done.values[measure.key]
        p = probability_over(value, limit, measure)
        words = f"{kind.name} {value:g} {measure.unit} ({limit_words(limit)})"
        if best is None or abs(p - 0.5) > abs(best[0] - 0.5):
            best = (p, words)
    if best is None:
        return None
    p, words = best
    if p >= MOST_CERTAIN or p <= 1 - MOST_CERTAIN:
        p = float(round(p))  # as plain as a result given in words; the rules hold its errors
    words += f", {done.place.words}" if done.place else ""
    return SoftFinding(f"found.{done.id}", p, 1 - p, done.place, words)


def limit_words(limit: Limit) -> str:
    """'limit 0.095 in' or 'limits 0.001 to 0.005 in'."""
    if limit.low is not None:
        return f"limits {limit.low:g} to {limit.value:g}"
    return f"limit {limit.value:g}"


def probability_over(value: float, limit: Limit, measure: Measure) -> float:
    """Probability that the true value is outside the limit, for a normal reading error."""
    z = (abs(value) - limit.value) / measure.repeatability
    p = 0.5 * (1 + erf(z / sqrt(2)))
    if limit.low is not None:
        below = (limit.low - abs(value)) / measure.repeatability
        p = max(p, 0.5 * (1 + erf(below / sqrt(2))))
    return min(max(p, 0.0), 1.0)


def work_findings(case: Case, pack: Pack) -> list[SoftFinding]:
    """What remedies did. The same remedy tried again with the same result is one finding."""
    latest: dict[str, str] = {}
    for done in sorted(case.work_done, key=lambda work: work.when or ""):
        if done.result != "unknown":
            latest[done.what] = done.result
    made = []
    for what, result in sorted(latest.items()):
        name = pack.work[what].name
        if result == "came_back":
            words = f"{name}: helped, then came back"
            made.append(SoftFinding(f"came_back_after.{what}", 1, 0, None, words, "asked"))
            continue
        shown, hidden = {"cured": (1.0, 0.0), "better": BETTER}.get(result, (0.0, 1.0))
        words = f"{name}: {result.replace('_', ' ')}"
        made.append(SoftFinding(f"cured_by.{what}", shown, hidden, None, words, "asked"))
    return made
