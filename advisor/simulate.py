"""Simulated complaints: planted causes -> write-up, answers, recording, readings, results.

The forward model (physics/forward) and the analysis share no formulas, so what the analysis finds
in a simulated recording is a check of both. Answers and results without numbers are drawn from the
rule pack itself: they exercise the ranking, they do not confirm it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np

from advisor.errors import AdvisorError, did_you_mean, one_of
from advisor.model.case import Answer, InspectionDone, Vehicle
from advisor.model.pack import Pack
from advisor.model.place import Place
from advisor.physics import tire as tires
from advisor.physics.forward.record import Recorded, record
from advisor.simulated import files
from advisor.simulated.answers import odds_of, sample_answers
from advisor.simulated.build import Built, build, model_of
from advisor.simulated.case_out import case_text
from advisor.simulated.knowledge import Knowledge, load_knowledge
from advisor.simulated.planted import Planted, parse_all
from advisor.simulated.readings import (
    BalanceReading,
    DialReading,
    balance_readings,
    dial_readings,
)
from advisor.simulated.results import all_results
from advisor.simulated.speeds import FeltSpeeds, felt_speeds
from advisor.simulated.trip import Trip, between, drive_of
from advisor.simulated.write_up import write_up

PARTS_MADE = ("recording", "dial", "balance", "results")
DIAL, BALANCE = 51, 52  # streams of random numbers


@dataclass(frozen=True)
class SimulatedComplaint:
    """Everything known about one invented complaint. dial, balance: by place with a planted cause;
    what was not asked for is None or empty."""

    seed: int
    vehicle: Vehicle
    planted: tuple[Planted, ...]
    answers: tuple[Answer, ...]
    speeds: FeltSpeeds | None
    write_up: str
    recording: Recorded | None = None
    dial: Mapping[Place, tuple[DialReading, ...]] = field(default_factory=dict)
    balance: Mapping[Place, tuple[BalanceReading, ...]] = field(default_factory=dict)
    results: tuple[InspectionDone, ...] = ()


def simulate(
    pack: Pack,
    vehicle: Vehicle,
    causes: Iterable[str],
    seed: int,
    what: Iterable[str] = PARTS_MADE,
    trip: Trip | None = None,
    knowledge: Knowledge | None = None,
    chatter: float = 1.0,
) -> SimulatedComplaint:
    """Simulate one complaint; the same arguments give the same result.

    causes: 'cause@place:severity' each; what: of PARTS_MADE (answers and write-up always come);
    chatter: share of the rules' background talk in the answers, 0 to 1 (1: as the ranking expects).
    Raises AdvisorError for a vehicle, cause, place, severity or trip that makes no sense.
    """
    if seed < 0:
        raise AdvisorError(f"--seed: {seed} is below zero; allowed: 0, 1, 2, ...")
    info = model_of(pack, vehicle.type)
    known = knowledge or load_knowledge(pack)
    planted = parse_all(causes, pack, vehicle, known)
    built = build(pack, vehicle, planted, seed, known)
    between("--chatter", chatter, 0, 1)
    odds = odds_of(pack, vehicle, planted, chatter)
    speeds = felt_speeds(built, info.top_speed_mph) if _turns(planted, pack) else None
    answers = _with_speeds(sample_answers(pack, odds, seed), speeds)
    wanted = frozenset(what)
    made: dict[str, Any] = {}
    if "recording" in wanted:
        made["recording"] = record(built.rig, drive_of(trip or Trip(), info), seed)
    if "dial" in wanted:
        made["dial"] = _dial(built, planted, seed)
    if "balance" in wanted:
        made["balance"] = _balance(built, planted, seed)
    if "results" in wanted:
        made["results"] = all_results(pack, vehicle, planted, built, known, odds, seed)
    told = write_up(answers, speeds, known, seed)
    return SimulatedComplaint(seed, vehicle, planted, answers, speeds, told, **made)


def simulate_files(
    pack: Pack,
    vehicle_type: str,
    causes: Iterable[str],
    seed: int,
    *,
    tire: str | None = None,
    axle_ratio: float | None = None,
    trip: Trip | None = None,
    wav: bool = False,
    with_results: bool = False,
    chatter: float = 1.0,
    rules: Path | None = None,
) -> dict[str, bytes]:
    """Name -> content of the files of one complaint; raises AdvisorError on bad values."""
    info = model_of(pack, vehicle_type)
    if axle_ratio is not None:
        between("--axle-ratio", axle_ratio, 1.2, 20)
    size = _tire(pack, tire or info.typical_tires[0])
    vehicle = Vehicle(type=info.id, tire=size, axle_ratio=axle_ratio, duty=info.duty)
    what = PARTS_MADE if with_results else PARTS_MADE[:-1]
    known = load_knowledge(pack, rules)
    made = simulate(pack, vehicle, causes, seed, what, trip, known, chatter)
    return files_of(made, wav)


def files_of(made: SimulatedComplaint, wav: bool = False) -> dict[str, bytes]:
    """A complaint as files: case, recording with its speed log, dial and balance readings."""
    out: dict[str, bytes] = {"case.yaml": b""}
    if made.recording is not None:
        if wav:
            out["recording.wav"] = files.recording_wav(made.recording)
        else:
            out["recording.csv"] = files.recording_csv(made.recording)
        out["speed.csv"] = files.speed_csv(made.recording)
    measured: dict[str, bytes] = {}
    for place, dial in made.dial.items():
        measured |= files.dial_files(dial, str(place))
    for place, balance in made.balance.items():
        measured |= files.balance_files(balance, str(place))
    out["case.yaml"] = case_text(
        made.seed,
        made.vehicle,
        made.planted,
        made.answers,
        made.speeds,
        made.write_up,
        made.results,
        measured if made.results else (),
    ).encode()
    return out | measured


def _tire(pack: Pack, designation: str) -> str:
    """A size with a known circumference, or an error that says which there are."""
    name = tires.normalize(designation)
    size = tires.parse_size(name)
    if name in pack.tires or (size and size.diameter_m and tires.is_plausible(size.diameter_m)):
        return name
    hint = did_you_mean(name, pack.tires)
    raise AdvisorError(
        f'--tire: "{designation}" is no tire size known here; allowed: {one_of(pack.tires, 6)}'
        + (f"; {hint}" if hint else "")
    )


def _turns(planted: tuple[Planted, ...], pack: Pack) -> bool:
    """Whether a planted cause goes with the wheels while rolling freely."""
    return any(
        e.of == "wheel" and p.cause != "brake_drum_or_rotor" and p.place is not None
        for p in planted
        for e in pack.causes[p.cause].excites
    )


def _with_speeds(answers: tuple[Answer, ...], speeds: FeltSpeeds | None) -> tuple[Answer, ...]:
    """The pattern over speed comes from the forward model where it has one."""
    if speeds is None:
        return answers
    return tuple(
        Answer(a.symptom, "yes" if a.symptom == f"speed.{speeds.pattern}" else "no", a.place)
        if a.symptom.startswith("speed.")
        else a
        for a in answers
    )


def _ends(planted: tuple[Planted, ...]) -> list[Place]:
    """Wheel ends with a planted cause, duals not told apart."""
    return sorted({Place(p.place.group, p.place.side) for p in planted if p.place})


def _dial(
    built: Built, planted: tuple[Planted, ...], seed: int
) -> dict[Place, tuple[DialReading, ...]]:
    return {
        place: dial_readings(built.parts[place], np.random.default_rng([seed, DIAL, n]))
        for n, place in enumerate(_ends(planted))
    }


def _balance(
    built: Built, planted: tuple[Planted, ...], seed: int
) -> dict[Place, tuple[BalanceReading, ...]]:
    return {
        place: balance_readings(
            built.parts[place],
            built.wheels[place.group],
            built.circumference_m,
            np.random.default_rng([seed, BALANCE, n]),
        )
        for n, place in enumerate(_ends(planted))
    }
