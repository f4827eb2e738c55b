"""What apprentices have done: one file each, one line a drill; and the trainer's summary."""

from __future__ import annotations

import json
import re
from collections import Counter
from collections.abc import Sequence
from pathlib import Path
from typing import Annotated

from pydantic import Field, ValidationError

from advisor.drill.game import Drill
from advisor.drill.score import Score, brier
from advisor.errors import AdvisorError, InputProblems, Problem
from advisor.files import write_whole
from advisor.model.base import Record
from advisor.model.pack import Pack
from advisor.report import words
from advisor.report.page import Page, Section, Table

ENDING = ".jsonl"
NAME = re.compile(r"^[A-Za-z0-9][A-Za-z0-9_-]{0,39}$")
NOT_NAMED = "(gave up)"


class Done(Record):
    """One drill. confidence and brier as in advisor.drill.score; minutes None where a way
    confirms nothing."""

    case: str
    pack: str
    seed: int
    right_causes: tuple[str, ...]
    named: str
    place: str = ""
    confidence: Annotated[float, Field(ge=0, le=1)]
    right: bool
    passed: bool
    brier: float
    minutes: float
    planner_minutes: float | None = None
    checklist_minutes: float | None = None
    wheels_for_nothing: int
    safety_skipped: tuple[str, ...] = ()


def done_of(drill: Drill, score: Score) -> Done:
    """The line of a finished drill."""
    named = drill.named
    assert named is not None
    return Done(
        case=drill.case.id,
        pack=drill.pack.info.version,
        seed=drill.seed,
        right_causes=tuple(c.id for c in drill.world.causes),
        named=named.cause,
        place=named.place,
        confidence=named.confidence,
        right=score.right,
        passed=score.passed,
        brier=round(score.brier, 6),
        minutes=round(score.minutes, 2),
        planner_minutes=score.planner_minutes,
        checklist_minutes=score.checklist_minutes,
        wheels_for_nothing=score.wheels_for_nothing,
        safety_skipped=score.safety_skipped,
    )


def add(folder: Path, apprentice: str, done: Done) -> Path:
    """Append one drill to an apprentice's file, which appears whole or stays as it was.

    Raises AdvisorError for a name that is no file name, or a folder that is not there.
    """
    file = _file(folder, apprentice)
    before = file.read_text(encoding="utf-8") if file.exists() else ""
    if before:
        read(file)  # a broken file is reported, never written over
    write_whole(file, before + json.dumps(done.model_dump(mode="json")) + "\n")
    return file


def _file(folder: Path, apprentice: str) -> Path:
    if not NAME.match(apprentice):
        raise AdvisorError(f'"{apprentice}" is no name for a file: letters, digits, - and _')
    if not folder.is_dir():
        raise AdvisorError(f"{folder}: there is no such folder; make it first")
    return folder / f"{apprentice}{ENDING}"


def read(file: Path) -> list[Done]:
    """Every drill in a file; raises InputProblems with all that is wrong."""
    made, problems = [], []
    for number, line in enumerate(file.read_text(encoding="utf-8").splitlines(), 1):
        if not line.strip():
            continue
        try:
            made.append(Done.model_validate_json(line))
        except ValidationError as error:
            what = "this line is no drill: " + str(error.errors()[0]["msg"]).lower()
            problems.append(Problem(str(file), number, 1, "", what))
    if problems:
        raise InputProblems(problems)
    return made


def confusion(drills: Sequence[Done]) -> Counter[tuple[str, str]]:
    """How often each right cause was named as what. A drill with several causes counts under the
    one that was named, else under the first."""
    counts: Counter[tuple[str, str]] = Counter()
    for done in drills:
        right = done.named if done.named in done.right_causes else done.right_causes[0]
        counts[(right, done.named)] += 1
    return counts


def class_summary(folder: Path, pack: Pack) -> Page:
    """The trainer's page: one line an apprentice, who confuses what with what."""
    if not folder.is_dir():
        raise AdvisorError(f"{folder}: there is no such folder")
    files = sorted(folder.glob(f"*{ENDING}"))
    drills = {file.stem: read(file) for file in files}
    drills = {name: done for name, done in drills.items() if done}
    if not drills:
        raise AdvisorError(f"{folder}: no progress files (name{ENDING}) in this folder")
    every = [d for done in drills.values() for d in done]
    counts = confusion(every)
    head = ("apprentice", "drills", "passed", "cause and place right", "safety left out", "Brier",
            "time against planner")  # fmt: skip
    rows = tuple(_row(name, done) for name, done in drills.items())
    sections = (
        Section("Apprentices", table=Table(head, rows)),
        Section("What was taken for what", text=_note(counts), table=_table(counts, pack)),
    )
    data = {
        "drills": len(every),
        "confusion": [{"right": a, "named": b, "count": n} for (a, b), n in sorted(counts.items())],
        "apprentices": {name: len(done) for name, done in drills.items()},
    }
    title = f"Class summary: {len(drills)} apprentices, {len(every)} drills"
    return Page(title, (), sections, data, ("Brier: 0 is best, 0.50 is even odds, 2 is worst.",))


def _row(name: str, done: Sequence[Done]) -> tuple[str, ...]:
    ratios = [d.minutes / d.planner_minutes for d in done if d.planner_minutes]
    mean = f"{sum(ratios) / len(ratios):.1f} times" if ratios else ""
    score = brier((d.confidence, d.right) for d in done)
    return (
        name,
        str(len(done)),
        str(sum(d.passed for d in done)),
        str(sum(d.right for d in done)),
        str(sum(bool(d.safety_skipped) for d in done)),
        f"{score:.2f}",
        mean,
    )


def _note(counts: Counter[tuple[str, str]]) -> tuple[str, ...]:
    wrong = sum(n for (a, b), n in counts.items() if a != b)
    return (f"{wrong} of {sum(counts.values())} drills named a wrong cause.",)


def _table(counts: Counter[tuple[str, str]], pack: Pack) -> Table:
    """Right cause, what it was named, how often: wrong ones first, most often first."""

    def name(id_: str) -> str:
        return pack.causes[id_].name if id_ in pack.causes else words.plain(id_)

    ordered = sorted(counts.items(), key=lambda i: (i[0][0] == i[0][1], -i[1], i[0]))
    rows = tuple((name(a), name(b) if a != b else "right", str(n)) for (a, b), n in ordered)
    return Table(("it was", "named as", "times"), rows)
