"""rules/wording -> a Wording, with all problems in one go."""

from __future__ import annotations

from pathlib import Path

from advisor.errors import InputProblems, Problem
from advisor.model.wording import Wording, WordingFile, WordList
from advisor.rulebook.load import default_rules_folder, shown_path
from advisor.yaml_marks import read_document, validate

LOOK_ALIKES = "look_alikes.yaml"


def load_wording(folder: str | Path | None = None) -> Wording:
    """Read rules/wording, or another folder; raises InputProblems."""
    root = Path(folder) if folder is not None else default_rules_folder() / "wording"
    problems: list[Problem] = []
    files: list[WordingFile] = []
    words: frozenset[str] = frozenset()
    for path in sorted(root.glob("*.yaml")):
        try:
            document = read_document(shown_path(path))
            if path.name == LOOK_ALIKES:
                words = frozenset(validate(document, document.data, WordList).words.split())
            else:
                files.append(validate(document, document.data, WordingFile))
        except InputProblems as error:
            problems.extend(error.problems)
    if not files and not problems:
        problems.append(Problem(str(root), 0, 0, "", "there is no wording here"))
    if problems:
        raise InputProblems(problems)
    return Wording(tuple(files), words)
