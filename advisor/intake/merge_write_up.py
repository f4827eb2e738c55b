"""What a write-up says fills in what nobody answered; an explicit answer always stands.

A key of symptoms that was answered with a yes is not missing, so the text adds nothing to it but
what must not wait. Where text and answer contradict each other the answer is used and the conflict
is kept for the report.
"""

from __future__ import annotations

import functools
from collections.abc import Iterable

from advisor.errors import AdvisorError
from advisor.intake.write_up import Reader, compile_wording
from advisor.model.case import Answer, Case, Conflict, Span, SpeedRange, WorkDone
from advisor.model.pack import Pack
from advisor.model.read import ReadWriteUp

MASK = "#"
_READERS: dict[str, Reader] = {}


def reader_of(pack: Pack) -> Reader:
    """The reader for a pack's wording, compiled once for each content."""
    if pack.sha256 not in _READERS:
        _READERS.clear()
        try:
            _READERS[pack.sha256] = compile_wording(pack.wording)
        except ValueError as error:
            hint = "`advisor rules check` says where"
            raise AdvisorError(f"the wording of the rules: {error}; {hint}") from None
    return _READERS[pack.sha256]


@functools.lru_cache(maxsize=512)
def _read_lately(reader: Reader, text: str) -> ReadWriteUp:
    """A case is read again at every step of a walk or page."""
    return reader.read(text)


def merge_write_up(case: Case, pack: Pack, show_personal: bool = False) -> Case:
    """The case with what its write-up adds; names and phone numbers in the text masked."""
    if not case.write_up.strip() or not pack.wording.files or case.marks:
        return case  # nothing to read, or read already
    read = _read_lately(reader_of(pack), case.write_up)
    merged = merge(case, read, pack)
    if show_personal:
        return merged
    return merged.with_changes(write_up=masked(case.write_up, read.personal))


def merge(case: Case, read: ReadWriteUp, pack: Pack) -> Case:
    """The case with what was read where it says nothing itself, and what contradicts it."""
    answers, conflicts = _answers(case, read, pack)
    speed, clash = _speed(case.speed, read.speed)
    work, others = _work(case.work_done, read.work_done, pack)
    return case.with_changes(
        answers=tuple(sorted(answers, key=lambda a: (a.symptom, str(a.place or ""), a.state))),
        speed=speed,
        work_done=work,
        conflicts=(*case.conflicts, *conflicts, *clash, *others),
        read_notes=read.notes,
        marks=read.marks,
    )


def masked(text: str, personal: Iterable[Span]) -> str:
    """The text with personal stretches made unreadable; the length stays, so spans still fit."""
    for span in personal:
        hidden = "".join(MASK if c.isalnum() else c for c in text[span.start : span.end])
        text = text[: span.start] + hidden + text[span.end :]
    return text


def _answers(case: Case, read: ReadWriteUp, pack: Pack) -> tuple[list[Answer], list[Conflict]]:
    explicit = [a for a in case.answers if a.origin != "read"]
    taken = {pack.symptoms[a.symptom].key for a in explicit if a.state == "yes"}
    answers, conflicts = list(case.answers), []
    for found in read.answers:
        symptom = pack.symptoms.get(found.symptom)
        if symptom is None:
            continue
        against = next((a for a in explicit if _contradicts(a, found, pack)), None)
        if against is not None:
            conflicts.append(
                Conflict(found.symptom, _said(against, pack), _said(found, pack), found.span)
            )
        elif any(_same(a, found) for a in explicit):
            continue
        elif found.state == "no" or symptom.key not in taken or found.symptom in read.safety:
            answers.append(found)
    return answers, conflicts


def _same(answer: Answer, found: Answer) -> bool:
    near = answer.place is None or found.place is None or answer.place.covers(found.place)
    return answer.symptom == found.symptom and near


def _contradicts(answer: Answer, found: Answer, pack: Pack) -> bool:
    """Whether an explicit answer and the text cannot both be right."""
    if _same(answer, found):
        return answer.state != found.state
    one, other = pack.symptoms[answer.symptom], pack.symptoms[found.symptom]
    both_yes = answer.state == found.state == "yes"
    return both_yes and one.exclusive and one.key == other.key and one.id != other.id


def _said(answer: Answer, pack: Pack) -> str:
    where = f", {answer.place.words}" if answer.place else ""
    no = "" if answer.state == "yes" else "not: "
    return f"{no}{pack.symptoms[answer.symptom].name}{where}"


def _speed(
    said: SpeedRange | None, read: SpeedRange | None
) -> tuple[SpeedRange | None, list[Conflict]]:
    """The explicit speeds, else those read; ranges that do not meet are a conflict."""
    if said is None or read is None:
        return said or read, []
    apart = _low(said) > _high(read) or _low(read) > _high(said)
    clash = [Conflict("speed", _mph(said), _mph(read), read.span)] if apart else []
    return said, clash


def _low(speed: SpeedRange) -> float:
    edges = [v for v in (speed.low_mph, speed.peak_mph) if v is not None]
    return min(edges, default=0.0)


def _high(speed: SpeedRange) -> float:
    if speed.high_mph is not None:
        return speed.high_mph
    return speed.peak_mph if speed.low_mph is None and speed.peak_mph is not None else 999.0


def _mph(speed: SpeedRange) -> str:
    if speed.low_mph is not None and speed.high_mph is not None:
        return f"{speed.low_mph:.0f} to {speed.high_mph:.0f} mph"
    if speed.low_mph is not None:
        return f"from {speed.low_mph:.0f} mph"
    if speed.high_mph is not None:
        return f"up to {speed.high_mph:.0f} mph"
    return f"strongest at {speed.peak_mph:.0f} mph"


def _work(
    said: tuple[WorkDone, ...], read: tuple[WorkDone, ...], pack: Pack
) -> tuple[tuple[WorkDone, ...], list[Conflict]]:
    """The explicit list of work, else the one read; results that differ are conflicts."""
    if not said:
        return tuple(w for w in read if w.what in pack.work), []
    conflicts = []
    for one in read:
        same = [w for w in said if w.what == one.what and w.result != "unknown"]
        if same and one.result not in ("unknown", *(w.result for w in same)):
            told = ", ".join(dict.fromkeys(w.result.replace("_", " ") for w in same))
            conflict = Conflict(f"work.{one.what}", told, one.result.replace("_", " "), one.span)
            conflicts.append(conflict)
    return said, conflicts
