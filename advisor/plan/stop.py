"""When to stop looking: confirmed, worth going on, or a matter for a specialist."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from advisor.model.diagnosis import PlannedInspection, StopRule
from advisor.model.network import Finding
from advisor.model.pack import Pack

SURE_ENOUGH = 0.85
LEAST_CHANCE = 0.03  # an inspection less likely than this to find the fault is not worth its time


def stop_rule(
    pack: Pack,
    causes: Mapping[str, float],
    findings: Sequence[Finding],
    plan: Sequence[PlannedInspection],
) -> StopRule:
    """Settled when a probable cause has been shown by one of its own confirming inspections."""
    shown = {
        f.symptom.removeprefix("found.")
        for f in findings
        if f.symptom.startswith("found.")
        and (f.kind == "present" or (f.kind == "soft" and f.lambda1 >= 0.9))
    }
    for cause_id in sorted(causes, key=lambda c: (-causes[c], c)):
        cause = pack.causes[cause_id]
        by = [pack.inspections[i].name for i in cause.confirmed_by if i in shown]
        if causes[cause_id] >= SURE_ENOUGH and by:
            return StopRule(
                state="settled",
                says=f"{cause.name} is confirmed by: {', '.join(by)}. Correct it, then verify: "
                f"{cause.remedy.verify}",
            )
    useful = [p for p in plan if p.chance >= LEAST_CHANCE and not p.safety]
    if useful:
        return StopRule(state="continue", says="Go on with the inspections below, in this order.")
    first = min(causes, key=lambda c: (-causes[c], c))
    return StopRule(
        state="specialist",
        says="Nothing left here is likely enough to find the fault to be worth its time. "
        + pack.causes[first].specialist,
    )
