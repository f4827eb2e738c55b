"""Look-ups the renderers share: names by id, cautions by id, what is shown first, citations."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from advisor.model.diagnosis import (
    CautionNote,
    Diagnosis,
    Outlook,
    PlaceShare,
    PlannedInspection,
    SafetyFinding,
    SourceNote,
)
from advisor.report import words


class Citations:
    """Numbers sources in the order in which they are cited; knows only those cited."""

    def __init__(self, known: Sequence[SourceNote]):
        self._known = {source.id: source for source in known}
        self._numbers: dict[str, int] = {}

    def number(self, source: str) -> int:
        """The number of a source id, counted from 1; the same id keeps its number."""
        return self._numbers.setdefault(source, len(self._numbers) + 1)

    def cited(self) -> list[tuple[int, str, str]]:
        """(number, text, how it was seen) of every cited source, in order."""
        return [(n, *self._entry(source)) for source, n in self._numbers.items()]

    def _entry(self, source: str) -> tuple[str, str]:
        note = self._known.get(source)
        if note is None:
            return words.plain(source), "not spelled out in this document"
        return note.text, words.seen(note.seen)


class Told:
    """Cautions of one page: in full where first needed, after that the first sentence and where
    the rest stands. None is ever left out beside a step."""

    def __init__(self, d: Diagnosis):
        self._d = d
        self._where: dict[str, str] = {}

    def beside(self, ids: Iterable[str], where: str) -> list[tuple[CautionNote, str, str]]:
        """(caution, text to print, where it stands in full or empty) for each id."""
        found = []
        for note in cautions(self._d, ids):
            first = self._where.setdefault(note.id, where)
            if first == where:
                found.append((note, note.text, ""))
            else:
                found.append((note, short(note), first))
        return found


def short(note: CautionNote) -> str:
    """The act a caution asks for, in one line."""
    return note.short or words.first_sentence(note.text)


def cautions(d: Diagnosis, ids: Iterable[str]) -> list[CautionNote]:
    """The cautions with these ids, in this order, each once.

    An id the document does not spell out is still shown, by its id: a caution is never dropped.
    """
    known = {note.id: note for note in d.cautions}
    return [
        known.get(i) or CautionNote(id=i, text=words.sentence(words.plain(i)), source="")
        for i in dict.fromkeys(ids)
    ]


def general_cautions(d: Diagnosis, steps: Sequence[PlannedInspection]) -> list[CautionNote]:
    """The cautions of the document that stand beside none of these steps and no finding."""
    beside = {i for step in steps for i in step.cautions}
    beside |= {i for finding in d.safety.findings for i in finding.cautions}
    return [note for note in d.cautions if note.id not in beside]


def do_now(d: Diagnosis) -> list[str]:
    """What the safety findings ask for at once, each once, the most urgent finding first."""
    return list(dict.fromkeys(finding.do_now for finding in d.safety.findings))


def safety_checks(d: Diagnosis) -> list[str]:
    """The inspections all safety findings ask for, each once, by name where it is known."""
    names = {step.id: step.name for step in d.inspections}
    wanted = dict.fromkeys(i for finding in d.safety.findings for i in finding.checks)
    return [names.get(i) or words.plain(i) for i in wanted]


def safety_cautions(d: Diagnosis) -> list[CautionNote]:
    """The cautions of all safety findings, each once."""
    return cautions(d, (i for finding in d.safety.findings for i in finding.cautions))


def triggers(d: Diagnosis, finding: SafetyFinding) -> list[str]:
    """What triggered a safety finding, in the words of the answers where there are any."""
    said = {
        statement.symptom: statement.says
        for cause in d.causes
        for statement in (*cause.for_, *cause.against)
    }
    return [said.get(i) or words.plain(i) for i in finding.triggered_by]


def first_steps(d: Diagnosis, most: int | None) -> list[PlannedInspection]:
    """The first `most` inspections in their order, and every safety inspection beyond."""
    if most is None:
        return list(d.inspections)
    return [step for n, step in enumerate(d.inspections) if n < most or step.safety]


def later_steps(d: Diagnosis, most: int) -> list[PlannedInspection]:
    """The inspections that `first_steps` leaves out."""
    return [step for n, step in enumerate(d.inspections) if n >= most and not step.safety]


def result(tell: Outlook) -> str:
    """'found (about 6 in 10)' or 'clear': the chance is said once, with the finding."""
    return f"found ({words.chance(tell.probability)})" if tell.result == "found" else tell.result


def outlook(d: Diagnosis, tell: Outlook) -> str:
    """What a result would mean and which causes would then stand first."""
    led = words.listing([_led(d, share) for share in tell.first])
    return words.sentence(tell.means) + (f" Then first: {led}." if led else "")


def outlook_in_brief(d: Diagnosis, tell: Outlook, step: PlannedInspection) -> str:
    """The cause that would then lead; for a safety step, and where no cause is named, what the
    result means."""
    if step.safety or not tell.first:
        return tell.means
    share = tell.first[0]
    names = {cause.id: cause.name for cause in d.causes}
    cause, _, there = share.place.partition("@")
    same = there == step.place and cause in names
    led = names[cause] if same else _named(share.place, names)
    return f"{led} leads ({words.chance(share.probability)})"


def _led(d: Diagnosis, share: PlaceShare) -> str:
    names = {cause.id: cause.name for cause in d.causes}
    return f"{_named(share.place, names)} ({words.chance(share.probability)})"


def _named(text: str, names: dict[str, str]) -> str:
    """'cause', 'cause@place' or a place, in words."""
    cause, _, at = text.partition("@")
    if cause not in names:
        return words.place(text)
    return f"{names[cause]}, {words.place(at)}" if at else names[cause]


def vehicle(d: Diagnosis) -> str:
    """The vehicle on one line."""
    v = d.vehicle
    parts = [v.name, v.tire, f"axle ratio {v.axle_ratio:.2f}" if v.axle_ratio else ""]
    parts += [f"{words.plain(v.wheel)} wheels" if v.wheel else ""]
    return ", ".join(part for part in parts if part)


def head(d: Diagnosis) -> str:
    """Case, unit and date on one line."""
    parts = [f"Case {d.case}"]
    parts += [f"unit {d.unit}"] if d.unit else []
    parts += [f"reported {d.reported}"] if d.reported else []
    return ", ".join(parts)


def stamp(d: Diagnosis, short: bool = False) -> str:
    """Rule pack version, content hash (short: its first twelve digits) and overlay."""
    overlay = f", with shop overlay {d.pack.overlay}" if d.pack.overlay else ""
    return f"Rules {d.pack.version}, content {d.pack.sha256[: 12 if short else None]}{overlay}"


def effect(d: Diagnosis, text: str) -> str:
    """What an answer would do; a bare cause id becomes the cause's name."""
    names = {cause.id: cause.name for cause in d.causes}
    return names.get(text) or text


def also_possible(d: Diagnosis, after: int, most: int = 6) -> str:
    """The causes after the first ones, by name, as far as they are worth a line."""
    rest = d.causes[after:]
    shown = [c for c in rest[:most] if c.probability >= 0.02]
    named = [f"{c.name} ({words.chance(c.probability)})" for c in shown]
    left = len(rest) - len(shown)
    named += [f"{left} more, none likelier than these"] if left and named else []
    named += [f"{left} more, each {words.chance(0.0)}"] if left and not named else []
    return words.listing(named)


def firmness(d: Diagnosis, most: int = 2) -> str:
    """Whether the first place hangs on single answers, naming the first few."""
    if d.firmness is None:
        return ""
    hangs = d.firmness.hangs_on
    if d.firmness.state == "firm" or len(hangs) <= most:
        return d.firmness.says
    told = "; ".join(hangs[:most])
    return (
        f"Which cause is first hangs on: {told}; and {len(hangs) - most} more. Check these again."
    )


def unknown(d: Diagnosis, asked: Sequence[str] = ()) -> list[str]:
    """What nobody has said yet, without the words of the heading and what is asked anyway."""
    return [
        u.says.removeprefix("not known: ").rstrip(".") for u in d.unknown if u.symptom not in asked
    ]


def speeds(d: Diagnosis) -> str:
    """The speeds the frequency table was made for."""
    if not d.orders:
        return ""
    return words.mph(min(o.mph_low for o in d.orders), max(o.mph_high for o in d.orders))
