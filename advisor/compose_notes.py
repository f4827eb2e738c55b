"""Parts of the document beside the ranking: orders, diagram, unknowns, limits of the result."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from advisor.assessment import Assessment
from advisor.evidence.speed_band import reported_band
from advisor.inference.aspects import MOST_SEEN
from advisor.inference.conflict import Conflict
from advisor.inference.posterior import Weighed
from advisor.model.case import Case
from advisor.model.choose import Rolling
from advisor.model.diagnosis import (
    CautionNote,
    Confidence,
    ConflictNote,
    Diagram,
    Firmness,
    LimitationNote,
    ModeNote,
    OrderBand,
    PlannedInspection,
    Question,
    RankedCause,
    Safety,
    SourceNote,
    Unknown,
)
from advisor.model.pack import COMPLAINT, ModeBand, Pack, Source
from advisor.physics.orders import Line, engine_lines, engine_orders, near_order, road_lines

CLOSE_CALL = 0.8
SURPRISED = 0.25
CLASHING = 0.3  # worked cases that make sense stay below 0.1
WEAK_FIRST = 0.3


def lines_of(assessed: Assessment) -> list[Line]:
    """Every order that can be drawn against road speed for this vehicle."""
    vehicle, roll = assessed.case.vehicle, assessed.evidence.roll
    lines = road_lines(roll.circumference_m, vehicle.axle_ratio)
    if vehicle.axle_ratio and vehicle.gear_ratio and vehicle.cylinders:
        lines += engine_lines(
            roll.circumference_m, vehicle.axle_ratio, vehicle.gear_ratio, vehicle.cylinders
        )
    return lines


def order_bands(assessed: Assessment) -> list[OrderBand]:
    """Each order over the reported speeds, or over 45 to 70 mph when none were given."""
    case, pack = assessed.case, assessed.pack
    top = pack.vehicles[case.vehicle.type].top_speed_mph
    band = reported_band(case.speed, top)
    low, high = (band.low_mph, band.high_mph) if band else (min(45.0, top), min(70.0, top))
    made = bands_between(lines_of(assessed), assessed.evidence.roll, low, high)
    made = shaft_note(made, case.vehicle.axle_ratio)
    if case.vehicle.engine_rpm and case.vehicle.cylinders and not case.vehicle.gear_ratio:
        made += engine_bands(case.vehicle.engine_rpm, case.vehicle.cylinders, low, high)
    return made


def bands_between(
    lines: Iterable[Line], roll: Rolling, low_mph: float, high_mph: float
) -> list[OrderBand]:
    """Order table for a range of road speeds."""
    unsure = "tire size assumed" if roll.assumed else ""
    return [
        OrderBand(
            of=line.of,
            order=line.order,
            name=line.name,
            hz_low=round(line.at(low_mph), 3),
            hz_high=round(line.at(high_mph), 3),
            mph_low=round(low_mph, 2),
            mph_high=round(high_mph, 2),
            note=unsure,
        )
        for line in lines
    ]


def shaft_note(bands: list[OrderBand], axle_ratio: float | None) -> list[OrderBand]:
    """Mark shaft order 1 where it sits so close to a wheel order that few can tell them apart."""
    near = near_order(axle_ratio) if axle_ratio else None
    if near is None:
        return bands
    text = f"lies {abs(near[1]):.1f} % from wheel order {near[0]}: hard to tell apart"
    return [
        b.model_copy(update={"note": text}) if (b.of, b.order) == ("shaft", 1) else b for b in bands
    ]


def engine_bands(rpm: float, cylinders: int, low: float, high: float) -> list[OrderBand]:
    """Engine orders at one engine speed, whatever the road speed."""
    return [
        OrderBand(
            of="engine",
            order=order,
            name=name,
            hz_low=round(order * rpm / 60, 3),
            hz_high=round(order * rpm / 60, 3),
            mph_low=low,
            mph_high=high,
            note=f"at {rpm:g} rpm",
        )
        for order, name in engine_orders(cylinders).items()
    ]


def diagram(assessed: Assessment) -> Diagram:
    """What the interference diagram is drawn from."""
    case, pack, roll = assessed.case, assessed.pack, assessed.evidence.roll
    info = pack.vehicles[case.vehicle.type]
    lines = lines_of(assessed)
    band = reported_band(case.speed, info.top_speed_mph)
    return Diagram(
        slopes=[(line.name, round(line.slope_hz_per_mph, 6)) for line in lines],
        modes=[mode_note(mode, lines[0], info.top_speed_mph) for mode in info.modes],
        band_mph=(round(band.low_mph, 2), round(band.high_mph, 2)) if band else None,
        max_mph=info.top_speed_mph,
        tire=roll.says,
        circumference_m=round(roll.circumference_m, 4),
        tolerance_percent=roll.tolerance_percent,
    )


def mode_note(mode: ModeBand, wheel_order_1: Line, top_mph: float) -> ModeNote:
    """A mode band with the speeds at which wheel order 1 crosses it."""
    low, high = (hz / wheel_order_1.slope_hz_per_mph for hz in (mode.low_hz, mode.high_hz))
    crossed = low <= top_mph
    return ModeNote(
        mode=mode.mode,
        name=mode.name,
        low_hz=mode.low_hz,
        high_hz=mode.high_hz,
        mph_low=round(low, 1) if crossed else None,
        mph_high=round(min(high, top_mph), 1) if crossed else None,
        felt=mode.felt,
        source=mode.source,
        seen=mode.seen,
    )


def unknown(assessed: Assessment, asked: Sequence[Question]) -> list[Unknown]:
    """What nobody has said that would matter, most telling first."""
    pack, case = assessed.pack, assessed.case
    made = [Unknown(symptom=q.symptom, says=pack.symptoms[q.symptom].name) for q in asked]
    if case.speed is None:
        made.append(Unknown(symptom="speed", says="the speeds at which it is felt"))
    if not any(a.symptom.startswith("wear.") for a in case.answers):
        made.append(Unknown(symptom="wear", says="how the tires are worn"))
    return made


def firmness(weighed: Sequence[Weighed], first: str) -> Firmness:
    """Whether the first place hangs on single answers."""
    hangs = [
        w.finding.says
        for w in weighed
        if w.first_without != first and w.finding.symptom != COMPLAINT
    ]
    if not hangs:
        return Firmness(
            state="firm", says="No single answer decides which cause is first.", hangs_on=[]
        )
    return Firmness(
        state="hangs",
        says="Which cause is first hangs on: " + "; ".join(hangs) + ". Check these again.",
        hangs_on=hangs,
    )


def conflicts(case: Case) -> list[ConflictNote]:
    """Where write-up and answers disagree."""
    return [ConflictNote(symptom=c.symptom, answer=c.answer, read=c.read) for c in case.conflicts]


def confidence(
    assessed: Assessment, causes: Sequence[RankedCause], hangs: Firmness, fit: Conflict
) -> Confidence:
    """How much to build on the ranking; contradiction and surprise lower it."""
    told = [f for f in assessed.findings if f.symptom != COMPLAINT and not f.implied]
    says = {f.key: f.says for f in told}
    odd = says.get(fit.odd, "") if fit.log10_ratio > CLASHING else ""
    ratio = round(fit.log10_ratio, 3)
    if not told:
        text = "Nothing was reported beyond a complaint: this is how common each cause is."
        return Confidence(state="weak", says=text, conflict=ratio)
    if odd:
        text = f"What was reported does not fit together well; what fits least: {odd}. Check it."
        return Confidence(state="weak", says=text, conflict=ratio, odd=odd)
    if any(c.id == "none_of_these" and c.probability > SURPRISED for c in causes):
        text = "The causes of this list explain it badly: it may be something else, or an answer "
        text += "may be wrong."
        return Confidence(state="weak", says=text, conflict=ratio)
    first = causes[0].probability if causes else 0.0
    second = causes[1].probability if len(causes) > 1 else 0.0
    if hangs.state == "firm" and first >= 0.5 and second <= first / 2:
        text = "What was reported fits together and points one way."
        return Confidence(state="firm", says=text, conflict=ratio)
    if first < WEAK_FIRST:
        text = "No cause stands out: more answers or the first inspections are needed."
        return Confidence(state="weak", says=text, conflict=ratio)
    text = "What was reported fits together, but other causes are close."
    return Confidence(state="fair", says=text, conflict=ratio)


def limitations(
    assessed: Assessment, causes: Sequence[RankedCause], fit: Conflict
) -> list[LimitationNote]:
    """The limits of this result, as the pack words them."""
    holds = _conditions(assessed, causes, fit)
    return [
        LimitationNote(id=limit.id, says=limit.says, do=limit.do)
        for limit in assessed.pack.limitations
        if limit.when in holds
    ]


def _conditions(assessed: Assessment, causes: Sequence[RankedCause], fit: Conflict) -> set[str]:
    case, pack = assessed.case, assessed.pack
    info = pack.vehicles[case.vehicle.type]
    told = [f for f in assessed.findings if f.symptom != COMPLAINT and not f.implied]
    first = causes[0].probability if causes else 0.0
    second = causes[1].probability if len(causes) > 1 else 0.0
    probability = {c.id: c.probability for c in causes}
    checks = {
        "nothing_reported": not told,
        "speed_unknown": case.speed is None and bool(told),
        "tire_unknown": case.vehicle.tire is None and case.vehicle.revs_per_mile is None,
        "axle_ratio_unknown": case.vehicle.axle_ratio is None and case.vehicle.type != "trailer",
        "out_of_scope_vehicle": not info.in_scope,
        "trailer_unknown": any(g.attached for g in info.axle_groups)
        and case.vehicle.has_trailer is None,
        "reading_without_limit": bool(assessed.evidence.without_limit),
        "all_from_write_up": bool(told) and all(f.origin in ("read", "computed") for f in told),
        "surprising_evidence": probability.get("none_of_these", 0.0) > SURPRISED
        or fit.log10_ratio > CLASHING,
        "close_call": bool(told) and second > CLOSE_CALL * first,
        "many_conflicts": len(case.conflicts) > 1,
        "more_seen_than_weighed": sum(f.kind != "absent" for f in assessed.findings) > MOST_SEEN,
        "two_complaints": "two_complaints" in case.read_notes,
    }
    return {name for name, holds in checks.items() if holds}


def cited(
    pack: Pack,
    vehicle: str,
    causes: Sequence[RankedCause],
    plan: Sequence[PlannedInspection],
    safety: Safety,
    cautions: Sequence[CautionNote],
) -> list[SourceNote]:
    """Every source that the document cites, each once."""
    ids = [f.source for f in safety.findings]
    for cause in causes:
        ids += [s.source for s in [*cause.for_, *cause.against]]
        ids.append(pack.causes[cause.id].source)
    for step in plan:
        ids += [step.source, *(limit.source for limit in step.limit)]
    ids += [c.source for c in cautions]
    ids += [mode.source for mode in pack.vehicles[vehicle].modes]
    return [
        SourceNote(id=id_, text=source_text(pack.sources[id_]), seen=pack.sources[id_].seen)
        for id_ in dict.fromkeys(ids)
    ]


def source_text(source: Source) -> str:
    """A source as it is printed."""
    parts = [source.title, source.section, source.year]
    return ", ".join(part for part in parts if part)
