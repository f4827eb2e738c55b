"""A case file -> a Case, with every problem in one go."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from advisor.errors import InputProblems, did_you_mean, one_of
from advisor.intake.answers import AnswerReader
from advisor.intake.checker import NO, YES, Checker
from advisor.intake.raw_case import RawCase, RawConfirmed, RawInspection, RawVehicle, RawWork
from advisor.model.case import (
    WORK_RESULTS,
    Case,
    Confirmed,
    ConfirmedCause,
    InspectionDone,
    Vehicle,
    WorkDone,
)
from advisor.model.pack import Inspection, Pack
from advisor.model.place import Place
from advisor.model.reading import Reading
from advisor.physics import tire as tires
from advisor.physics.units import KG_PER_OZ, M_PER_IN
from advisor.yaml_marks import Document, Key, decode, parse, read_document, validate

# A measure key may be written in the other unit; factor to the pack's unit.
OTHER_UNITS = {
    "_mm": ("_in", 0.001 / M_PER_IN),
    "_g": ("_oz", 0.001 / KG_PER_OZ),
    "_c": ("_f", 9 / 5),  # a difference of temperatures
}


def read_case(path: str | Path, pack: Pack) -> Case:
    """Read a case file."""
    return case_from(read_document(path), pack)


def read_case_bytes(raw: bytes, pack: Pack, name: str = "-") -> Case:
    """Read a case from bytes, such as standard input."""
    return case_from(parse(decode(raw, name), name), pack)


def case_from(document: Document, pack: Pack) -> Case:
    """A parsed document -> a Case; raises InputProblems with all problems."""
    if not isinstance(document.data, dict):
        what = "a case is a mapping that begins with 'case: some-name'"
        raise InputProblems([document.problem((), what)])
    check = Checker(document, pack)
    raw = shape(document, check)
    vehicle = _vehicle(raw.vehicle, check)
    reader = AnswerReader(check)
    reader.read(raw.symptoms, ("symptoms",))
    case = Case(
        id=raw.case,
        vehicle=vehicle,
        title=raw.title,
        unit=raw.unit,
        reported=check.date(("reported",), raw.reported),
        write_up=raw.write_up,
        answers=reader.settled(),
        speed=reader.speed,
        frequencies=tuple(reader.frequencies),
        work_done=tuple(_work(w, ("work_done", i), check) for i, w in enumerate(raw.work_done)),
        inspections=tuple(_inspections(raw.inspections, check)),
        readings=_readings(raw.readings, check, _folder(document)),
        confirmed=_confirmed(raw.confirmed, check) if raw.confirmed else None,
        demo=raw.demo,
        teaches=raw.teaches,
        fixed_by=raw.fixed_by,
        path=document.path,
    )
    if check.problems:
        raise InputProblems(check.problems)
    return case


def shape(document: Document, check: Checker) -> RawCase:
    """The raw case. Where parts of it are misshapen their problems are noted and the rest is read
    on, so that all problems come in one go."""
    data = _given(document.data)
    if isinstance(data.get("vehicle"), dict):
        data["vehicle"] = _given(data["vehicle"])
    try:
        return validate(document, data, RawCase)
    except InputProblems as error:
        check.problems += error.problems
    fits = RawCase(case="unnamed", vehicle=RawVehicle(type=""))
    vehicle = data.pop("vehicle", {})
    parts: list[dict[str, Any]] = [{key: value} for key, value in data.items()]
    if isinstance(vehicle, dict):
        parts += [{"vehicle": {"type": "", key: value}} for key, value in vehicle.items()]
    for part in parts:
        try:
            made = RawCase.model_validate({"case": "unnamed", "vehicle": {"type": ""}, **part})
        except ValidationError:
            continue
        told = {name: getattr(made, name) for name in part if name != "vehicle"}
        if "vehicle" in part:
            said = made.vehicle.model_dump(exclude_defaults=True, exclude={"type"})
            said |= {"type": made.vehicle.type} if made.vehicle.type else {}
            told["vehicle"] = fits.vehicle.model_copy(update=said)
        fits = fits.model_copy(update=told)
    return fits


def _given(data: dict[str, Any]) -> dict[str, Any]:
    """A key with nothing behind it is not given."""
    return {key: value for key, value in data.items() if value not in ("", "~", "null")}


def _readings(raws: Sequence[Any], check: Checker, folder: Path | None) -> tuple[Reading, ...]:
    """Readings of a case; what reads them is loaded only where there are some."""
    if not raws:
        return ()
    from advisor.intake.readings import case_readings

    return tuple(case_readings(raws, check, folder))


def _folder(document: Document) -> Path | None:
    """Where a case's reading files lie: beside it; None for standard input."""
    return None if document.path == "-" else Path(document.path).parent


def _vehicle(raw: RawVehicle, check: Checker) -> Vehicle:
    pack = check.pack
    kind = None
    if raw.type:  # else it is missing, which is noted already
        kind = check.pick(("vehicle", "type"), raw.type, pack.vehicles, "vehicle type")
    check.vehicle = pack.vehicles.get(kind or "")
    if check.vehicle and raw.trailer is False:
        groups = [g for g in check.vehicle.axle_groups if not g.attached]
        check.vehicle = check.vehicle.model_copy(update={"axle_groups": groups})
    if raw.tire is not None:
        check_tire(raw.tire, ("vehicle", "tire"), check)
    duties = sorted({info.duty for info in pack.vehicles.values()} | {"private", "line_haul"})
    wheels = ["steel_disc", "aluminum_disc", "cast_spoke", "demountable_rim"]
    duty = check.pick(("vehicle", "duty"), raw.duty, duties, "duty") if raw.duty else None
    wheel = (
        check.pick(("vehicle", "wheel"), raw.wheel, wheels, "kind of wheel") if raw.wheel else None
    )
    return Vehicle(
        type=kind or raw.type,
        tire=tires.normalize(raw.tire) if raw.tire else None,
        axle_ratio=raw.axle_ratio,
        duty=duty or (check.vehicle.duty if check.vehicle else None),
        wheel=wheel,
        revs_per_mile=raw.revs_per_mile,
        cylinders=raw.cylinders,
        gear_ratio=raw.gear_ratio,
        engine_rpm=raw.engine_rpm,
        studs=raw.studs,
        has_trailer=raw.trailer,
        odometer_miles=raw.odometer_miles,
    )


def check_tire(designation: str, at: Key, check: Checker) -> None:
    """Note a problem when a tire designation is neither in the table nor computable."""
    name = tires.normalize(designation)
    if name in check.pack.tires:
        return
    size = tires.parse_size(name)
    near = did_you_mean(name, check.pack.tires)
    if size is None or size.diameter_m is None:
        kind = "is not a tire size" if size is None else "is an inch size that is not in the table"
        hint = near or "give revs_per_mile instead"
        check.add(at, f'"{designation}" {kind}', one_of(check.pack.tires, 6), hint)
    elif not tires.is_plausible(size.diameter_m):
        what = f'"{designation}" would be {size.diameter_m:.2f} m across, which no road tire is'
        check.add(at, what, "0.45 to 1.65 m", near)


def _work(raw: RawWork, at: Key, check: Checker) -> WorkDone:
    what = check.pick((*at, "what"), raw.what, check.pack.work, "piece of work")
    result = check.pick((*at, "result"), raw.result, WORK_RESULTS, "result of work")
    place = check.place((*at, "where"), raw.where) if raw.where else None
    return WorkDone(
        what or raw.what, result or "unknown", check.date((*at, "when"), raw.when), place
    )


def _inspections(raws: list[RawInspection], check: Checker) -> list[InspectionDone]:
    done: list[InspectionDone] = []
    for index, raw in enumerate(raws):
        at: Key = ("inspections", index)
        id_ = check.pick((*at, "id"), raw.id, check.pack.inspections, "inspection")
        if id_ is None:
            continue
        for place in _places(check.pack.inspections[id_], raw.place, at, check):
            one = _inspection(check.pack.inspections[id_], raw, place, at, check)
            if any(_clash(one, other) or _clash(other, one) for other in done):
                check.add(at, f"{one.id} is given as found and as clear at the same place")
            done.append(one)
    return done


def _clash(clear: InspectionDone, found: InspectionDone) -> bool:
    """A check that is clear for an axle cannot have found something at one of its wheels."""
    if (clear.id, clear.outcome, found.outcome) != (found.id, "clear", "found"):
        return False
    if clear.place is None or found.place is None:
        return True
    return clear.place.covers(found.place)


def _places(kind: Inspection, place: str | None, at: Key, check: Checker) -> list[Place | None]:
    """Where an inspection was done; `all` stands for every axle it can be done at."""
    if kind.at == "vehicle":
        return [None]
    if place is None:
        check.add((*at, "place"), f"{kind.id} needs a place, such as steer_left, or all")
        return []
    if place.strip().lower() == "all" and check.vehicle:
        groups = [g.group for g in check.vehicle.axle_groups]
        return [Place(g) for g in groups if not kind.groups or g in kind.groups]
    found = check.place((*at, "place"), place)
    if found and kind.groups and found.group not in kind.groups:
        what = f"{kind.id} is not done at the {found.group} axle"
        check.add((*at, "place"), what, ", ".join(kind.groups))
        return []
    return [found] if found else []


def _inspection(
    kind: Inspection, raw: RawInspection, place: Place | None, at: Key, check: Checker
) -> InspectionDone:
    outcome: Any = None
    values: dict[str, float] = {}
    if isinstance(raw.result, str):
        outcome = _outcome(raw.result, (*at, "result"), check)
    else:
        if not raw.result:
            check.add((*at, "result"), "no result is given", "found, clear, skipped, or numbers")
        for key, said in raw.result.items():
            here = (*at, "result", key)
            if key == "outcome":
                outcome = _outcome(said, here, check)
            else:
                _measured(kind, key, said, here, check, values)
    when = check.date((*at, "date"), raw.date)
    return InspectionDone(kind.id, place, outcome, values, raw.by, when)


def _outcome(word: str, at: Key, check: Checker) -> str | None:
    text = word.strip().lower()
    if text in YES:
        return "found"
    if text in NO | {"ok", "good", "fine", "none"}:
        return "clear"
    return check.pick(at, text, ["found", "clear", "skipped"], "result of an inspection")


def _measured(
    kind: Inspection, key: str, said: str, at: Key, check: Checker, values: dict[str, float]
) -> None:
    name, factor = key, 1.0
    for other, (ours, times) in OTHER_UNITS.items():
        if key.endswith(other):
            name, factor = key.removesuffix(other) + ours, times
    allowed = {m.key: m for m in kind.measures}
    if name not in allowed:
        keys = [*allowed, "outcome"]
        check.add(at, f'{kind.id} has no number "{key}"', one_of(keys), did_you_mean(key, keys))
        return
    number = check.number(at, said, -500, 5000, key.rsplit("_", 1)[-1])
    if name in values:
        check.add(at, f"{name} is given twice, in two units")
    if number is not None:
        if allowed[name].unit == "in" and abs(number * factor) > 6:
            what = f"{number:g} {key} is more than any dial can read"
            check.add(at, what, "", "are the units right?")
        values[name] = number * factor


def _confirmed(raw: RawConfirmed, check: Checker) -> Confirmed:
    causes = []
    for index, cause in enumerate(raw.causes):
        at: Key = ("confirmed", "causes", index)
        id_ = check.pick((*at, "id"), cause.id, check.pack.causes, "cause")
        place = check.place((*at, "place"), cause.place) if cause.place else None
        causes.append(ConfirmedCause(id_ or cause.id, place))
    return Confirmed(tuple(causes), raw.by, check.date(("confirmed", "date"), raw.date))


def answers_of(say: Mapping[str, Any], document: Document, pack: Pack, vehicle: str) -> Case:
    """A case from the `say:` of a rule's example (symptoms plus inspections and work_done)."""
    rest = {k: v for k, v in say.items() if k not in ("inspections", "work_done")}
    data = {
        "case": "example",
        "vehicle": {"type": vehicle},
        "symptoms": rest or None,
        **{k: v for k, v in say.items() if k in ("inspections", "work_done")},
    }
    return case_from(Document(document.path, data, document.marks), pack)
