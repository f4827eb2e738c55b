"""One answer into a case that others may have open: kept beside theirs, or a clear question."""

from __future__ import annotations

from dataclasses import dataclass

from advisor.errors import AdvisorError
from advisor.evidence.network import groups_of
from advisor.model.case import Case
from advisor.model.place import parse_place
from advisor.web import case_text
from advisor.web.folder import CaseFile
from advisor.web.shop import Shop

STATES = ("yes", "no", "skip", "")  # skip: the driver does not know; empty: take it back


@dataclass(frozen=True)
class Given:
    """An answer from one tablet. state: yes, no, skip, empty to take it back, or the place where
    it is; was: how the same question stood when the tablet showed it."""

    symptom: str
    state: str
    was: str = ""


class TwoAnswers(AdvisorError):
    """Somebody else answered the same question otherwise meanwhile; nothing was written."""

    def __init__(self, given: Given, theirs: str, name: str):
        self.given = given
        self.theirs = theirs
        self.name = name
        super().__init__(
            f"{name}: somebody else answered {theirs or 'nothing'} meanwhile, you said "
            f"{given.state or 'take it back'}; which of the two is right?"
        )


def answer(id_: str, given: Given, shop: Shop) -> CaseFile:
    """Write an answer into a case.

    Raises TwoAnswers when the same question was answered otherwise since the tablet showed it,
    InputProblems when the answer contradicts another.
    """
    symptom = shop.pack.symptoms.get(given.symptom)
    if symptom is None or symptom.key not in shop.pack.keys:
        raise AdvisorError(f'"{given.symptom[:80]}" is not something that can be answered')
    if given.state not in STATES and not (symptom.placed and parse_place(given.state)):
        raise AdvisorError(f'"{given.state[:40]}" is no answer; allowed: yes, no, skip')
    name = symptom.name

    def change(file: CaseFile) -> str:
        theirs = case_text.said(file.text, given.symptom, str(file.path))
        if theirs not in (given.was, given.state):
            raise TwoAnswers(given, theirs, name)
        return _written(file, given, shop)

    return shop.folder.change(id_, change)


def _written(file: CaseFile, given: Given, shop: Shop) -> str:
    named = str(file.path)
    case = open_case(file, shop)
    if given.state == "skip":
        groups = list(groups_of(shop.pack, case.vehicle))
        return case_text.with_put_off(file.text, given.symptom, shop.pack, groups, named)
    if given.state == "":
        return case_text.without_answer(file.text, given.symptom, named)
    text = case_text.with_answer(file.text, given.symptom, given.state, named)
    shop.checked(text, file.path)  # contradictions are refused before they are saved
    return text


def speeds(id_: str, low: str, high: str, was: str, shop: Shop) -> CaseFile:
    """Write the speeds at which it is felt. was: as 'low-high' when the tablet showed them."""

    def change(file: CaseFile) -> str:
        theirs = speeds_said(open_case(file, shop))
        if theirs not in (was, f"{low}-{high}"):
            raise TwoAnswers(Given("speed", f"{low} to {high} mph"), theirs, "speeds")
        text = case_text.with_speed(file.text, low, high, str(file.path))
        shop.checked(text, file.path)
        return text

    return shop.folder.change(id_, change)


def speeds_said(case: Case) -> str:
    """'58-64' as answered, empty ends left out; empty when nobody answered."""
    if case.speed is None:
        return ""
    ends = (case.speed.low_mph, case.speed.high_mph)
    return "-".join("" if end is None else f"{end:g}" for end in ends)


def open_case(file: CaseFile, shop: Shop) -> Case:
    """The case, if it is still open. Raises AdvisorError when it is closed."""
    case = shop.case(file)
    if case.confirmed is not None:
        raise AdvisorError(f"{file.id}: this case is closed; nothing more can be answered")
    return case
