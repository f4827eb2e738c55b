"""rules/simulation: sizes, axles, sound readings and phrases, read and checked."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any, Literal, TypeVar

from pydantic import Field

from advisor.errors import InputProblems, Problem, did_you_mean
from advisor.model.base import Record
from advisor.model.pack import Group, Pack, Slug
from advisor.rulebook.load import default_rules_folder, shown_path
from advisor.yaml_marks import Document, read_document, validate

Positive = Annotated[float, Field(gt=0)]
Unit = Literal["in", "oz", "oz-in", "deg", "m/s2", "times", "percent"]
R = TypeVar("R", bound=Record)


class Shown(Record):
    """What one unit of a severity adds to the number of an inspection."""

    inspection: Slug
    key: Slug
    per_unit: Positive


class Severity(Record):
    """How bad a planted cause is, in which unit; usual: where nothing is said."""

    cause: Slug
    unit: Unit
    usual: Positive
    most: Positive
    what: str
    shows: tuple[Shown, ...] = ()
    source: Slug


class AxleShare(Record):
    """An axle group against the corner in vehicles.yaml, and its way to the seat."""

    group: Group
    sprung: Positive
    unsprung: Positive
    tire: Positive
    spring: Positive
    damper: Positive
    tires: Annotated[int, Field(ge=1, le=2)]
    up: Positive
    sideways: Positive
    forward: Positive
    source: Slug


class Healthy(Record):
    """What a sound vehicle reads."""

    inspection: Slug
    key: Slug
    value: Annotated[float, Field(ge=0)]
    source: Slug


class Phrase(Record):
    """Ways a driver says a symptom, where they come from and why these."""

    symptom: Slug
    say: Annotated[list[str], Field(min_length=1)]
    because: str
    source: Slug


@dataclass(frozen=True)
class Knowledge:
    """All of rules/simulation. healthy: by (inspection, key); phrases: by symptom id."""

    severities: Mapping[str, Severity]
    axles: Mapping[str, AxleShare]
    healthy: Mapping[tuple[str, str], float]
    phrases: Mapping[str, tuple[str, ...]]


def load_knowledge(pack: Pack, folder: str | Path | None = None) -> Knowledge:
    """Read rules/simulation below a rules folder; raises InputProblems with all problems."""
    root = Path(folder) if folder is not None else default_rules_folder()
    problems: list[Problem] = []
    severities = _read(root, "severities", Severity, problems)
    axles = _read(root, "axles", AxleShare, problems)
    healthy = _read(root, "healthy", Healthy, problems)
    phrases = _read(root, "phrases", Phrase, problems)
    for document, index, entry in [*severities, *axles, *healthy, *phrases]:
        problems += _unknown_names(document, index, entry, pack)
    if problems:
        raise InputProblems(problems)
    return Knowledge(
        {s.cause: s for _, _, s in severities},
        {a.group: a for _, _, a in axles},
        {(h.inspection, h.key): h.value for _, _, h in healthy},
        {p.symptom: tuple(p.say) for _, _, p in phrases},
    )


def _read(
    root: Path, name: str, kind: type[R], problems: list[Problem]
) -> list[tuple[Document, int, R]]:
    entries: list[tuple[Document, int, R]] = []
    try:
        document = read_document(shown_path(root / "simulation" / f"{name}.yaml"))
        items: list[Any] = document.data if isinstance(document.data, list) else []
        if not items:
            problems.append(document.problem((), "a list of entries is expected"))
        for index, item in enumerate(items):
            entries.append((document, index, validate(document, item, kind, (index,))))
    except InputProblems as error:
        problems.extend(error.problems)
    return entries


def _unknown_names(document: Document, index: int, entry: Record, pack: Pack) -> list[Problem]:
    """Ids the rule pack does not have."""
    asked = (
        ("cause", pack.causes),
        ("inspection", pack.inspections),
        ("symptom", pack.symptoms),
        ("source", pack.sources),
    )
    named = [(field, getattr(entry, field, None), known) for field, known in asked]
    named += [
        ("shows", shown.inspection, pack.inspections) for shown in getattr(entry, "shows", [])
    ]
    return [
        document.problem((index, field), f'"{name}" is not in the rules', "", _near(name, known))
        for field, name, known in named
        if name is not None and name not in known
    ]


def _near(name: str, known: Mapping[str, object]) -> str:
    return did_you_mean(name, known)
