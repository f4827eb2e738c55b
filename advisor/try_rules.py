"""Runs the examples that rules carry: each rule alone, on a vehicle it is about."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from advisor.assessment import Assessment
from advisor.errors import InputProblems, Problem
from advisor.intake.case_file import answers_of
from advisor.model.case import Case, Vehicle
from advisor.model.pack import Example, Pack, Rule
from advisor.pipeline import assess
from advisor.rulebook.load import Loaded
from advisor.yaml_marks import Key

LEAST_MOVE = 1e-6


def check_examples(loaded: Loaded) -> Iterator[Problem]:
    """Problems with the examples of every rule in force."""
    for rule in loaded.pack.rules:
        if rule.status == "retired":
            continue
        alone = loaded.pack.model_copy(update={"rules": (rule,)})
        for index, example in enumerate(rule.examples):
            at: Key = ("examples", index)
            try:
                said = try_example(alone, rule, example, loaded)
            except InputProblems as error:
                yield loaded.problem("rules", rule.id, at, error.problems[0].what)
                continue
            if said:
                yield loaded.problem("rules", rule.id, at, said)


def try_example(alone: Pack, rule: Rule, example: Example, loaded: Loaded) -> str:
    """What is wrong with one example; empty when it holds."""
    cause = example.raises or example.lowers
    case = _case(alone, rule, example, loaded, cause)
    after = assess(case, alone)
    before = assess(replace(case, answers=(), inspections=(), work_done=(), speed=None), alone)
    if example.moves:
        moved = [c for c in after.now.cause if abs(_change(before, after, c)) > LEAST_MOVE]
        return f"it moves {', '.join(moved[:3])}" if moved else ""
    if cause is None:
        return "an example says what it raises, lowers, or that it moves nothing"
    change = _change(before, after, cause)
    wanted = change > LEAST_MOVE if example.raises else change < -LEAST_MOVE
    word = "raise" if example.raises else "lower"
    return "" if wanted else f"it does not {word} {cause} (change {change:+.6f})"


def _change(before: Assessment, after: Assessment, cause: str) -> float:
    return after.now.cause.get(cause, 0.0) - before.now.cause.get(cause, 0.0)


def _case(pack: Pack, rule: Rule, example: Example, loaded: Loaded, cause: str | None) -> Case:
    document, _ = loaded.where[("rules", rule.id)]
    vehicle = _fitting_vehicle(pack, rule, cause)
    case = answers_of(example.say, document, pack, vehicle.type)
    return replace(case, vehicle=vehicle)


def _fitting_vehicle(pack: Pack, rule: Rule, cause: str | None) -> Vehicle:
    """The first vehicle type the rule is about that can have the cause."""
    given = rule.given
    named = (
        [cause]
        if cause
        else [c for n in rule.shows.values() for x in n for c in pack.causes_named(x)]
    )
    for info in pack.vehicles.values():
        if given.vehicle and info.id not in given.vehicle:
            continue
        groups = [g.group for g in info.axle_groups if not given.place or g.group in given.place]
        for id_ in named:
            kind = pack.causes[id_]
            prior = kind.prior_by_vehicle.get(info.id, kind.prior)
            here = any(getattr(prior, g) for g in groups)
            if here or (not kind.at_wheel_end and prior.vehicle):
                duty = given.duty[0] if given.duty else info.duty
                wheel = given.wheel[0] if given.wheel else None
                return Vehicle(type=info.id, duty=duty, wheel=wheel)
    return Vehicle(type=next(iter(pack.vehicles)))
