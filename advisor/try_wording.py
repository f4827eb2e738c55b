"""Takes every phrase of the wording apart, as the reader will, and says where one does not hold."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from advisor.errors import Problem
from advisor.intake.text_phrases import chunks_of
from advisor.rulebook.load import shown_path
from advisor.yaml_marks import read_document


def check_wording(rules: str | Path) -> Iterator[Problem]:
    """Problems with the phrases below a rules folder whose files have their right shape."""
    for path in sorted((Path(rules) / "wording").glob("*.yaml")):
        document = read_document(shown_path(path))
        for n, entry in enumerate(document.data.get("entries", ())):
            for m, phrase in enumerate(entry["say"]):
                try:
                    chunks_of(phrase)
                except ValueError as error:
                    yield document.problem(("entries", n, "say", m), str(error))
