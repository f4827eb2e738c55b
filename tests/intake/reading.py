"""Short ways to read a case in tests."""

from __future__ import annotations

import pytest

from advisor.errors import InputProblems
from advisor.intake.case_file import read_case_bytes
from advisor.model.case import Case
from advisor.model.pack import Pack

HEAD = "case: t-1\nvehicle: {type: linehaul_tractor, tire: 295/75R22.5, axle_ratio: 3.36}\n"


def read(pack: Pack, body: str, head: str = HEAD) -> Case:
    return read_case_bytes((head + body).encode(), pack, "c.yaml")


def problems(pack: Pack, body: str, head: str = HEAD) -> list[str]:
    """Every problem of a bad case as `line: field: rest`."""
    with pytest.raises(InputProblems) as caught:
        read(pack, body, head)
    return [str(p).removeprefix("c.yaml:") for p in caught.value.problems]


def problem(pack: Pack, body: str, head: str = HEAD) -> str:
    found = problems(pack, body, head)
    assert len(found) == 1, found
    return found[0]


def said(case: Case) -> dict[str, str]:
    """symptom@place -> yes or no."""
    return {f"{a.symptom}{f'@{a.place}' if a.place else ''}": a.state for a in case.answers}
