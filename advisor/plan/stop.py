"""When to stop looking: confirmed, worth going on, or a matter for a specialist.

A cause is called confirmed only where one of its own confirming inspections has shown it; what
symptoms alone make likely is called likely, however sure.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from advisor.model.diagnosis import PlannedInspection, StopRule
from advisor.model.network import Finding
from advisor.model.pack import Cause, Pack

SURE_ENOUGH = 0.85
AS_GOOD_AS_FOUND = 0.9  # a measured result this likely to be over its limit counts as found
LEAST_CHANCE = 0.03  # an inspection less likely than this to find the fault is not worth its time


def stop_rule(
    pack: Pack,
    causes: Mapping[str, float],
    findings: Sequence[Finding],
    plan: Sequence[PlannedInspection],
) -> StopRule:
    """Settled when a probable cause has been shown by one of its own confirming inspections."""
    confirmed = confirmed_causes(pack, causes, findings)
    for cause_id, by in confirmed.items():
        cause = pack.causes[cause_id]
        shown = ", ".join(pack.inspections[i].name for i in by)
        says = f"{_named(cause)} is confirmed by: {shown}. Correct it, then verify: "
        return StopRule(state="settled", says=says + cause.remedy.verify)
    first = pack.causes[min(causes, key=lambda c: (-causes[c], c))]
    likely = causes[first.id] >= SURE_ENOUGH and bool(first.confirmed_by)
    if any(p.chance >= LEAST_CHANCE and not p.safety for p in plan):
        on = "Go on with the inspections below, in this order."
        return StopRule(state="continue", says=f"{_unconfirmed(first)}. {on}" if likely else on)
    return StopRule(state="specialist", says=_nothing_left(first, likely))


def confirmed_causes(
    pack: Pack, causes: Mapping[str, float], findings: Sequence[Finding]
) -> dict[str, list[str]]:
    """Probable causes that their own confirming inspections have shown, likeliest first: cause ->
    inspections that did."""
    shown = {
        f.symptom.removeprefix("found.")
        for f in findings
        if f.symptom.startswith("found.")
        and (f.kind == "present" or (f.kind == "soft" and f.lambda1 >= AS_GOOD_AS_FOUND))
    }
    made = {}
    for cause_id in sorted(causes, key=lambda c: (-causes[c], c)):
        by = [i for i in pack.causes[cause_id].confirmed_by if i in shown]
        if causes[cause_id] >= SURE_ENOUGH and by:
            made[cause_id] = by
    return made


def _named(cause: Cause) -> str:
    """Its name at the head of a sentence."""
    return cause.name[:1].upper() + cause.name[1:]


def _unconfirmed(cause: Cause) -> str:
    """What is said of a cause that symptoms alone make likely."""
    named = _named(cause)
    return f"{named} is very likely but not confirmed: none of its own checks has shown it"


def _nothing_left(first: Cause, likely: bool) -> str:
    """What to do when no inspection is worth its time."""
    if not likely:
        return (
            "Nothing left here is likely enough to find the fault to be worth its time. "
            + first.specialist
        )
    return (
        f"{_unconfirmed(first)}, and no inspection left is worth its time. It is likely enough to "
        f"correct; whether it was the cause only this tells: {first.remedy.verify} Otherwise: "
        f"{first.specialist}"
    )
