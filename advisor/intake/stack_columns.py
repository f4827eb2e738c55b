"""Which column of an export is what: told by the user, else guessed from its heading."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from advisor.errors import AdvisorError, InputProblems, Problem, did_you_mean, one_of
from advisor.model.stack import FIELDS, StackColumn


def bare(heading: str) -> str:
    """A heading without case, blanks and punctuation."""
    return re.sub(r"[^a-z0-9]", "", heading.lower())


def asked_columns(options: Sequence[str]) -> dict[str, str]:
    """`text=Complaint` and the like -> heading by field; raises AdvisorError."""
    asked: dict[str, str] = {}
    for option in options:
        field, sign, heading = option.partition("=")
        field = field.strip().lower()
        if not sign or not heading.strip():
            raise AdvisorError(f'column "{option}": write it as text=Complaint')
        if field not in FIELDS:
            raise AdvisorError(
                f'column "{option}": "{field}" is not a field; allowed: {", ".join(FIELDS)}; '
                f"{did_you_mean(field, FIELDS)}".rstrip("; ")
            )
        asked[field] = heading.strip()
    return asked


def match_columns(
    headings: Sequence[str],
    asked: Mapping[str, str],
    known: Sequence[StackColumn],
    path: str,
    line: int = 1,
) -> dict[str, int]:
    """Position of each field found; raises InputProblems when an asked column or the text is not
    there."""
    places = {bare(h): n for n, h in reversed(list(enumerate(headings)))}
    found: dict[str, int] = {}
    for field, heading in asked.items():
        if bare(heading) not in places:
            what = f'there is no column "{heading}"; found: {one_of(headings)}'
            near = did_you_mean(heading, headings)
            raise InputProblems([Problem(path, line, 1, field, what, hint=near)])
        found[field] = places[bare(heading)]
    for column in known:
        if column.field in found:
            continue
        for name in column.names:
            at = places.get(bare(name))
            if at is not None and at not in found.values():
                found[column.field] = at
                break
    if "text" not in found and "item" not in found:
        what = f"no column looks like the write-up; found: {one_of(headings)}"
        last = headings[-1] if headings else "Complaint"
        hint = f"name it: --column text={last}, or on the page under Columns"
        raise InputProblems([Problem(path, line, 1, "text", what, hint=hint)])
    return found


def recognized(headings: Sequence[str], known: Sequence[StackColumn]) -> int:
    """How many headings have a known name."""
    names = {bare(name) for column in known for name in column.names}
    return sum(bare(heading) in names for heading in headings)
