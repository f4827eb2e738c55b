"""The walk as a state machine: a case text and a rule pack in, next steps out.

It knows no terminal and no file: a front end shows `step`, hands over what was said, and keeps
`text` safe after every answer. The text is the whole state, so a session can be taken up anywhere.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from advisor.bench.casetext import add_answer, add_item, drop_last, put_section
from advisor.bench.changes import changed
from advisor.bench.looking import Look
from advisor.bench.record import (
    ACCESS,
    SETTLED,
    Record,
    after_inspection,
    flow,
    read_record,
    replayed,
    section,
)
from advisor.bench.said import COMMANDS, Said, understand
from advisor.bench.step import Reply, Step
from advisor.bench.why import why
from advisor.errors import AdvisorError
from advisor.evidence.network import groups_of
from advisor.intake.case_file import case_from
from advisor.intake.raw_case import RawBenchStep
from advisor.model.case import Case
from advisor.model.pack import Pack
from advisor.model.place import GROUPS, Place, parse_place
from advisor.yaml_marks import parse

NOT_READY = 'first the cautions: when all of them are in place say "ready", or skip the step'
WORDS_IN_CASE = {"found": "found", "clear": "clear", "skip": "skipped"}


class BenchSession:
    """One case at the truck. text: the case file as it stands; path: its name in messages; by and
    date: written beside each result, if given."""

    def __init__(self, text: str, pack: Pack, path: str = "-", by: str = "", date: str = ""):
        self.pack = pack
        self.path = path
        self.by = by
        self.date = date
        self.text = text
        self._read(text)

    def _read(self, text: str) -> None:
        document = parse(text, self.path)
        case = case_from(document, self.pack)
        if case.confirmed is not None:
            hint = "take confirmed: out to go on, or play it with: advisor drill"
            raise AdvisorError(f"{self.path}: this case is closed already; {hint}")
        groups = groups_of(self.pack, case.vehicle)
        record = read_record(document, self.pack, groups)
        self._look = Look(self.pack, case, record)
        self._step = self._look.step()
        self.text = text

    @property
    def case(self) -> Case:
        """The case as it stands."""
        return self._look.case

    @property
    def record(self) -> Record:
        """What is open, and the answers so far."""
        return self._look.record

    @property
    def step(self) -> Step:
        """What comes next."""
        return self._step

    def say(self, line: str) -> Reply:
        """Take one typed answer. Raises AdvisorError when it is no answer to this step; then
        nothing has changed."""
        step = self._step
        if step.confirm and line.strip().lower().partition(" ")[0] not in COMMANDS:
            raise AdvisorError(NOT_READY)
        kind = self.pack.inspections[step.inspection.id] if step.inspection else None
        return self.take(understand(line, kind, step.inspection.place if step.inspection else ""))

    def take(self, said: Said) -> Reply:
        """Take one answer, as `say` does."""
        if said.word == "stop":
            return Reply(("Stopped. Every answer so far is in the case file.",), ended=True)
        if said.word == "help":
            return Reply(help_lines(self._step))
        if said.word == "why":
            return Reply(tuple(why(self._look, self._step)))
        if said.word == "cautions":
            return Reply(cautions_in_full(self._step))
        if said.word == "back":
            return self._back()
        if said.word == "lowered":
            return self._lowered()
        return self._answer(said)

    def _answer(self, said: Said) -> Reply:
        step = self._step
        if step.kind in ("settled", "specialist"):
            if said.word == "more" and step.kind == "settled":
                return self._more(step)
            more = ", or more to look for a second cause" if step.kind == "settled" else ""
            raise AdvisorError(f"the walk is at its end; say stop, back or close{more}")
        if step.kind == "question":
            return self._question(step, said)
        if said.word == "ready":
            if not step.confirm:
                raise AdvisorError("this step asks for no confirmation; say what was found")
            return self._ready(step)
        if step.confirm and said.word != "skip":
            raise AdvisorError(NOT_READY)
        return self._inspection(step, said)

    def _ready(self, step: Step) -> Reply:
        """Note that the cautions are in place; the case itself is as it was."""
        done = RawBenchStep(step=step.id, answer="ready")
        record = self.record.with_step(done, self.record.opened)
        self.text = put_section(self.text, "bench", section(record), self.path)
        self._look.record = record
        self._step = replace(step, confirm=False)
        return Reply((), changed=True)

    def _question(self, step: Step, said: Said) -> Reply:
        if said.word not in ("yes", "no", "skip"):
            raise AdvisorError("the answer to a question is yes, no or skip")
        text, added, answer = self.text, 0, "skipped"
        if said.word != "skip":
            text, added, answer = add_answer(text, step.id, said.word, self.path), 1, said.word
        done = RawBenchStep(step=step.id, answer=answer, why=said.why, added=added)
        return self._write(text, done, self.record.opened)

    def _inspection(self, step: Step, said: Said) -> Reply:
        assert step.inspection is not None
        if said.word not in ("found", "clear", "skip", "measured"):
            raise AdvisorError("the answer to an inspection is found, clear, a reading or skip")
        id_ = step.inspection.id
        entries = self._entries(step, said)
        text, opened = self.text, self.record.opened
        for entry in entries:
            text = add_item(text, "inspections", flow(entry), self.path)
        if said.word != "skip":
            for place in sorted({str(e.get("place", "")) for e in entries}):
                opened = after_inspection(opened, id_, place, self.pack, self._look.groups)
        answer = "skipped" if said.word == "skip" else said.word
        done = RawBenchStep(step=step.id, answer=answer, why=said.why, added=len(entries))
        return self._write(text, done, opened)

    def _entries(self, step: Step, said: Said) -> list[dict[str, object]]:
        """What goes under `inspections:`. Where places are named, the others of the step count as
        clear."""
        assert step.inspection is not None
        id_, place = step.inspection.id, step.inspection.place
        if said.word == "measured":
            return [
                self._entry(id_, where, {k: f"{v:.6g}" for k, v in numbers.items()})
                for where, numbers in said.values.items()
            ]
        result = WORDS_IN_CASE[said.word]
        if said.word != "found" or not place:
            return [self._entry(id_, one, result) for one in _places_in(place)]
        here = self._spread(place)
        named = [p for p in map(parse_place, said.places) if p is not None]
        if not named and len(here) > 1:
            said_so = ", ".join(str(p) for p in here)
            raise AdvisorError(f"found where? say found and the place: {said_so}")
        entries = [self._entry(id_, str(p), "found") for p in named or here]
        clear = [p for p in here if not any(p.covers(n) or n.covers(p) for n in named or here)]
        return entries + [self._entry(id_, str(p), "clear") for p in clear]

    def _spread(self, place: str) -> list[Place]:
        """The ends a step covers: both sides of each axle, or the one it names."""
        names = [g.group for g in self._look.groups] if place == "all" else _places_in(place)
        made: list[Place] = []
        for found in (parse_place(n) for n in names):
            assert found is not None and found.group in GROUPS
            sides = [found.side] if found.side else ["left", "right"]
            made += [Place(found.group, side, found.dual) for side in sides]
        return made

    def _entry(self, id_: str, place: str, result: object) -> dict[str, object]:
        entry: dict[str, object] = {"id": id_}
        entry |= {"place": place} if place else {}
        entry["result"] = result
        entry |= {"by": self.by} if self.by else {}
        entry |= {"date": self.date} if self.date else {}
        return entry

    def _more(self, step: Step) -> Reply:
        text, record = self.text, self.record
        for remedy in step.remedies:
            done = RawBenchStep(step=f"{SETTLED}@{remedy.cause}", answer="more")
            record = record.with_step(done, record.opened)
        self._read(put_section(text, "bench", section(record), self.path))
        return Reply(("Looking for a second cause beside it.",), changed=True)

    def _lowered(self) -> Reply:
        if not self.record.opened:
            raise AdvisorError("nothing is open; the vehicle stands as parked")
        done = RawBenchStep(step=ACCESS, answer="lowered")
        self._write(self.text, done, frozenset())
        return Reply(("Noted: back on its wheels, as parked.",), changed=True)

    def _back(self) -> Reply:
        """Take the last answer back, with what it put into the case."""
        log = list(self.record.log)
        if not log:
            raise AdvisorError("there is no answer to take back")
        while log[-1].answer == "ready" and len(log) > 1:
            log.pop()
        last = log.pop()
        while log and log[-1].answer == "ready" and log[-1].step == last.step:
            log.pop()
        key = "symptoms" if last.answer in ("yes", "no") else "inspections"
        self._refuse_if_edited(last, key)
        text = drop_last(self.text, key, last.added, self.path)
        opened = replayed(log, self.pack, self._look.groups)
        self._read(put_section(text, "bench", section(Record(opened, tuple(log))), self.path))
        return Reply((f"Taken back: {last.step}, {last.answer}.",), changed=True)

    def _refuse_if_edited(self, last: RawBenchStep, key: str) -> None:
        """The last entries must still be those the answer wrote."""
        if not last.added:
            return
        held = parse(self.text, self.path).data.get(key) or []
        tail = list(held)[-last.added :]
        name = last.step.partition("@")[0]
        same = [
            (e == name) if key == "symptoms" and isinstance(e, str) else name in _names(e)
            for e in tail
        ]
        if len(same) < last.added or not all(same):
            raise AdvisorError(
                f"the last answer ({last.step}) was changed by hand in the file; take it out there"
            )

    def _write(self, text: str, done: RawBenchStep, opened: frozenset[str]) -> Reply:
        before = self._look
        record = self.record.with_step(done, opened)
        self._read(put_section(text, "bench", section(record), self.path))
        return Reply(tuple(changed(before, self._look)), changed=True)


def cautions_in_full(step: Step) -> tuple[str, ...]:
    """The cautions of a step, or of the remedies at the end, each in full."""
    notes = [*step.cautions, *(note for r in step.remedies for note in r.cautions)]
    texts = tuple(dict.fromkeys(note.text for note in notes))
    return texts or ("This step has no cautions of its own.",)


def _names(entry: object) -> set[str]:
    """The id of an inspection entry, or the symptoms an answer names."""
    if not isinstance(entry, dict):
        return set()
    return {str(entry["id"])} if "id" in entry else set(map(str, entry))


def _places_in(place: str) -> list[str]:
    """The places of a step, as they are written into the case ('' for the whole vehicle)."""
    return [part.strip() for part in place.split(",")]


def help_lines(step: Step) -> tuple[str, ...]:
    """What can be said at a step."""
    often: Sequence[str] = {
        "question": ("yes, no, skip (the driver does not know)",),
        "settled": ("close (the case), more (look for a second cause)",),
        "specialist": ("close (if the cause is known now)",),
    }.get(
        step.kind,
        (
            "ready: the cautions are in place (asked before a step with a hazard)",
            "found, clear (yes, no); found left: where, the rest of the step is clear",
            "a reading with its unit: left 0.034 in right 3.2 mm; 12 oz",
            "skip cannot, skip will_not, skip no_tool",
            "lowered: the vehicle was let down meanwhile",
        ),
    )
    return (
        *often,
        "back: take the last answer back; why: what speaks for it; cautions: in full",
        "stop: go on later; every answer is saved already",
    )
