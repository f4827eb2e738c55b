"""The shipped pack and its worked cases, loaded once."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.model.case import Case
from advisor.model.pack import Pack
from advisor.rulebook.load import load_folder
from advisor.trust.outcomes import closed_cases

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="session")
def pack() -> Pack:
    return load_folder(ROOT / "rules").pack


@pytest.fixture(scope="session")
def cases(pack) -> list[Case]:
    return closed_cases(ROOT / "cases", pack)
