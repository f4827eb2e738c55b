"""Why one cause stands where it stands: for, against, not known, what would change it."""

from __future__ import annotations

from advisor.compose import ranked_causes
from advisor.compose_notes import source_text
from advisor.errors import AdvisorError, did_you_mean, one_of
from advisor.inference.posterior import first_cause
from advisor.model.case import Case
from advisor.model.diagnosis import PackStamp
from advisor.model.explanation import Changer, Explanation
from advisor.model.pack import Pack
from advisor.pipeline import assess, weights_of
from advisor.trust.sensitivity import Sensitivity, sensitivity

MOST_CHANGERS = 10


def explain(case: Case, cause: str, pack: Pack) -> Explanation:
    """Explain one cause of a case."""
    if cause not in pack.causes:
        hint = did_you_mean(cause, pack.causes)
        raise AdvisorError(f'"{cause}" is not a cause; allowed: {one_of(pack.causes, 40)}; {hint}')
    assessed = assess(case, pack)
    ranked = ranked_causes(assessed, weights_of(assessed))
    place = next((i for i, c in enumerate(ranked) if c.id == cause), None)
    if place is None:
        name = pack.vehicles[case.vehicle.type].name
        raise AdvisorError(f"{cause}: a {name} cannot have this cause")
    answered = {f.symptom for f in assessed.findings}
    open_ = [
        rule.symptom
        for rule in pack.rules
        if rule.symptom not in answered
        and any(cause in pack.causes_named(n) for names in rule.shows.values() for n in names)
    ]
    asked = [s for s in dict.fromkeys(open_) if not s.startswith(("cured_by.", "came_back_after."))]
    changers = [
        Changer(
            symptom,
            pack.symptoms[symptom].name,
            supposed.yes.cause[cause],
            supposed.no.cause[cause],
            first_cause(supposed.yes),
            first_cause(supposed.no),
        )
        for symptom, supposed in zip(asked, assessed.suppose_each(asked), strict=True)
    ]
    changers.sort(key=lambda c: (-abs(c.if_yes - c.if_no), c.symptom))
    shown = ranked[place]
    used = {s.source for s in [*shown.for_, *shown.against]} | {pack.causes[cause].source}
    stamp = PackStamp(version=pack.info.version, sha256=pack.sha256, overlay=pack.overlay)
    info = pack.causes[cause]
    return Explanation(
        case.id,
        place + 1,
        shown,
        stamp,
        tuple(changers[:MOST_CHANGERS]),
        {id_: source_text(pack.sources[id_]) for id_ in sorted(used)},
        info.confirm,
        tuple(info.remedy.steps),
        info.remedy.verify,
        words_of(sensitivity(assessed), pack),
    )


def words_of(found: Sensitivity, pack: Pack) -> tuple[str, ...]:
    """How far the first place hangs on the words of single rules, in sentences."""
    first = pack.causes[found.first].name
    rivals = ", ".join(f"{pack.causes[c].name} {p:.0%}" for c, p in list(found.rivals.items())[:3])
    made = [
        f"With the words of all {found.rules_used} rules in use up to one step off at random, "
        f"{first} stays first in {found.share:.0%} of tries"
        + (f" (else: {rivals})." if rivals else ".")
    ]
    for hinge in found.hinges:
        made.append(
            f"If rule {hinge.rule} ({hinge.finding}) were {hinge.step}, "
            f"{pack.causes[hinge.first].name} would be first."
        )
    if not found.hinges:
        made.append("No single rule, one step up or down, changes which cause is first.")
    return tuple(made)
