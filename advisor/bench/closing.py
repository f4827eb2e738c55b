"""The end of a case: what was found, how it was known, what fixed it."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from advisor.bench.casetext import put_section
from advisor.bench.record import flow
from advisor.errors import AdvisorError
from advisor.files import write_whole
from advisor.intake.case_file import case_from
from advisor.model.case import Case
from advisor.model.pack import Pack
from advisor.yaml_marks import parse


def closed_text(
    text: str,
    pack: Pack,
    causes: Sequence[str],
    by: str,
    fixed_by: str = "",
    date: str = "",
    path: str = "-",
) -> str:
    """The case file with its end written in.

    causes: each as cause@place, or cause alone where it has no place. Raises AdvisorError or
    InputProblems when something is not known, missing, or the case is closed already.
    """
    case = case_from(parse(text, path), pack)
    if case.confirmed is not None:
        raise AdvisorError(f"{path}: this case is closed already: see confirmed: in the file")
    if not causes or not by.strip():
        raise AdvisorError("a case is closed with at least one cause and how it was known")
    named = [_cause(said, pack) for said in causes]
    rows: dict[str, object] = {"causes": named, "by": " ".join(by.split())}
    rows |= {"date": date} if date else {}
    lines = ["confirmed:", *(f"  {key}: {flow(value)}" for key, value in rows.items())]
    made = put_section(text, "confirmed", "\n".join(lines) + "\n", path)
    if fixed_by.strip():
        made = put_section(
            made, "fixed_by", f"fixed_by: {flow(' '.join(fixed_by.split()))}\n", path
        )
    case_from(parse(made, path), pack)  # unknown causes, places and dates: the usual messages
    return made


def _cause(said: str, pack: Pack) -> dict[str, str]:
    id_, _, place = said.strip().partition("@")
    entry = {"id": id_.strip().replace("-", "_").replace(" ", "_")}
    cause = pack.causes.get(entry["id"])
    if cause is not None and cause.at_wheel_end and not place:
        raise AdvisorError(
            f"{entry['id']} sits at a wheel end: say where, as {entry['id']}@steer_left"
        )
    if place:
        entry["place"] = place.strip()
    return entry


def add_to_cases(text: str, case: Case, folder: Path) -> Path:
    """Copy a closed case into a folder of worked cases, without the bench's own notes.

    Raises AdvisorError when the folder is missing or already holds a case of this name.
    """
    if not folder.is_dir():
        raise AdvisorError(f"{folder}: there is no such folder of worked cases")
    target = folder / f"{case.id}.yaml"
    if target.exists():
        raise AdvisorError(f"{target}: a worked case of this name is already there; left as it is")
    write_whole(target, put_section(text, "bench", "", str(target)))
    return target
