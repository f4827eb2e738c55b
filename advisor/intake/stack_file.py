"""An export, whatever it was saved as -> rows of a stack."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from advisor.intake.stack_lines import read_array, read_lines
from advisor.intake.stack_table import read_table
from advisor.intake.stack_text import encoding_of
from advisor.model.stack import Stack, StackColumn

LINES = (".jsonl", ".ndjson")
HEAD = 4096
# a heading in brackets begins a table, a brace or the closing bracket behind one an array
ARRAY = re.compile(r"\[\s*[{\]]")


def read_export(
    raw: bytes,
    name: str,
    known: Sequence[StackColumn],
    asked: Mapping[str, str],
    encoding: str | None = None,
    delimiter: str | None = None,
) -> Stack:
    """Rows of JSON Lines, of one JSON array, or else of a delimited table. asked: heading by
    field, where the user said so. Raises AdvisorError when nothing in it can be used."""
    head = raw[:HEAD].decode(encoding or encoding_of(raw), "replace").lstrip("\ufeff \t\r\n")
    ending = name.lower()
    if ARRAY.match(head) or (head.startswith("[") and ending.endswith(".json")):
        return read_array(raw, name, known, asked, encoding)
    if head.startswith("{") or ending.endswith(LINES):
        return read_lines(raw, name, known, asked, encoding)
    return read_table(raw, name, known, asked, encoding, delimiter)
