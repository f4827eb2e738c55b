"""What the readers of a sheet found, put together: each statement once, denials apart."""

from __future__ import annotations

from dataclasses import dataclass

from advisor.intake.text_dangers import Dangers
from advisor.intake.text_found import Findings, Found
from advisor.intake.text_places import place_near
from advisor.intake.text_results import Job
from advisor.intake.text_sheet import Sheet
from advisor.intake.text_speeds import Said
from advisor.intake.text_work import TIRE_WORK
from advisor.model.case import Answer, Span, SpeedRange, WorkDone
from advisor.model.read import ONE_VALUE, PLACED, Mark, ReadWriteUp

COARSE = "sensation.vibration"
TRACKING = {COARSE, "sensation.hum", "sensation.pull", "sensation.wander"}


@dataclass(frozen=True)
class Gathered:
    """Everything read from one sheet."""

    told: Findings
    danger: Dangers
    work: list[Job]
    said: list[Said]
    speed: SpeedRange | None
    pattern: str


def summary(sheet: Sheet, all_: Gathered, personal: tuple[Span, ...]) -> ReadWriteUp:
    """The document of one write-up."""
    told, danger = all_.told, all_.danger
    answers = _there(sheet, all_)
    yes = {answer.symptom for answer in answers.values()}
    denied = [found for found in [*told.denied, *danger.denied] if found[0] not in yes]
    if told.is_vibration:  # "otherwise no vibration": the plain word covers all of them
        denied = [found for found in denied if found[0] != COARSE]
    fine = [found for found in denied if found[0].startswith("fine.")]
    for id_, start, end in denied:
        if not id_.startswith("fine.") and (id_, "") not in answers:
            answers[id_, ""] = Answer(id_, "no", None, "read", sheet.span(start, end))
    work, earlier = _work_done(sheet, all_.work)
    return ReadWriteUp(
        text=sheet.text,
        is_vibration=told.is_vibration,
        answers=tuple(answers[key] for key in sorted(answers)),
        speed=all_.speed,
        work_done=work,
        denied=tuple(dict.fromkeys([found[0] for found in denied] + _smooth(all_.said))),
        safety=tuple(sorted(id_ for id_ in yes if _is_safety(id_))),
        asides=tuple(
            [Mark("fine", id_.partition(".")[2], sheet.span(a, b)) for id_, a, b in fine] + earlier
        ),
        notes=_notes(sheet, told, danger, all_.said),
        personal=personal,
    )


def _there(sheet: Sheet, all_: Gathered) -> dict[tuple[str, str], Answer]:
    """Everything said to be there, by id and place; of keys that take one value, the first."""
    there = _finer_only(all_.told.there) + all_.danger.there
    for job in all_.work:
        if job.begins_it and all_.told.sensed:
            onset = "after_tire_work" if job.what in TIRE_WORK else "after_other_work"
            there.append((f"onset.{onset}", job.start, job.end))
    answers: dict[tuple[str, str], Answer] = {}
    single: set[str] = set()
    for id_, start, end in there:
        key = id_.partition(".")[0]
        if key in ONE_VALUE:
            if key in single:
                continue
            single.add(key)
        place = place_near(sheet, start, end) if key in PLACED else None
        slot = (id_, str(place) if place else "")
        if slot not in answers:
            answers[slot] = Answer(id_, "yes", place, "read", sheet.span(start, end))
    if all_.pattern and all_.speed is not None and "speed" not in single:
        id_ = f"speed.{all_.pattern}"
        answers[id_, ""] = Answer(id_, "yes", None, "read", all_.speed.span)
    return answers


def _finer_only(there: list[Found]) -> list[Found]:
    """The plain word vibration only when nothing finer is said."""
    felt = {found[0] for found in there if found[0].startswith("sensation.")}
    if felt - TRACKING:
        return [found for found in there if found[0] != COARSE]
    return list(there)


def _is_safety(symptom: str) -> bool:
    return symptom.startswith("danger.") or symptom == "wear.bulge_or_separation"


def _smooth(said: list[Said]) -> list[str]:
    """Speeds that are called smooth, as ids."""
    made = []
    for one in said:
        if one.role == "smooth":
            speed = one.speed
            edge = speed.low if speed.low is not None else speed.high
            made.append(f"smooth.{'at' if speed.shape == 'point' else speed.shape}_{edge:.0f}")
    return made


def _work_done(sheet: Sheet, jobs: list[Job]) -> tuple[tuple[WorkDone, ...], list[Mark]]:
    """Each piece of work once, with the last result that is known; marks of earlier tries."""
    best: dict[str, Job] = {}
    for job in jobs:
        if job.what not in best or job.result != "unknown":
            best[job.what] = job
    done = []
    for job in best.values():
        place = place_near(sheet, job.start, job.end)
        span = sheet.span(job.start, job.end)
        done.append(WorkDone(job.what, job.result, None, place, "read", span))
    earlier = [job for job in jobs if best[job.what] is not job]
    return tuple(done), [Mark("work_done", j.what, sheet.span(j.start, j.end)) for j in earlier]


def _notes(sheet: Sheet, told: Findings, danger: Dangers, said: list[Said]) -> tuple[str, ...]:
    """What a reader should know; the texts stand with the limitations of the pack."""
    notes = []
    roles = {one.role for one in said}
    if "braking" in roles and roles & {"felt", "starts", "peak"}:
        notes.append("two_complaints")
    if told.not_rolling and told.is_vibration:
        notes.append("other_vibration_too")
    if danger.likeness:
        notes.append("wheel_coming_off_said_as_a_likeness")
    if "authority" in sheet.hits and "guess" in sheet.hits:
        notes.append("verdict_of_somebody_else")
        if "overturn" in sheet.hits:
            notes.append("verdict_overturned")
    if told.elsewhere:
        notes.append("speaks_of_another_vehicle_or_of_what_might_be")
    return tuple(notes)
