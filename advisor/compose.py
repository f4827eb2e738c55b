"""Assessment and plan -> the one document that every report reads."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from math import prod

from advisor.assessment import Assessment
from advisor.compose_notes import (
    cited,
    confidence,
    conflicts,
    diagram,
    firmness,
    limitations,
    order_bands,
    unknown,
)
from advisor.evidence.network import groups_of
from advisor.inference.conflict import Conflict
from advisor.inference.posterior import Weighed
from advisor.model.case import Case
from advisor.model.diagnosis import (
    CautionNote,
    Diagnosis,
    Marked,
    PackStamp,
    PlaceShare,
    PlannedInspection,
    Question,
    RankedCause,
    RankedFamily,
    Safety,
    Statement,
    StopRule,
    VehicleNote,
)
from advisor.model.pack import COMPLAINT, Pack

LEAST_DECIBANS = 0.3
DIGITS = 6


def compose(
    assessed: Assessment,
    weighed: Sequence[Weighed],
    families: Mapping[str, float],
    safety: Safety,
    plan: Sequence[PlannedInspection],
    asked: Sequence[Question],
    stop: StopRule,
    fit: Conflict,
) -> Diagnosis:
    """Put everything a report shows into one document."""
    case, pack = assessed.case, assessed.pack
    causes = ranked_causes(assessed, weighed)
    notes = limitations(assessed, causes, fit)
    hangs = firmness(weighed, causes[0].id if causes else "")
    caution_ids = [c for f in safety.findings for c in f.cautions]
    caution_ids += [c for step in plan for c in step.cautions]
    caution_ids += [c for cause in causes[:5] for c in pack.causes[cause.id].remedy.cautions]
    cautions = caution_notes(pack, caution_ids)
    return Diagnosis(
        case=case.id,
        title=case.title,
        unit=case.unit,
        reported=case.reported or "",
        demo=case.demo,
        pack=PackStamp(version=pack.info.version, sha256=pack.sha256, overlay=pack.overlay),
        vehicle=vehicle_note(assessed),
        write_up=case.write_up,
        spans=marks_of(case),
        answers=[w.finding.says for w in weighed if w.finding.symptom != COMPLAINT],
        safety=safety,
        causes=causes,
        families=[
            RankedFamily(id=f, name=pack.families[f].name, probability=round(p, DIGITS))
            for f, p in sorted(families.items(), key=lambda item: (-item[1], item[0]))
        ],
        inspections=list(plan),
        questions=list(asked),
        orders=order_bands(assessed),
        diagram=diagram(assessed),
        unknown=unknown(assessed, asked),
        limitations=notes,
        conflicts=conflicts(case),
        stop=stop,
        firmness=hangs,
        confidence=confidence(assessed, causes, hangs, fit),
        cautions=cautions,
        sources=cited(pack, assessed.case.vehicle.type, causes, plan, safety, cautions),
    )


def marks_of(case: Case) -> list[Marked]:
    """The stretches of the write-up that were understood."""
    return [
        Marked(
            symptom=m.symptom, value=m.value, start=m.span.start, end=m.span.end, text=m.span.text
        )
        for m in case.marks
    ]


def likeliest(assessed: Assessment) -> list[str]:
    """Causes by probability; ties go by id."""
    chance = assessed.now.cause
    return sorted(chance, key=lambda c: (-round(chance[c], 9), c))


def ranked_causes(assessed: Assessment, weighed: Sequence[Weighed]) -> list[RankedCause]:
    """Causes by probability, each with what speaks for and against it."""
    pack, posterior = assessed.pack, assessed.now
    made = []
    for id_ in likeliest(assessed):
        cause = pack.causes[id_]
        statements = [s for w in weighed if (s := _statement(assessed, w, id_)) is not None]
        made.append(
            RankedCause.model_validate(
                {
                    "id": id_,
                    "family": cause.family,
                    "name": cause.name,
                    "what": cause.what,
                    "probability": round(posterior.cause[id_], DIGITS),
                    "prior": round(_prior(assessed, id_), DIGITS),
                    "places": places(assessed, id_),
                    "for": _strongest(s for s in statements if s.decibans > 0),
                    "against": _strongest(s for s in statements if s.decibans < 0),
                    "confirm": cause.confirm,
                    "danger": cause.danger,
                    "remedy": list(cause.remedy.steps),
                    "verify": cause.remedy.verify,
                }
            )
        )
    return made


def _prior(assessed: Assessment, cause: str) -> float:
    nodes = assessed.network.nodes_of[cause]
    return 1 - prod(1 - float(p) for p in assessed.network.prior[nodes.start : nodes.stop])


def places(assessed: Assessment, cause: str, most: int | None = None) -> list[PlaceShare]:
    """Where the cause is likely to be, likeliest first. most: None for all places."""
    states = assessed.network.states_of(cause)
    here = assessed.network.place_names[states.start : states.stop]
    chances = assessed.now.state[states.start : states.stop].tolist()
    shares = [(place, round(p, DIGITS)) for place, p in zip(here, chances, strict=True) if place]
    axle: dict[str, float] = {}
    for place, p in shares:
        group = place.split("_")[0]
        axle[group] = axle.get(group, 0.0) + p
    # which axle first, then which side of it
    shares.sort(key=lambda s: (-axle[s[0].split("_")[0]], -s[1], s[0]))
    return [PlaceShare(place=place, probability=p) for place, p in shares[:most]]


def _strongest(statements: Iterable[Statement]) -> list[Statement]:
    return sorted(statements, key=lambda s: (-abs(s.decibans), s.symptom, s.place))


def _statement(assessed: Assessment, weighed: Weighed, cause: str) -> Statement | None:
    """What one finding says about one cause, or None when it says next to nothing."""
    finding, gain = weighed.finding, weighed.decibans[cause]
    if abs(gain) < LEAST_DECIBANS or finding.symptom == COMPLAINT:
        return None
    rule = _rule_used(assessed, weighed, cause)
    return Statement(
        symptom=finding.symptom,
        place=str(finding.place or ""),
        says=finding.says,
        decibans=round(gain, 2),
        rule=rule.id if rule else "",
        because=rule.because if rule else _why_without_rule(weighed, gain),
        mistaken_when=rule.mistaken_when if rule else "",
        source=rule.source if rule else "own-derivation",
        origin=finding.origin,
    )


def _why_without_rule(weighed: Weighed, gain: float) -> str:
    computed = weighed.finding.origin == "computed" or "." in weighed.finding.symptom[:6]
    if weighed.finding.symptom in ("speed.band",) or weighed.finding.symptom.startswith(
        "frequency"
    ):
        return "Computed from tire size, speed and the mode bands of this vehicle."
    if gain < 0:
        return "Other causes explain this better."
    return "Follows from the figures given." if computed else "No other cause explains it better."


def _rule_used(assessed: Assessment, weighed: Weighed, cause: str):  # type: ignore[no-untyped-def]
    """The rule behind a finding's link to a cause, at the likeliest place."""
    best = (-1.0, "")
    for node, rule_id in weighed.finding.rules.items():
        if assessed.network.nodes[node].cause == cause:
            best = max(best, (float(assessed.now.node[node]), rule_id))
    return assessed.rule(best[1]) if best[1] else None


def vehicle_note(assessed: Assessment) -> VehicleNote:
    """The vehicle as understood."""
    vehicle, info = assessed.case.vehicle, assessed.pack.vehicles[assessed.case.vehicle.type]
    return VehicleNote(
        type=vehicle.type,
        name=info.name,
        tire=vehicle.tire or "",
        axle_ratio=vehicle.axle_ratio,
        duty=vehicle.duty or "",
        wheel=vehicle.wheel or "",
        groups=[g.group for g in groups_of(assessed.pack, vehicle)],
        in_scope=info.in_scope,
    )


def caution_notes(pack: Pack, ids: Iterable[str]) -> list[CautionNote]:
    """Each caution once, in full."""
    made = []
    for id_ in dict.fromkeys(ids):
        c = pack.cautions[id_]
        made.append(
            CautionNote(id=id_, short=c.short, text=c.text, source=c.source, us_rule=c.us_rule)
        )
    return made
