"""rules/checklist.yaml: the fixed order that plans are compared with."""

from __future__ import annotations

from pathlib import Path

from advisor.errors import InputProblems, did_you_mean
from advisor.model.base import Record
from advisor.model.pack import Pack, Slug
from advisor.rulebook.load import default_rules_folder, shown_path
from advisor.yaml_marks import read_document, validate

NAME = "checklist.yaml"


class ListedStep(Record):
    """One item of the list and the inspections it stands for."""

    name: str
    inspections: list[Slug]


class Checklist(Record):
    """A fixed order of inspections, the same for every complaint."""

    name: str
    source: Slug
    steps: list[ListedStep]

    @property
    def ids(self) -> list[str]:
        """The inspections in order."""
        return [id_ for step in self.steps for id_ in step.inspections]


def load_checklist(pack: Pack, folder: Path | None = None) -> Checklist:
    """Read the list and check its ids against the pack; raises InputProblems."""
    document = read_document(shown_path((folder or default_rules_folder()) / NAME))
    made = validate(document, document.data, Checklist)
    problems = []
    if made.source not in pack.sources:
        problems.append(document.problem(("source",), f'"{made.source}" is not a source'))
    for i, step in enumerate(made.steps):
        for j, id_ in enumerate(step.inspections):
            if id_ not in pack.inspections:
                hint = did_you_mean(id_, pack.inspections)
                what = f'"{id_}" is not an inspection'
                problems.append(document.problem(("steps", i, "inspections", j), what, "", hint))
    if problems:
        raise InputProblems(problems)
    return made
