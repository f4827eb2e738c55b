"""Which worked case is played."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

import numpy as np

from advisor.drill.rate import LEVELS, rate
from advisor.errors import AdvisorError, InputProblems, Problem, did_you_mean, one_of
from advisor.intake.case_file import case_from
from advisor.model.case import Case
from advisor.model.pack import Pack
from advisor.odds import Odds
from advisor.yaml_marks import read_document

FEW = 14  # choices that an error names in full


def default_cases_folder() -> Path:
    """cases/ of the checkout, or the copy that was installed with the package."""
    package = Path(__file__).resolve().parent.parent
    installed = package / "_cases"
    return installed if installed.is_dir() else package.parent / "cases"


def worked_cases(folder: Path, pack: Pack) -> list[Case]:
    """Every closed case below a folder, by id; raises InputProblems for files that do not read."""
    if not folder.is_dir():
        raise AdvisorError(f"{folder}: there is no such folder of worked cases")
    cases: list[Case] = []
    problems: list[Problem] = []
    for file in sorted(folder.rglob("*.yaml")):
        try:
            document = read_document(file)
            if not isinstance(document.data, dict) or "case" not in document.data:
                continue  # readings lie beside the cases they belong to
            case = case_from(document, pack)
        except InputProblems as error:
            problems += error.problems
            continue
        cases += [case] if playable(case, pack) else []
    if problems:
        raise InputProblems(problems)
    return sorted(cases, key=lambda c: c.id)


def playable(case: Case, pack: Pack) -> bool:
    """A case can be played when its cause is known and the vehicle can have it."""
    if case.confirmed is None or not case.confirmed.causes:
        return False
    causes = [(c.id, c.place) for c in case.confirmed.causes]
    if any(id_ == "none_of_these" for id_, _ in causes):
        return False
    try:
        Odds(pack, case.vehicle, causes)
    except ValueError:
        return False
    return True


def choose(
    cases: Iterable[Case],
    pack: Pack,
    seed: int,
    family: str | None = None,
    vehicle: str | None = None,
    difficulty: str | None = None,
) -> Case:
    """One case that fits, drawn from the seed. Raises AdvisorError when none does."""
    _known(family, pack.families, "family of causes")
    _known(vehicle, pack.vehicles, "vehicle type")
    _known(difficulty, LEVELS, "difficulty")
    left = [c for c in cases if vehicle is None or c.vehicle.type == vehicle]
    left = [c for c in left if family is None or family in families(c, pack)]
    order = np.random.default_rng(seed).permutation(len(left))
    for index in order:
        if difficulty is None or rate(left[index], pack).level == difficulty:
            return left[index]
    raise AdvisorError("no worked case fits all of that; leave one of the choices out")


def families(case: Case, pack: Pack) -> set[str]:
    """Families of the confirmed causes."""
    assert case.confirmed is not None
    return {pack.causes[c.id].family for c in case.confirmed.causes}


def _known(word: str | None, pool: Iterable[str], kind: str) -> None:
    choices = list(pool)
    if word is not None and word not in choices:
        raise not_one_of(word, choices, kind)


def not_one_of(word: str, pool: Iterable[str], kind: str) -> AdvisorError:
    """The error that a word is none of these: the nearest one, and all of them if they are few."""
    choices = list(pool)
    near = did_you_mean(word, choices)
    all_of_them = f"allowed: {one_of(choices)}" if len(choices) <= FEW or not near else ""
    return AdvisorError("; ".join(filter(None, (f'"{word}" is not a {kind}', all_of_them, near))))
