"""The diagnosis as JSON, and back: a saved document can be rendered again in any form."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from typing import Any

from pydantic import ValidationError

from advisor.errors import InputProblems, Problem
from advisor.model.diagnosis import Diagnosis
from advisor.report.clean import one_line

SCHEMA = 1
DECIMALS = 6
PICTURE_DIGITS = 9


def render_json(d: Diagnosis) -> str:
    """The document as JSON text: keys in the order of the model, two blanks of indent, ASCII.

    Numbers are rounded to 6 decimals (numbers of pictures to 9 significant digits), so that the
    text does not hang on the last bit of a machine. Ends with a line end.
    """
    plain = rounded(d.model_dump(mode="json", by_alias=True))
    return json.dumps(plain, indent=2, ensure_ascii=True, allow_nan=False) + "\n"


def rounded(value: Any, in_picture: bool = False) -> Any:
    """Plain data with every number rounded; not-a-number and infinity become null."""
    if isinstance(value, Mapping):
        return {k: rounded(v, in_picture or k == "pictures") for k, v in value.items()}
    if isinstance(value, list):
        return [rounded(v, in_picture) for v in value]
    if not isinstance(value, float):
        return value
    if not math.isfinite(value):
        return None
    return float(f"{value:.{PICTURE_DIGITS}g}") if in_picture else round(value, DECIMALS)


def load_json(text: str, path: str = "-") -> Diagnosis:
    """The diagnosis from JSON text as `render_json` writes it.

    path: how to name the text in messages. Raises InputProblems with every problem found.
    """
    try:
        plain = json.loads(text)
    except json.JSONDecodeError as error:
        problem = Problem(path, error.lineno, error.colno, "", f"not JSON: {error.msg}")
        raise InputProblems([problem]) from error
    except (RecursionError, ValueError) as error:
        raise InputProblems([Problem(path, 0, 0, "", "not JSON that can be read")]) from error
    _expect_our_document(plain, path)
    try:
        return Diagnosis.model_validate(plain)
    except ValidationError as error:
        raise InputProblems(_problem(path, each) for each in error.errors()) from error


def _expect_our_document(plain: Any, path: str) -> None:
    schema = plain.get("schema") if isinstance(plain, dict) else None
    if schema == SCHEMA:
        return
    what = "not a saved diagnosis" if schema is None else f"schema {schema!r} is unknown"
    hint = "save one with --format json"
    raise InputProblems([Problem(path, 0, 0, "schema", what, str(SCHEMA), hint)])


def _problem(path: str, error: Mapping[str, Any]) -> Problem:
    field = ".".join(str(part) for part in error["loc"])
    return Problem(path, 0, 0, one_line(field), one_line(error["msg"]))
