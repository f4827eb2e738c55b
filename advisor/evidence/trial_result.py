"""Balancing with trial weights: one plane, four runs without phase, two planes."""

from __future__ import annotations

import math

import numpy as np

from advisor.evidence.balance_words import HIDES, say_add, say_force, say_placing, say_sign
from advisor.evidence.reading_result import Said, Shop
from advisor.evidence.reading_words import chance, degrees, flaw, limit, mass, mass_in, spot
from advisor.model.choose import limit_for
from advisor.model.reading import ZERO_WORDS, Balance, VibrationRun
from advisor.physics.influence import balance_planes, single_plane
from advisor.physics.nophase import NoPhase, trial_runs, two_trial_runs
from advisor.physics.problem import PhysicsError
from advisor.physics.seating import probability_over
from advisor.physics.units import KG_PER_OZ, kg_to_oz

CHECK = "on-vehicle-balance"
WEAK = (
    "the trial weight moved the reading by less than 30 percent and 30 degrees (rule of thumb, "
    "from memory). Still known: the answer, with more error. Measure again: with a larger trial "
    "weight."
)


def say_trials(said: Said, reading: Balance, shop: Shop) -> None:
    """What to add, from runs with trial weights; what is wrong with the runs where they fail."""
    original = next(run for run in reading.runs if run.trial_kg == 0)
    trials = [run for run in reading.runs if run.trial_kg != 0]
    say_sign(said, reading)
    said.lines.append(HIDES)
    try:
        if reading.method == "single_plane":
            _single(said, reading, original, trials[0], shop)
        elif reading.method == "two_plane":
            _two_planes(said, reading, original, trials, shop)
        elif len(trials) == 2:
            _two_trials(said, reading, original, trials)
        else:
            _four_run(said, reading, original, trials, shop)
    except PhysicsError as failure:
        said.problems.append(flaw(failure))
        amount = ", ".join(f"{abs(v):g}" for _, v in original.at_point)
        said.lines.append(f"Vibration as found: {amount} {reading.vibration_unit}".rstrip() + ".")


def _single(
    said: Said, reading: Balance, original: VibrationRun, trial: VibrationRun, shop: Shop
) -> None:
    found = single_plane(
        original.at_point[0][1], trial.at_point[0][1], trial.trial_kg,
        reading_sd=reading.vibration_sd,
    )  # fmt: skip
    if found.weak_trial:
        said.problems.append(WEAK)
    said.lines.append(say_add(reading, found.add.value, "Trial weight off, then", found.add.sd))
    _worth(said, reading, {"": found.add.value}, found.add.sd, shop)


def _four_run(
    said: Said, reading: Balance, original: VibrationRun, trials: list[VibrationRun], shop: Shop
) -> None:
    found = trial_runs(
        abs(original.at_point[0][1]),
        [math.atan2(run.trial_kg.imag, run.trial_kg.real) for run in trials],
        [abs(run.at_point[0][1]) for run in trials],
        abs(trials[0].trial_kg),
        reading_sd=reading.vibration_sd,
    )
    said.problems += [flaw(one) for one in found.flaws]
    said.lines.append(say_add(reading, found.add.value, "Trial weight off, then", found.add.sd))
    said.lines.append(
        f"Heavy side at {spot(found.heavy_rad, ZERO_WORDS[reading.counted_from])}. The runs give "
        f"the weight twice: {mass(found.add_by_mean, reading.unit)} and "
        f"{mass(found.add_by_turn, reading.unit)}; they close within {found.closure:.1%}."
    )
    said.numbers["closure"] = round(found.closure, 4)
    _worth(said, reading, {"": found.add.value}, _no_phase_sd(found), shop)


def _no_phase_sd(found: NoPhase) -> float:
    """Reading error, and half of what the two ways differ by."""
    return math.hypot(found.add.sd, abs(found.add_by_mean - found.add_by_turn) / 2)


def _two_trials(
    said: Said, reading: Balance, original: VibrationRun, trials: list[VibrationRun]
) -> None:
    angles = [math.atan2(run.trial_kg.imag, run.trial_kg.real) for run in trials]
    amounts = [abs(run.at_point[0][1]) for run in trials]
    found = two_trial_runs(
        abs(original.at_point[0][1]),
        (angles[0], angles[1]),
        (amounts[0], amounts[1]),
        abs(trials[0].trial_kg),
    )
    for n, candidate in enumerate(found):
        said.lines.append(say_add(reading, candidate.add, f"Possible answer {n + 1}"))
    if len(found) > 1:
        said.problems.append(
            "Two trial runs leave two answers. Still known: one of them is right. Measure again: "
            "with the first in place; if it gets worse, it is the other."
        )
    said.numbers["candidates"] = [
        {reading.unit: mass_in(abs(c.add), reading.unit),
         "at_deg": degrees(math.atan2(c.add.imag, c.add.real))}
        for c in found
    ]  # fmt: skip


def _two_planes(
    said: Said, reading: Balance, original: VibrationRun, trials: list[VibrationRun], shop: Shop
) -> None:
    points = [name for name, _ in original.at_point]
    before = np.array([value for _, value in original.at_point])
    after = np.array([[dict(run.at_point)[name] for name in points] for run in trials])
    masses = np.array([run.trial_kg for run in trials])
    found = balance_planes(before, after, masses, reading_sd=reading.vibration_sd)
    for j in found.weak_trials:
        said.problems.append(f"{trials[j].plane.capitalize()} plane: {WEAK}")
    adds = {run.plane: complex(add) for run, add in zip(trials, found.add, strict=True)}
    for (plane, add), sd in zip(adds.items(), found.add_sd, strict=True):
        said.lines.append(say_add(reading, add, f"Trial weights off, {plane} plane", float(sd)))
    left = float(np.abs(found.residual).max())
    said.lines.append(
        f"Condition number of the influence matrix {found.condition:.1f}: errors grow by as much. "
        f"Predicted to be left: {left:.2g} {reading.vibration_unit} of "
        f"{float(np.abs(before).max()):.3g}."
    )
    said.numbers |= {"condition": round(found.condition, 3), "predicted_left": round(left, 9)}
    _worth(said, reading, adds, float(found.add_sd.max()), shop)


def _worth(
    said: Said, reading: Balance, adds: dict[str, complex], sd_kg: float, shop: Shop
) -> None:
    """The correction against the guideline: how much wheel, hub and drum were out together."""
    static = sum(adds.values(), 0j)
    worst = max([abs(static), *(abs(add) for add in adds.values())])
    measure = shop.measure(CHECK, "balance_oz")
    sd = max(kg_to_oz(sd_kg), measure.repeatability)
    said.numbers |= {
        f"add_{plane or 'one_plane'}": {
            reading.unit: mass_in(abs(add), reading.unit),
            "at_deg": degrees(math.atan2(add.imag, add.real)),
        }
        for plane, add in adds.items()
    }
    held = limit_for(measure.over, shop.pack, shop.vehicle, reading.place)
    if held is not None:
        said.held_against(held)
        p = probability_over(kg_to_oz(worst), sd, held.value)
        said.lines.append(
            f"Before correction {mass(worst, reading.unit)} against {limit(held, shop.pack)}: "
            f"{chance(p)} that it is over."
        )
        name = shop.pack.inspections[CHECK].name
        words = f"{name}: {kg_to_oz(worst):.1f} oz against a limit of {held.value:g} oz"
        said.find(CHECK, p, words, shop)
        said.numbers["probability_over"] = round(p, 4)
    say_force(said, reading, worst, shop)
    for plane, add in adds.items():
        if worst > 0.001 * KG_PER_OZ:
            before = len(said.lines)
            say_placing(said, reading, add, shop)
            if plane:
                said.lines[before:] = [f"{plane.capitalize()}: {t}" for t in said.lines[before:]]
