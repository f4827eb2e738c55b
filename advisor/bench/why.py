"""Why this step now, and why the first cause stands first."""

from __future__ import annotations

from typing import TYPE_CHECKING

from advisor.bench.step import Step
from advisor.compose import ranked_causes
from advisor.inference.posterior import weigh
from advisor.report import words

if TYPE_CHECKING:
    from advisor.bench.looking import Look

CAUSES, STATEMENTS = 2, 3


def why(look: Look, step: Step) -> list[str]:
    """Reasons in plain lines."""
    lines = []
    if step.inspection is not None:
        lines += _of_inspection(look, step)
    if step.question is not None:
        names, q = look.pack.causes, step.question
        yes, no = names[q.if_yes].name, names[q.if_no].name
        first = (
            f"{yes} stays first either way" if yes == no else f"a yes puts {yes} first, a no {no}"
        )
        lines.append(f"Of all open questions it settles most: {first}. It costs no tool.")
    a = look.assessed
    weighed = weigh(a.network, a.findings, a.grouping, a.bound, a.now)
    for cause in ranked_causes(a, weighed)[:CAUSES]:
        lines.append(f"{cause.name}: {words.chance(cause.probability)}.")
        lines += [f"  for: {s.says}. {s.because}" for s in cause.for_[:STATEMENTS]]
        lines += [f"  against: {s.says}. {s.because}" for s in cause.against[:STATEMENTS]]
    return lines


def _of_inspection(look: Look, step: Step) -> list[str]:
    planned = step.inspection
    assert planned is not None
    if planned.safety:
        return ["A safety check comes before everything else, whatever it costs."]
    if planned.id in look.planner.urgent:
        return ["A safety finding asks for it, so it comes before anything cheaper."]
    finds = words.listing([look.pack.causes[c].name for c in planned.finds])
    minutes = words.minutes(planned.minutes_with_access)
    return [
        f"It finds {finds}, {words.chance(planned.chance)} to find the fault, for {minutes}: the "
        "most for the time, with what is open now."
    ]
