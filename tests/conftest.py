"""The shipped rule pack, read once for all tests that only look at it."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.assessment import Assessment
from advisor.intake.case_file import read_case
from advisor.model.diagnosis import Diagnosis
from advisor.model.pack import Pack
from advisor.pipeline import assess, rank
from advisor.rulebook.load import Loaded, load_folder

ROOT = Path(__file__).resolve().parent.parent
WORKED_CASES = sorted((ROOT / "cases").glob("*.yaml"))


@pytest.fixture(scope="session")
def loaded() -> Loaded:
    return load_folder(ROOT / "rules")


@pytest.fixture(scope="session")
def pack(loaded: Loaded) -> Pack:
    return loaded.pack


@pytest.fixture(scope="session")
def closed_cases(pack: Pack) -> dict[str, Assessment]:
    """The worked cases by file name, weighed as they were before their cause was known."""
    cases = {file.stem: read_case(file, pack) for file in WORKED_CASES}
    return {name: assess(case.with_changes(confirmed=None), pack) for name, case in cases.items()}


@pytest.fixture(scope="session")
def diagnoses(pack: Pack) -> dict[str, Diagnosis]:
    """The whole document for every third worked case."""
    return {file.stem: rank(read_case(file, pack), pack) for file in WORKED_CASES[::3]}
