"""A simulated complaint as a case file."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from advisor.model.case import Answer, InspectionDone, Vehicle
from advisor.simulated.planted import Planted
from advisor.simulated.speeds import FeltSpeeds

HEAD = "# Simulated from planted causes; the vehicle and its fleet are invented.\n"
REPORTED = "2031-09-01"  # invented
TOLD = ("sensation", "felt_at", "condition", "onset", "growth", "changes", "trigger", "noise")
SEEN = ("wear", "danger", "seen")


def case_text(
    seed: int,
    vehicle: Vehicle,
    planted: tuple[Planted, ...],
    answers: Iterable[Answer],
    speeds: FeltSpeeds | None,
    write_up: str,
    results: Iterable[InspectionDone] = (),
    reading_files: Iterable[str] = (),
) -> str:
    """YAML text. Answers: what the driver would tell unasked, and what is seen on the tires.

    reading_files: names of files beside it.
    """
    import yaml

    given: dict[str, Any] = {
        "case": f"simulated-{seed}",
        "title": "Simulated complaint",
        "unit": f"S-{seed}",
        "reported": REPORTED,
        "vehicle": _vehicle(vehicle),
        "write_up": write_up,
        "symptoms": _symptoms([a for a in answers if a.state == "yes"], speeds),
    }
    done = [_result(one) for one in results]
    given |= {"inspections": done} if done else {}
    readings = [{"file": name} for name in reading_files]
    given |= {"readings": readings} if readings else {}
    if planted:
        causes = [{"id": p.cause} | ({"place": str(p.place)} if p.place else {}) for p in planted]
        sizes = ", ".join(map(str, planted))
        given["confirmed"] = {"causes": causes, "by": f"planted: {sizes}", "date": REPORTED}
    given["demo"] = True
    return HEAD + yaml.safe_dump(given, sort_keys=False, allow_unicode=True, width=100)


def _vehicle(vehicle: Vehicle) -> dict[str, Any]:
    said = {"type": vehicle.type, "tire": vehicle.tire, "axle_ratio": vehicle.axle_ratio}
    said |= {"gear_ratio": vehicle.gear_ratio, "revs_per_mile": vehicle.revs_per_mile}
    return {key: value for key, value in said.items() if value is not None}


def _symptoms(yes: list[Answer], speeds: FeltSpeeds | None) -> dict[str, Any]:
    made: dict[str, Any] = {}
    for answer in yes:
        key, value = answer.symptom.split(".", 1)
        if key in SEEN and answer.place is not None:
            made.setdefault(key, {}).setdefault(str(answer.place), []).append(value)
        elif key == "growth":
            made[key] = value
        elif key in TOLD:
            made.setdefault(key, []).append(value)
        elif key == "speed":
            made["speed"] = {"pattern": value}
    if speeds is not None:
        numbers: Mapping[str, Any] = {"low_mph": speeds.low_mph, "high_mph": speeds.high_mph}
        made["speed"] = {**numbers, "pattern": speeds.pattern}
    return made


def _result(done: InspectionDone) -> dict[str, Any]:
    said: Any = dict(done.values) if done.values else done.outcome
    where = {"place": str(done.place)} if done.place else {}
    return {"id": done.id, **where, "result": said}
