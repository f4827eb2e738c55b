"""The rows of a balance reading: masses asked for, runs with trial weights, weights by speed."""

from __future__ import annotations

import cmath
import math
from collections.abc import Sequence

from advisor.intake.reading_fields import KILOGRAMS, Fields
from advisor.model.reading import MassReading, NullingRun, VibrationRun
from advisor.physics.units import mph_to_m_s

PARTS = ("assembly", "on_vehicle", "hub_and_drum", "tire", "wheel")
PLANES = ("inner", "outer")
FASTEST_MPH = 120.0
# Beyond this a heavy wheel would not be mounted (judgement); the unit is wrong then.
MOST_KG = 5.0
# No weight comes in finer steps and no balancer reads finer (judgement).
LEAST_KG = 1e-6


def mass_readings(
    f: Fields, rows: Sequence[Fields], unit: str, sense: float
) -> tuple[MassReading, ...]:
    """Rows of `method: measured`; where the file shows the heavy side it is turned into ADD."""
    shows = f.word("shows", ("add", "heavy"), "add")
    usual = f.word("of", PARTS, "assembly") or "assembly"
    made = []
    for row in rows:
        amount = mass(row, "amount", unit)
        angle = row.angle("at", sense)
        of = row.word("of", PARTS, usual)
        plane = row.word("plane", PLANES, "")
        if amount is None or of is None:
            continue
        turn = angle or 0.0
        add = amount * cmath.exp(1j * (turn + (math.pi if shows == "heavy" else 0.0)))
        made.append(MassReading(of=of, plane=plane or "", add_kg=add, has_angle=row.has("at")))
    _same_planes(f, made)
    return tuple(made)


def _same_planes(f: Fields, made: Sequence[MassReading]) -> None:
    """One part is read in one plane or in two, not both."""
    for part in {m.of for m in made}:
        planes = {m.plane for m in made if m.of == part}
        if "" in planes and len(planes) > 1:
            what = f"{part} is given with and without a plane"
            f.problem("readings", what, "inner and outer for all of it, or for none")


def mass(row: Fields, key: str, unit: str) -> float | None:
    """A mass of zero or more in kg, None where it is missing or wrong (a problem then)."""
    if not row.has(key):
        row.problem(key, f'the key "{key}" is missing', f"a number in {unit}")
        return None
    value = row.quantity(key, unit, KILOGRAMS, 0.0)
    if value is not None and value > MOST_KG:
        what = f"{row.data[key]} {unit} is more than any wheel is out of balance"
        row.problem(key, what, "", "is the unit right? oz or g")
        return None
    return value


def mass_within(row: Fields, key: str, unit: str, least_kg: float = 0.0) -> float | None:
    """A mass in kg that need not be there; None where it is not, or is wrong (a problem then)."""
    value = row.quantity(key, unit, KILOGRAMS, 0.0)
    if value is not None and not least_kg <= value <= MOST_KG:
        low = "above zero, a milligram or more," if least_kg else "0"
        what = f"{row.data[key]} {unit} is outside what is possible"
        row.problem(key, what, f"{low} to {MOST_KG / KILOGRAMS[unit]:.3g} {unit}")
        return None
    return value


def error_of(row: Fields, key: str, unit: str) -> float | None:
    """The standard error of a mass in kg; None where it is not given, zero or wrong."""
    given = row.quantity(key, unit, KILOGRAMS, 0.0)
    return mass_within(row, key, unit, LEAST_KG) if given else None


def nulling_runs(
    f: Fields, rows: Sequence[Fields], unit: str, sense: float
) -> tuple[tuple[NullingRun, ...], bool]:
    """Rows of `method: two_speed`, and whether every weight has its angle."""
    angled = bool(rows) and all(row.has("weight_at") for row in rows)
    if not angled and any(row.has("weight_at") for row in rows):
        what = "some weights have a position and some have none"
        f.problem("readings", what, "weight_at in every row, or in none")
    made = []
    for row in rows:
        weight = mass(row, "weight", unit)
        angle = row.angle("weight_at", sense) or 0.0
        speed = row.number("speed_mph", 0, FASTEST_MPH, "mph")
        if speed is None and not row.has("speed_mph"):
            row.problem("speed_mph", 'the key "speed_mph" is missing')
        sd = error_of(row, "sd", unit)
        if weight is not None and speed is not None:
            add = weight * cmath.exp(1j * angle)
            made.append(NullingRun(speed_m_s=mph_to_m_s(speed), add_kg=add, sd_kg=sd))
    if rows and len(made) < 2 and len(rows) < 2:
        f.problem("readings", "one speed is given", "two or more, at least 10 mph apart")
    return tuple(made), angled


def vibration_runs(
    f: Fields, rows: Sequence[Fields], method: str, unit: str, sense: float
) -> tuple[VibrationRun, ...]:
    """Rows of the methods with a trial weight: one run without it, the others with it."""
    groups: dict[str, list[Fields]] = {}
    for index, row in enumerate(rows):
        name = row.text("run") or ("" if row.has("weight") else "original")
        alone = method != "two_plane" or not name
        groups.setdefault(f"{name}#{index}" if alone and row.has("weight") else name, []).append(
            row
        )
    made = [_run(group, method, unit, sense) for group in groups.values()]
    runs = tuple(run for run in made if run is not None)
    if len(runs) == len(made):
        _check_runs(f, runs, method)
    return runs


def _run(rows: Sequence[Fields], method: str, unit: str, sense: float) -> VibrationRun | None:
    loaded = [row for row in rows if row.has("weight")]
    trial, plane = 0j, ""
    if loaded:
        weight = mass(loaded[0], "weight", unit)
        if not loaded[0].has("weight_at"):
            loaded[0].problem("weight_at", 'the key "weight_at" is missing', "where the weight was")
        if weight is None:
            return None
        if weight == 0:
            loaded[0].problem("weight", "a trial weight of nothing tells nothing", "above zero")
            return None
        trial = weight * cmath.exp(1j * (loaded[0].angle("weight_at", sense) or 0.0))
        if method == "two_plane":
            plane = loaded[0].word("plane", PLANES) or ""
    points = []
    for row in rows:
        value = _vibration(row, method, sense)
        if value is None:
            return None
        points.append((row.text("point") if method == "two_plane" else "", value))
    return VibrationRun(trial_kg=trial, plane=plane, at_point=tuple(points))


def _vibration(row: Fields, method: str, sense: float) -> complex | None:
    if not row.has("amount"):
        row.problem("amount", 'the key "amount" is missing', "how strong the vibration was")
        return None
    amount = row.number("amount", 0, 1e6)
    if amount is None:
        return None
    if method == "four_run":
        return complex(amount)
    if not row.has("at"):
        row.problem("at", 'the key "at" is missing', "the phase in degrees", "or use four_run")
        return None
    angle = row.angle("at", sense)
    return None if angle is None else amount * cmath.exp(1j * angle)


def _check_runs(f: Fields, runs: Sequence[VibrationRun], method: str) -> None:
    """One original run, and the trial runs the method needs."""
    originals = [run for run in runs if run.trial_kg == 0]
    trials = [run for run in runs if run.trial_kg != 0]
    if len(originals) != 1:
        what = f"{len(originals)} runs without a trial weight"
        f.problem("readings", what, "one, named original")
        return
    if any(value == 0 for _, value in originals[0].at_point):
        f.problem("readings", "the original run shows no vibration: there is nothing to balance")
    least, most = {"single_plane": (1, 1), "four_run": (2, 12), "two_plane": (2, 2)}[method]
    if not least <= len(trials) <= most:
        allowed = f"{least}" if least == most else f"{least} or more"
        f.problem("readings", f"{len(trials)} runs with a trial weight", f"{allowed} for {method}")
    sizes = {round(abs(run.trial_kg), 9) for run in trials}
    if method == "four_run" and len(sizes) > 1:
        what = "the trial weight differs between the runs"
        f.problem("readings", what, "the same weight in every run, at other places")
    if method == "two_plane":
        _check_planes(f, originals[0], trials)


def _check_planes(f: Fields, original: VibrationRun, trials: Sequence[VibrationRun]) -> None:
    points = [name for name, _ in original.at_point]
    if len(points) < 2 or len(set(points)) != len(points):
        f.problem("readings", "two planes need two reading points", "point: inner, point: outer")
    if sorted(run.plane for run in trials) != sorted(PLANES):
        f.problem("readings", "the trial weight must be tried once in each plane", "inner, outer")
    for run in trials:
        if sorted(name for name, _ in run.at_point) != sorted(points):
            what = f"the run with the weight in the {run.plane} plane was not read at every point"
            f.problem("readings", what, ", ".join(points))
