"""What the ranking says of closed cases, against what was found."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from advisor.errors import AdvisorError, InputProblems, Problem
from advisor.intake.case_file import read_case
from advisor.model.case import Case
from advisor.model.pack import Pack
from advisor.pipeline import assess


@dataclass(frozen=True)
class Outcome:
    """One closed case. probability: of every cause this vehicle can have; ranking: by it;
    found: the confirmed causes; first: the best rank of any of them, all_by: the worst."""

    case: str
    vehicle: str
    probability: dict[str, float]
    ranking: tuple[str, ...]
    found: tuple[str, ...]
    first: int
    all_by: int


def closed_cases(folder: str | Path, pack: Pack) -> list[Case]:
    """Every closed case below a folder; raises InputProblems with all problems of all files."""
    cases: list[Case] = []
    problems: list[Problem] = []
    for file in _case_files(folder):
        try:
            cases.append(read_case(file, pack))
        except InputProblems as error:
            problems += error.problems
    if problems:
        raise InputProblems(problems)
    closed = [case for case in cases if case.confirmed and case.confirmed.causes]
    if not closed:
        raise AdvisorError(f"{folder}: there is no closed case here (one with `confirmed:`)")
    return closed


def _case_files(folder: str | Path) -> list[Path]:
    root = Path(folder)
    files = sorted(root.rglob("*.yaml")) if root.is_dir() else [root]
    return [file for file in files if "readings" not in file.parts]


def closed_in_both(
    folder: str | Path, old: Pack, new: Pack
) -> tuple[list[tuple[Case, Case]], list[str]]:
    """Closed cases as each pack reads them, and the names of those the old one cannot read: they
    speak of what it does not know yet."""
    pairs, unread = [], []
    for case in closed_cases(folder, new):
        try:
            pairs.append((read_case(case.path, old), case))
        except InputProblems:
            unread.append(case.id)
    return pairs, unread


def outcome(case: Case, pack: Pack) -> Outcome:
    """Rank one closed case without looking at how it ended."""
    assert case.confirmed is not None
    blind = replace(case, confirmed=None, fixed_by="", teaches="")
    posterior = assess(blind, pack).now.cause
    ranking = tuple(sorted(posterior, key=lambda c: (-posterior[c], c)))
    found = tuple(dict.fromkeys(c.id for c in case.confirmed.causes))
    ranks = [ranking.index(c) + 1 if c in ranking else len(pack.causes) for c in found]
    return Outcome(
        case.id, case.vehicle.type, dict(posterior), ranking, found, min(ranks), max(ranks)
    )


def outcomes(cases: Iterable[Case], pack: Pack) -> list[Outcome]:
    """Outcomes of many cases."""
    return [outcome(case, pack) for case in cases]


# What can be left out to see what it adds: kind of evidence -> what is kept of a case.
KINDS: dict[str, Callable[[Case], Case]] = {
    "sensation and where": lambda c: _without(c, ("sensation.", "felt_at.")),
    "speed": lambda c: replace(_without(c, ("speed.", "speed_range.")), speed=None),
    "conditions and drive tests": lambda c: _without(
        c, ("condition.", "drive_test.", "changes.", "trigger.", "noise.")
    ),
    "onset and growth": lambda c: _without(c, ("onset.", "growth.")),
    "wear and what was seen": lambda c: _without(c, ("wear.", "danger.", "seen.")),
    "work done": lambda c: replace(c, work_done=()),
    "inspections": lambda c: replace(c, inspections=()),
    "readings": lambda c: replace(c, readings=(), frequencies=(), measured=()),
    "write-up": lambda c: replace(c, write_up=""),
}


def _without(case: Case, heads: Sequence[str]) -> Case:
    kept = tuple(a for a in case.answers if not a.symptom.startswith(tuple(heads)))
    return replace(case, answers=kept)
