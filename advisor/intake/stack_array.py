"""One JSON array of rows -> its elements, each with its line; a broken one does not take the rest
with it where the next can be found."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator

# line, the object or why it is none, as it was
Item = tuple[int, dict[str, object] | str, str]

BLANK = re.compile(r"[ \t\r\n]*,?[ \t\r\n]*")
START = re.compile(r"\n([ \t]*,?[ \t]*)\{")
DECODER = json.JSONDecoder()


def elements(text: str) -> Iterator[Item]:
    """Every element of an array, read or not. text: begins with the bracket, blanks left out."""
    at = _after_blanks(text, text.index("[") + 1)
    line, counted = 1, 0
    while at < len(text) and text[at] != "]":
        line, counted = line + text.count("\n", counted, at), at
        try:
            value, end = DECODER.raw_decode(text, at)
        except (ValueError, RecursionError) as error:
            end = _next_start(text, at)
            rest = "" if end < len(text) else "; nothing from here on could be read"
            yield line, f"{why_not(error)}{rest}", text[at:end].strip().rstrip(",")
            at = end
            continue
        yield line, checked_object(value), text[at:end]
        at = _after_blanks(text, end)
        if at >= len(text):
            yield line, "the list is not closed: its end is missing", ""
    tail = text[at + 1 :].lstrip()
    if tail:
        line += text.count("\n", counted, len(text) - len(tail))
        yield line, "text behind the end of the list", tail.rstrip()


def why_not(error: Exception) -> str:
    """Why a piece of JSON cannot be read, without its place: that is told beside it."""
    if isinstance(error, RecursionError):
        return "not JSON: nested too deep"
    return f"not JSON: {getattr(error, 'msg', error)}"


def checked_object(value: object) -> dict[str, object] | str:
    """The value, or why it is no row."""
    return value if isinstance(value, dict) else "not a JSON object"


def _after_blanks(text: str, at: int) -> int:
    found = BLANK.match(text, at)
    return found.end() if found else at


def _next_start(text: str, at: int) -> int:
    """Where the next element seems to begin: a brace as far in as the broken one's own. In an
    array on one line there is no telling."""
    column = at - (text.rfind("\n", 0, at) + 1)
    for found in START.finditer(text, at):
        if len(found[1]) == column:
            return found.end() - 1
    return len(text)
