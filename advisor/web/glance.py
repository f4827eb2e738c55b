"""A case at a glance while it is being told: verdict, first causes, what to ask next.

It leaves out what a tech at the truck does not wait for (why, the whole plan): those have pages
of their own.
"""

from __future__ import annotations

from dataclasses import dataclass

from advisor.assessment import Assessment
from advisor.bench.record import read_record
from advisor.compose import caution_notes, likeliest, marks_of, places, vehicle_note
from advisor.errors import ClashingEvidence
from advisor.evidence.network import groups_of
from advisor.intake.merge_write_up import merge_write_up
from advisor.model.case import Answer, Case
from advisor.model.diagnosis import (
    CautionNote,
    Diagram,
    Marked,
    Question,
    Safety,
    VehicleNote,
)
from advisor.model.pack import Pack
from advisor.pipeline import assess, safety_of
from advisor.plan.questions import questions
from advisor.report import words
from advisor.web.folder import CaseFile
from advisor.web.shop import Shop
from advisor.yaml_marks import parse

MOST_QUESTIONS = 3
SHORTLIST = 5  # for three questions; the whole plan works out more of them
CAUSES = 6


@dataclass(frozen=True)
class Row:
    """An answer as it is listed. state: yes or no; mine: answered, not read from the text; was: as
    it stands in the file, to be sent back with a change."""

    symptom: str
    says: str
    state: str
    place: str
    mine: bool
    was: str


@dataclass(frozen=True)
class Leading:
    """One of the first causes. where: in words."""

    id: str
    name: str
    probability: float
    where: str


@dataclass(frozen=True)
class Glance:
    """What the page shows of an open case. clash: answers that cannot all be true, when nothing
    can be ranked; picture: key of the diagram's picture."""

    file: CaseFile
    case: Case
    vehicle: VehicleNote | None
    spans: tuple[Marked, ...]
    rows: tuple[Row, ...]
    questions: tuple[Question, ...]
    names: dict[str, str]
    safety: Safety | None = None
    causes: tuple[Leading, ...] = ()
    diagram: Diagram | None = None
    picture: str = ""
    cautions: tuple[CautionNote, ...] = ()
    clash: tuple[str, ...] = ()

    @property
    def version(self) -> str:
        """Of the file that is shown."""
        return self.file.version


def glance(file: CaseFile, shop: Shop) -> Glance:
    """The case at a glance. Raises InputProblems when the file does not read."""
    pack = shop.pack
    case = shop.case(file)
    names = {c.id: c.name for c in pack.causes.values()}
    try:
        assessed = assess(case, pack, tables=shop.tables)
    except ClashingEvidence as error:
        read = merge_write_up(case, pack)
        rows = _rows(read, case, pack)
        return Glance(
            file, read, None, tuple(marks_of(read)), rows, (), names, clash=error.clashing
        )
    document = parse(file.text, str(file.path))
    put = read_record(document, pack, groups_of(pack, case.vehicle)).asked()
    safety = safety_of(assessed)
    drawn, picture = shop.diagram(assessed)
    may_drive = safety.level != "stop"
    asked = [
        q
        for q in questions(pack, assessed, shortlist=SHORTLIST, may_drive=may_drive)
        if q.symptom not in put
    ]
    return Glance(
        file=file,
        case=assessed.case,
        vehicle=vehicle_note(assessed),
        spans=tuple(marks_of(assessed.case)),
        rows=_rows(assessed.case, case, pack),
        questions=tuple(asked[:MOST_QUESTIONS]),
        names=names,
        safety=safety,
        causes=tuple(_leading(assessed, c) for c in likeliest(assessed)[:CAUSES]),
        diagram=drawn,
        picture=picture,
        cautions=tuple(caution_notes(pack, (c for f in safety.findings for c in f.cautions))),
    )


def _leading(assessed: Assessment, cause: str) -> Leading:
    name, chance = assessed.pack.causes[cause].name, assessed.now.cause[cause]
    return Leading(cause, name, chance, words.places(places(assessed, cause, 2), 2, False))


def _rows(read: Case, case: Case, pack: Pack) -> tuple[Row, ...]:
    """Yes before no, what the text said after what was answered."""
    own = {(a.symptom, a.state, a.place) for a in case.answers}
    made = [_row(a, (a.symptom, a.state, a.place) in own, pack) for a in read.answers]
    return tuple(sorted(made, key=lambda r: (not r.mine, r.state != "yes", r.says)))


def _row(answer: Answer, mine: bool, pack: Pack) -> Row:
    place = words.place(str(answer.place)) if answer.place else ""
    name = pack.symptoms[answer.symptom].name
    was = str(answer.place) if answer.place else answer.state
    return Row(answer.symptom, name, answer.state, place, mine, was)
