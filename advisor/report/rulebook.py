"""What the rule pack says about something, or all of it, for a reader who wants to argue."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from advisor.errors import AdvisorError, did_you_mean
from advisor.model.base import Record
from advisor.model.pack import Cause, Inspection, Limit, Pack, Rule, Source, Symptom
from advisor.report.page import Page, Section, Table, render_page


def render_entry(pack: Pack, name: str | None, kind: str) -> str:
    """One entry of the pack, or the whole pack, in any format. Raises AdvisorError."""
    if name is None:
        return render_page(_whole(pack), kind)
    table, entry = _find(pack, name)
    makers: Mapping[str, Callable[[Pack, Record], Page]] = {
        "cause": _cause,  # type: ignore[dict-item]
        "symptom": _symptom,  # type: ignore[dict-item]
        "inspection": _inspection,  # type: ignore[dict-item]
        "rule": _rule,  # type: ignore[dict-item]
        "source": _source,  # type: ignore[dict-item]
        "limit": _limit,  # type: ignore[dict-item]
    }
    return render_page(makers[table](pack, entry), kind)


def _find(pack: Pack, name: str) -> tuple[str, Record]:
    tables: dict[str, Mapping[str, Record]] = {
        "cause": pack.causes,
        "symptom": pack.symptoms,
        "inspection": pack.inspections,
        "rule": {rule.id: rule for rule in pack.rules},
        "source": pack.sources,
        "limit": pack.limits,
    }
    for table, entries in tables.items():
        if name in entries:
            return table, entries[name]
    pool = [id_ for entries in tables.values() for id_ in entries]
    hint = did_you_mean(name, pool)
    raise AdvisorError(
        f'"{name}" is not a cause, symptom, inspection, rule, limit or source; '
        + (hint or "see: advisor rules show")
    )


def source_words(pack: Pack, id_: str, section: str = "") -> str:
    """A source spelled out, with how it was seen."""
    source = pack.sources[id_]
    parts = [source.title, section or source.section, source.year]
    return f"{', '.join(p for p in parts if p)} ({source.seen})"


def _stamp(pack: Pack) -> tuple[str, ...]:
    return (f"Rule pack {pack.info.version}, {pack.sha256[:12]}. {pack.info.scale_note}",)


def rule_lines(pack: Pack, rule: Rule) -> str:
    """A rule as a sentence with its reason and source."""
    shows = "; ".join(
        f"{word} with {', '.join(n.replace('_', ' ') for n in names)}"
        for word, names in rule.shows.items()
    )
    given = rule.given.model_dump(exclude_defaults=True)
    only = (
        " (only for " + "; ".join(f"{k}: {', '.join(v)}" for k, v in given.items()) + ")"
        if given
        else ""
    )
    return (
        f"{rule.id}: {rule.symptom} {shows}{only}. {rule.because} Misleads when: "
        f"{rule.mistaken_when} [{source_words(pack, rule.source, rule.section)}; {rule.status}]"
    )


def _cause(pack: Pack, cause: Cause) -> Page:
    rules = [r for r in pack.rules if _speaks_of(pack, r, cause.id)]
    priors = Table(
        ("vehicle", "steer", "drive", "tag", "trailer", "whole vehicle"),
        tuple(
            (
                vehicle,
                *(
                    f"{value:.3f}" if (value := getattr(prior, key)) else ""
                    for key in ("steer", "drive", "tag", "trailer", "vehicle")
                ),
            )
            for vehicle, prior in [("any other", cause.prior), *cause.prior_by_vehicle.items()]
        ),
    )
    sections = (
        Section("How to confirm", (cause.confirm,), tuple(cause.confirmed_by)),
        Section(
            "What corrects it",
            (
                f"Needs: {cause.remedy.needs}",
                f"Verify: {cause.remedy.verify}",
                f"If it comes back: {cause.remedy.if_it_comes_back}",
            ),
            tuple(cause.remedy.steps),
        ),
        Section("Cautions", items=tuple(pack.cautions[c].text for c in cause.remedy.cautions)),
        Section(
            "How common it is",
            (f"{cause.prior_because} [{source_words(pack, cause.prior_source)}]",),
            table=priors,
        ),
        Section("Rules", items=tuple(rule_lines(pack, r) for r in rules)),
        Section("Source", (source_words(pack, cause.source),)),
    )
    lead = [cause.what]
    if cause.danger != "none":
        lead.append(f"Danger: {cause.danger}. {cause.danger_because}")
    title = f"{cause.name} ({cause.id})"
    return Page(title, tuple(lead), sections, _data(pack, cause, rules), _stamp(pack))


def _speaks_of(pack: Pack, rule: Rule, cause: str) -> bool:
    return any(cause in pack.causes_named(n) for names in rule.shows.values() for n in names)


def _symptom(pack: Pack, symptom: Symptom) -> Page:
    rules = pack.rules_of(symptom.id)
    same = [
        s.id for s in pack.symptoms.values() if s.aspect == symptom.aspect and s.id != symptom.id
    ]
    lead = [f"Reported {symptom.background.replace('_', ' ')} without any of the causes below."]
    if symptom.ask:
        lead.insert(0, f"To ask: {symptom.ask}")
    if same:
        lead.append(f"Restates, so counts only once in full with: {', '.join(same)}.")
    sections = (Section("Rules", items=tuple(rule_lines(pack, r) for r in rules)),)
    title = f"{symptom.name} ({symptom.id})"
    return Page(title, tuple(lead), sections, _data(pack, symptom, rules), _stamp(pack))


def _inspection(pack: Pack, inspection: Inspection) -> Page:
    rules = pack.rules_of(f"found.{inspection.id}")
    limits = dict.fromkeys([*inspection.limits, *(o for m in inspection.measures for o in m.over)])
    sections = (
        Section("How", items=tuple(inspection.how)),
        Section(
            "What the result means",
            (f"Found: {inspection.found_means}", f"Clear: {inspection.clear_means}"),
        ),
        Section("Limits", items=tuple(limit_words(pack, pack.limits[id_]) for id_ in limits)),
        Section("Cautions", items=tuple(pack.cautions[c].text for c in inspection.cautions)),
        Section("What it finds", items=tuple(rule_lines(pack, r) for r in rules)),
        Section("Source", (source_words(pack, inspection.source),)),
    )
    lead = (
        f"{pack.access[inspection.access].name}; {inspection.minutes:g} minutes each; "
        f"tool: {inspection.tool}. False alarms: {inspection.false_alarm.replace('_', ' ')}.",
    )
    title = f"{inspection.name} ({inspection.id})"
    return Page(title, lead, sections, _data(pack, inspection, rules), _stamp(pack))


def limit_words(pack: Pack, limit: Limit) -> str:
    """A limit with what it applies to and its source."""
    low = f"{limit.low:g} to " if limit.low is not None else ""
    note = f" {limit.note}" if limit.note else ""
    return (
        f"{limit.what}: {low}{limit.value:g} {limit.unit}; {limit.applies_to} "
        f"[{source_words(pack, limit.source, limit.section)}; checked {limit.checked_on}]{note}"
    )


def _rule(pack: Pack, rule: Rule) -> Page:
    sections = (Section("Examples it must pass", items=tuple(_example(e) for e in rule.examples)),)
    return Page(rule.id, (rule_lines(pack, rule),), sections, _data(pack, rule, []), _stamp(pack))


def _example(example: Record) -> str:
    return ", ".join(f"{k}: {v}" for k, v in example.model_dump(exclude_none=True).items())


def _source(pack: Pack, source: Source) -> Page:
    used = [f"rule {r.id}" for r in pack.rules if r.source == source.id]
    used += [f"limit {x.id}" for x in pack.limits.values() if x.source == source.id]
    used += [f"cause {c.id}" for c in pack.causes.values() if c.source == source.id]
    used += [f"inspection {i.id}" for i in pack.inspections.values() if i.source == source.id]
    used += [f"caution {c.id}" for c in pack.cautions.values() if c.source == source.id]
    lead = (
        (source_words(pack, source.id), source.note)
        if source.note
        else (source_words(pack, source.id),)
    )
    sections = (Section("Used by", items=tuple(used)),)
    return Page(source.id, lead, sections, _data(pack, source, []), _stamp(pack))


def _limit(pack: Pack, limit: Limit) -> Page:
    lead = (limit_words(pack, limit),)
    return Page(limit.id, lead, (), _data(pack, limit, []), _stamp(pack))


def _data(pack: Pack, entry: Record, rules: list[Rule]) -> dict[str, object]:
    return {
        "schema": 1,
        "pack": {"version": pack.info.version, "sha256": pack.sha256},
        "entry": entry.model_dump(mode="json"),
        "rules": [rule.model_dump(mode="json") for rule in rules],
    }


def _whole(pack: Pack) -> Page:
    """The entire pack for a reader."""
    scale = Table(
        ("word", "probability"),
        tuple((w.replace("_", " "), f"{p:g}") for w, p in pack.info.scale.items()),
    )
    sections = [
        Section("What the words mean", (f"{pack.info.scale_note}",), table=scale),
        Section(
            "Causes",
            items=tuple(f"{c.name} ({c.id}, {c.family}): {c.what}" for c in pack.causes.values()),
        ),
    ]
    for key in pack.keys.values():
        rules = [r for r in pack.rules if r.symptom.startswith(f"{key.key}.")]
        sections.append(
            Section(f"Rules: {key.key}", (key.what,), tuple(rule_lines(pack, r) for r in rules))
        )
    for head, title in (
        ("found.", "Rules: results of inspections"),
        ("cured_by.", "Rules: what a remedy did"),
        ("came_back_after.", "Rules: what came back"),
    ):
        rules = [r for r in pack.rules if r.symptom.startswith(head)]
        sections.append(Section(title, items=tuple(rule_lines(pack, r) for r in rules)))
    sections += [
        Section(
            "Inspections",
            items=tuple(
                f"{i.name} ({i.id}): {pack.access[i.access].name}, {i.minutes:g} min, {i.tool}"
                for i in pack.inspections.values()
            ),
        ),
        Section("Limits", items=tuple(limit_words(pack, x) for x in pack.limits.values())),
        Section(
            "Safety rules",
            items=tuple(
                f"{s.id} ({s.level}): {s.says} {s.because} [{source_words(pack, s.source)}]"
                for s in pack.safety
            ),
        ),
        Section(
            "Cautions",
            items=tuple(
                f"{c.text} [{source_words(pack, c.source)}]" for c in pack.cautions.values()
            ),
        ),
        Section("Sources", items=tuple(f"{i}: {source_words(pack, i)}" for i in pack.sources)),
        Section(
            "Changes",
            items=tuple(
                f"{e.version} ({e.date}): {' '.join(e.changes)}" for e in pack.info.changelog
            ),
        ),
    ]
    data = pack.model_dump(mode="json")
    lead = (
        f"{len(pack.rules)} rules about {len(pack.causes)} causes, each with reason and source.",
    )
    return Page(f"The rules: {pack.info.name}", lead, tuple(sections), data, _stamp(pack))
