"""All that a case says, as findings of the network; what is not said is left out, not denied."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np

from advisor.evidence.frequency import frequency_finding
from advisor.evidence.links import LinkTable
from advisor.evidence.network import groups_of
from advisor.evidence.results import inspection_soft, work_findings
from advisor.evidence.speed_band import band_finding
from advisor.evidence.tables import Tables
from advisor.model.case import Answer, Case, SoftFinding, State
from advisor.model.choose import Rolling, rolling
from advisor.model.network import Array, Finding, Network
from advisor.model.pack import COMPLAINT, Pack, Symptom
from advisor.model.place import Place

IMPLIED_POWER = 0.5  # what an exclusive choice says against the values not chosen (judgement)


@dataclass(frozen=True)
class Evidence:
    """What inference needs, and how it was got."""

    network: Network
    links: LinkTable
    findings: tuple[Finding, ...]
    roll: Rolling
    without_limit: tuple[str, ...] = ()


def gather(case: Case, pack: Pack, tables: Tables | None = None) -> Evidence:
    """A case -> network and findings. Unknown symptoms contribute nothing.

    tables: networks and links shared by a stack of cases; the result is the same without.
    """
    softs, outcomes, without_limit = inspection_soft(case, pack)
    answers = [*merge_sides([*case.answers, *outcomes]), *derived(case, pack)]
    softs = merge_soft_sides([*softs, *case.measured])
    mentioned = [a.place for a in answers if a.place]
    mentioned += [s.place for s in softs if s.place]
    mentioned += [i.place for i in case.inspections if i.place]
    network, links = (tables or Tables(pack)).of(case.vehicle, mentioned)
    roll = rolling(case.vehicle, pack)
    findings = [complaint(pack, network)]
    groups = max(1, len(groups_of(pack, case.vehicle)))
    findings += [from_answer(a, links, groups) for a in answers]
    findings += implied(answers, pack, links)
    findings += [from_soft(soft, links, groups) for soft in softs]
    findings += [from_soft(soft, links, groups) for soft in work_findings(case, pack)]
    said = case.speed and (case.speed.low_mph, case.speed.high_mph, case.speed.peak_mph)
    band = links.kept(said, lambda: band_finding(pack, case.vehicle, network, roll, case.speed))
    findings += [band] if band else []
    for index, measured in enumerate(case.frequencies):
        one = frequency_finding(pack, case.vehicle, network, roll, measured, case.speed, index)
        findings += [one] if one else []
    return Evidence(network, links, tuple(findings), roll, tuple(without_limit))


def complaint(pack: Pack, network: Network) -> Finding:
    """Somebody complains: something must explain it, so causes compete."""
    scale = pack.info.scale
    link = network.prior * 0 + float(scale[pack.info.complaint_link])
    return Finding(
        COMPLAINT,
        None,
        "present",
        link[network.state_node],
        pack.info.complaint_leak,
        says="there is a complaint",
        origin="asked",
    )


def merge_sides(answers: Iterable[Answer]) -> list[Answer]:
    """The same thing seen on both sides of an axle is one finding about the axle."""
    kept: list[Answer] = []
    by_axle: dict[tuple[str, str, str], list[Answer]] = {}
    for answer in answers:
        if answer.place is None or not answer.place.side:
            kept.append(answer)
        else:
            slot = (answer.symptom, answer.state, answer.place.group)
            by_axle.setdefault(slot, []).append(answer)
    for (_, _, group), same in by_axle.items():
        if len({a.place.side for a in same if a.place}) == 2:
            kept.append(replace(same[0], place=Place(group)))
        else:
            kept += same
    unique = {(a.symptom, a.place, a.state): a for a in kept}
    return sorted(unique.values(), key=lambda a: (a.symptom, str(a.place or ""), a.state))


def merge_soft_sides(softs: Iterable[SoftFinding]) -> list[SoftFinding]:
    """Readings that lean over a limit on both sides of an axle are one finding about the axle; the
    same reading twice is one reading."""
    kept: list[SoftFinding] = []
    by_axle: dict[tuple[str, str], list[SoftFinding]] = {}
    for soft in sorted(set(softs), key=lambda s: (s.symptom, str(s.place or ""), s.words)):
        if soft.place is None or not soft.place.side or soft.lambda1 <= soft.lambda0:
            kept.append(soft)
        else:
            by_axle.setdefault((soft.symptom, soft.place.group), []).append(soft)
    for (_, group), same in by_axle.items():
        if len({s.place.side for s in same if s.place}) == 2:
            words = "; ".join(s.words for s in same)
            surest = max(same, key=lambda s: s.lambda1)
            kept.append(replace(surest, place=Place(group), words=words))
        else:
            kept += same
    return kept


def derived(case: Case, pack: Pack) -> list[Answer]:
    """Symptoms that follow from the numbers given; explicit answers win."""
    speed = case.speed
    if speed is None:
        return []
    given = {a.symptom for a in case.answers}
    numbers = {
        "speed.low_mph": speed.low_mph,
        "speed.high_mph": speed.high_mph,
        "speed.peak_mph": speed.peak_mph,
        "speed.width_mph": None
        if speed.low_mph is None or speed.high_mph is None
        else speed.high_mph - speed.low_mph,
    }
    made = []
    for symptom in pack.symptoms.values():
        if symptom.derive is None or symptom.id in given:
            continue
        value = numbers[symptom.derive.field]
        state = None if value is None else _derive(symptom, value)
        if state:
            made.append(Answer(symptom.id, state, None, "computed"))
    return made


def _derive(symptom: Symptom, value: float) -> State | None:
    rule = symptom.derive
    assert rule is not None
    if rule.at_most is not None:
        return "yes" if value <= rule.at_most else "no" if value > rule.absent_beyond else None
    if rule.at_least is not None:
        return "yes" if value >= rule.at_least else "no" if value < rule.absent_beyond else None
    return None


def from_answer(answer: Answer, links: LinkTable, groups: int) -> Finding:
    """One answer as a finding."""
    symptom = links.pack.symptoms[answer.symptom]
    made = links.of(answer.symptom, answer.place)
    link = made.link
    present = answer.state == "yes"
    if answer.place is not None and not present:
        link = not_here(link, links.network, groups)
    return Finding(
        answer.symptom,
        answer.place,
        "present" if present else "absent",
        link,
        made.leak,
        says=says(symptom, present, answer.place, links.pack),
        origin=answer.origin,
        aspect=symptom.aspect,
        rules=made.rules,
    )


def not_here(link: Array, network: Network, groups: int) -> Array:
    """Links when a place was looked at and nothing was there: an unplaced fault shows at some axle,
    and this is one of several."""
    unplaced = np.array([here is None for here in network.place])
    return np.where(unplaced, link / groups, link)


def says(symptom: Symptom, present: bool, place: Place | None, pack: Pack) -> str:
    """The finding in plain words."""
    where = f", {place.words}" if place else ""
    if symptom.key == "found":
        inspection = pack.inspections[symptom.id.removeprefix("found.")]
        means = inspection.found_means if present else inspection.clear_means
        return f"{inspection.name}: {means}{where}"
    if symptom.key == "cured_by":
        work = pack.work[symptom.id.removeprefix("cured_by.")].name
        return f"{work}: {'cured it' if present else 'no change'}{where}"
    return f"{symptom.name}{where}" if present else f"not: {symptom.name}{where}"


def implied(answers: Iterable[Answer], pack: Pack, links: LinkTable) -> list[Finding]:
    """Choosing one value of an exclusive key speaks, at half strength, against the others."""
    all_answers = list(answers)
    said = {a.symptom for a in all_answers}
    made = []
    for answer in all_answers:
        symptom = pack.symptoms[answer.symptom]
        if answer.state != "yes" or not symptom.exclusive:
            continue
        for other in pack.symptoms.values():
            if other.key == symptom.key and other.id not in said:
                link = links.of(other.id)
                made.append(
                    Finding(
                        other.id,
                        None,
                        "absent",
                        link.link,
                        link.leak,
                        power=IMPLIED_POWER,
                        implied=True,
                        says=f"not: {other.name}",
                        origin="computed",
                        aspect=other.aspect,
                        rules=link.rules,
                        from_symptom=answer.symptom,
                    )
                )
    return made


def from_soft(soft: SoftFinding, links: LinkTable, groups: int) -> Finding:
    """A likelihood ratio as a finding; certain ones become present or absent."""
    symptom = links.pack.symptoms[soft.symptom]
    made = links.of(soft.symptom, soft.place)
    kind = "present" if soft.lambda0 == 0 else "absent" if soft.lambda1 == 0 else "soft"
    link = made.link
    if soft.place is not None and soft.lambda1 < soft.lambda0:
        link = not_here(link, links.network, groups)
    return Finding(
        soft.symptom,
        soft.place,
        kind,  # type: ignore[arg-type]
        link,
        made.leak,
        lambda1=soft.lambda1,
        lambda0=soft.lambda0,
        says=soft.words,
        origin=soft.origin,
        aspect=symptom.aspect,
        rules=made.rules,
    )
