"""Checks across rule files, each with what to do about it. All problems in one go."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import get_args

from advisor.errors import Problem, did_you_mean
from advisor.model.base import Record
from advisor.model.pack import COMPLAINT, RECORDING_VALUES, Background, Pack, Rule
from advisor.rulebook.load import PACK_INFO, Loaded
from advisor.yaml_marks import Key

# From the most to the least trustworthy: a figure may not claim more than its source.
TRUST = ["published", "secondary", "computed", "common practice", "judgement", "memory", "invented"]
NO_RULE_NEEDED = {COMPLAINT}
CANNOT_BE_SOUGHT = {"none_of_these"}


def check(loaded: Loaded) -> list[Problem]:
    """Everything wrong across the files of a pack."""
    parts = (
        _unknown_ids,
        _rules,
        _duplicate_statements,
        _causes,
        _symptoms,
        _limits,
        _access,
        _scale,
        _changelog,
        _recordings,
    )
    return sorted({problem for part in parts for problem in part(loaded)})


def _unknown_ids(loaded: Loaded) -> Iterator[Problem]:
    """Every id one file uses must be given in another."""
    for table, id_, at, name, kind in _references(loaded.pack):
        pool = _pool(loaded.pack, kind)
        if name not in pool:
            near = did_you_mean(name, pool)
            yield loaded.problem(table, id_, at, f'"{name}" is not a known {kind}', "", near)


def _pool(pack: Pack, kind: str) -> set[str]:
    tables: dict[str, Iterable[str]] = {
        "source": pack.sources,
        "caution": pack.cautions,
        "limit": pack.limits,
        "inspection": pack.inspections,
        "access state": pack.access,
        "family": pack.families,
        "cause": pack.causes,
        "cause or family": [*pack.causes, *pack.families],
        "symptom": pack.symptoms,
    }
    return set(tables[kind])


def _references(pack: Pack) -> Iterator[tuple[str, str, Key, str, str]]:
    """(table, id, key, name used, kind of name) for every reference in the pack."""

    def each(table: str, id_: str, key: str, names: Iterable[str | None], kind: str):  # type: ignore[no-untyped-def]
        for name in names:
            if name:
                yield table, id_, (key,), name, kind

    for c in pack.causes.values():
        yield from each("causes", c.id, "family", [c.family], "family")
        yield from each("causes", c.id, "source", [c.source], "source")
        yield from each("causes", c.id, "prior_source", [c.prior_source], "source")
        yield from each("causes", c.id, "confirmed_by", c.confirmed_by, "inspection")
        yield from each("causes", c.id, "remedy", c.remedy.cautions, "caution")
    for r in pack.rules:
        yield from each("rules", r.id, "symptom", [r.symptom], "symptom")
        yield from each("rules", r.id, "source", [r.source], "source")
        for names in r.shows.values():
            yield from each("rules", r.id, "shows", names, "cause or family")
        for example in r.examples:
            said = [example.raises, example.lowers]
            yield from each("rules", r.id, "examples", said, "cause")
    for i in pack.inspections.values():
        yield from each("inspections", i.id, "access", [i.access], "access state")
        yield from each("inspections", i.id, "source", [i.source, i.minutes_source], "source")
        yield from each("inspections", i.id, "cautions", i.cautions, "caution")
        yield from each("inspections", i.id, "limits", i.limits, "limit")
        for m in i.measures:
            yield from each("inspections", i.id, "measures", m.over, "limit")
            yield from each("inspections", i.id, "measures", [m.repeatability_source], "source")
    for a in pack.access.values():
        yield from each("access", a.id, "after", [a.after], "access state")
        yield from each("access", a.id, "cautions", a.cautions, "caution")
        yield from each("access", a.id, "source", [a.source], "source")
    for asked in pack.symptoms.values():
        for name in asked.settled_by:
            at: Key = ("values", asked.id.partition(".")[2], "settled_by")
            yield "keys", asked.key, at, name, "symptom"
    for s in pack.safety:
        yield from each("safety", s.id, "any_of", s.any_of, "symptom")
        yield from each("safety", s.id, "all_of", s.all_of, "symptom")
        yield from each("safety", s.id, "probable", s.probable, "cause")
        yield from each("safety", s.id, "checks", s.checks, "inspection")
        yield from each("safety", s.id, "cautions", s.cautions, "caution")
        yield from each("safety", s.id, "source", [s.source], "source")
    for table in ("limits", "cautions", "work", "tires", "vehicles", "recordings"):
        entries: dict[str, Record] = dict(getattr(pack, table))
        for id_, entry in entries.items():
            yield from each(table, id_, "source", [getattr(entry, "source", None)], "source")
    for w in pack.weights.values():
        yield from each("weights", w.id, "source", [w.source, w.sections_source], "source")
        yield from each("weights", w.id, "cautions", w.cautions, "caution")
    for v in pack.vehicles.values():
        yield from each("vehicles", v.id, "modes", [m.source for m in v.modes], "source")
        yield from each("vehicles", v.id, "model_source", [v.model_source], "source")


def _rules(loaded: Loaded) -> Iterator[Problem]:
    """Rules that can never change anything, that claim too much, or disagree."""
    pack = loaded.pack
    for rule in pack.rules:
        if not any(_can_be_there(pack, rule, name) for n in rule.shows.values() for name in n):
            what = "no vehicle has these causes at these places: the rule cannot fire"
            yield loaded.problem("rules", rule.id, ("given",), what)
        if rule.status == "settled" and not rule.confirmed_by:
            what = "a settled rule names the cases that confirm it"
            yield loaded.problem("rules", rule.id, ("status",), what, "", "add confirmed_by")
        if len(rule.mistaken_when.split()) < 4:
            what = "say in a sentence when this sign misleads"
            yield loaded.problem("rules", rule.id, ("mistaken_when",), what)
        if not rule.examples:
            yield loaded.problem("rules", rule.id, ("examples",), "a rule needs an example")
    for symptom in pack.symptoms:
        words = {r.otherwise for r in pack.rules_of(symptom) if r.otherwise}
        if len(words) > 1:
            rule = next(r for r in pack.rules_of(symptom) if r.otherwise)
            what = f"rules of {symptom} disagree about otherwise: {', '.join(sorted(words))}"
            yield loaded.problem("rules", rule.id, ("otherwise",), what)


def _can_be_there(pack: Pack, rule: Rule, name: str) -> bool:
    """Whether some vehicle the rule is about can have the cause at a place it is about."""
    for cause_id in pack.causes_named(name):
        cause = pack.causes[cause_id]
        for vehicle in pack.vehicles.values():
            if rule.given.vehicle and vehicle.id not in rule.given.vehicle:
                continue
            prior = cause.prior_by_vehicle.get(vehicle.id, cause.prior)
            groups = [g.group for g in vehicle.axle_groups if getattr(prior, g.group)]
            if not cause.at_wheel_end and prior.vehicle:
                return True
            if any(not rule.given.place or g in rule.given.place for g in groups):
                return True
    return False


def _duplicate_statements(loaded: Loaded) -> Iterator[Problem]:
    """The same cause said twice for one symptom under the same given."""
    pack = loaded.pack
    first: dict[tuple[str, str, str], str] = {}
    for rule in pack.rules:
        if rule.status == "retired":
            continue
        named = [name for names in rule.shows.values() for name in names]
        context = [sorted(allowed) for _, allowed in rule.given]
        for name in named:
            key = (rule.symptom, name, str(context))
            if key in first:
                where, at = loaded.where[("rules", first[key])]
                line = where.marks[at][0]
                what = f"{rule.symptom} with {name} is already stated by {first[key]}"
                hint = f"see {where.path}:{line}"
                yield loaded.problem("rules", rule.id, ("shows",), what, "", hint)
            first.setdefault(key, rule.id)


def _causes(loaded: Loaded) -> Iterator[Problem]:
    """Causes nothing speaks for, or that nothing confirms."""
    pack = loaded.pack
    shown: set[str] = set()
    for rule in pack.rules:
        for word, names in rule.shows.items():
            if word != "never" and rule.status != "retired":
                shown |= {c for name in names for c in pack.causes_named(name)}
    for cause in pack.causes.values():
        if cause.id not in shown and cause.id not in CANNOT_BE_SOUGHT:
            yield loaded.problem("causes", cause.id, ("id",), "no rule speaks for this cause")
        if not cause.confirmed_by and cause.id not in CANNOT_BE_SOUGHT:
            what = "no inspection confirms this cause"
            yield loaded.problem("causes", cause.id, ("confirmed_by",), what)
        if cause.danger != "none" and not cause.danger_because:
            yield loaded.problem("causes", cause.id, ("danger",), "say why it is dangerous")
        if cause.at_wheel_end == bool(cause.prior.vehicle):
            what = "a cause at a wheel end has priors by axle group, any other has `vehicle`"
            yield loaded.problem("causes", cause.id, ("prior",), what)


def _symptoms(loaded: Loaded) -> Iterator[Problem]:
    """Symptoms that no rule uses."""
    pack = loaded.pack
    used = {rule.symptom for rule in pack.rules if rule.status != "retired"}
    for symptom in pack.symptoms.values():
        if symptom.id in used | NO_RULE_NEEDED:
            continue
        table, id_ = {
            "found": ("inspections", symptom.id.partition(".")[2]),
            "cured_by": ("work", symptom.id.partition(".")[2]),
        }.get(symptom.key, ("keys", symptom.key))
        if symptom.key != "came_back_after":
            yield loaded.problem(table, id_, (), f"no rule uses the symptom {symptom.id}")


def _limits(loaded: Loaded) -> Iterator[Problem]:
    """A figure may not claim to be better known than its source."""
    pack = loaded.pack
    graded = [("limits", limit.id, limit.seen, limit.source) for limit in pack.limits.values()]
    graded += [("tires", tire.size, tire.seen, tire.source) for tire in pack.tires.values()]
    graded += [("weights", w.id, w.seen, w.source) for w in pack.weights.values()]
    for table, id_, seen, source_id in graded:
        source = pack.sources.get(source_id)
        if source and TRUST.index(seen) < TRUST.index(source.seen):
            what = f'is marked "{seen}", but its source was only seen as "{source.seen}"'
            yield loaded.problem(table, id_, ("seen",), what)


def _access(loaded: Loaded) -> Iterator[Problem]:
    """Access states must lead back to a start."""
    pack = loaded.pack
    for state in pack.access.values():
        seen, here = set(), state.after
        while here is not None and here in pack.access:
            if here in seen:
                what = "its states of access run in a circle"
                yield loaded.problem("access", state.id, ("after",), what)
                break
            seen.add(here)
            here = pack.access[here].after


def _scale(loaded: Loaded) -> Iterator[Problem]:
    """Words must keep their order, and never mean zero."""
    info = loaded.pack.info
    words = list(get_args(Background))
    values = [info.scale.get(word, -1.0) for word in words]
    if values != sorted(values, reverse=True) or len(set(values)) != len(words) or values[-1] != 0:
        what = "the words must fall from usually to never, each given, and never be 0"
        yield loaded.problem(*PACK_INFO, ("scale",), what)
    if info.scale_source not in loaded.pack.sources:
        what = f'"{info.scale_source}" is not a known source'
        yield loaded.problem(*PACK_INFO, ("scale_source",), what)


def _changelog(loaded: Loaded) -> Iterator[Problem]:
    """The version in force must be explained."""
    info = loaded.pack.info
    if info.version not in {entry.version for entry in info.changelog}:
        what = f"version {info.version} has no entry in the changelog"
        yield loaded.problem(*PACK_INFO, ("changelog",), what)


def _recordings(loaded: Loaded) -> Iterator[Problem]:
    """Every judged value the reading of recordings needs is given, and shares are below one."""
    given = loaded.pack.recordings
    for id_ in sorted(set(RECORDING_VALUES) - set(given)):
        what = f'recordings.yaml lacks the value "{id_}"'
        yield loaded.problem(*PACK_INFO, (), what, "", did_you_mean(id_, given))
    for id_, judged in given.items():
        if id_ not in RECORDING_VALUES:
            what = f'nothing uses the value "{id_}"'
            near = did_you_mean(id_, RECORDING_VALUES)
            yield loaded.problem("recordings", id_, ("id",), what, "", near)
        elif judged.unit in ("chance", "share") and judged.value >= 1:
            what = f"{judged.value:g} is no {judged.unit}"
            yield loaded.problem("recordings", id_, ("value",), what, "above 0 and below 1")
