"""YAML text -> plain text, lists and mappings, each knowing its line and column.

The ordinary safe loader turns shop notation into nonsense (1:30 becomes 90, no becomes false, 010
becomes 8, a repeated key silently wins). Here every scalar stays text, repeated keys, aliases and
tags are refused, and the schema decides the type later.
"""

from __future__ import annotations

import functools
import os
import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, TypeVar, get_args, get_origin

import yaml
from pydantic import BaseModel, TypeAdapter, ValidationError

from advisor.errors import InputProblems, Problem, did_you_mean, one_of
from advisor.files import read_all

LOADER = getattr(yaml, "CBaseLoader", yaml.BaseLoader)
LARGEST_FILE_BYTES = 4_000_000
SMALL = 20_000  # characters
_ADAPTERS: dict[Any, TypeAdapter[Any]] = {}
DEEPEST_NESTING = 40
# YAML 1.1, section 5.1: the characters outside its printable set
NOT_ALLOWED = re.compile(r"[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
PLAIN_TAGS = {"!", *(f"tag:yaml.org,2002:{kind}" for kind in ("str", "seq", "map"))}
Key = tuple[str | int, ...]
T = TypeVar("T")


@dataclass(frozen=True)
class Document:
    """Parsed text: data holds str, list and dict only; marks maps a key path to (line, column)."""

    path: str
    data: Any
    marks: dict[Key, tuple[int, int]]

    def problem(self, at: Key, what: str, allowed: str = "", hint: str = "") -> Problem:
        """A problem at a key path, or at the nearest enclosing path that has a mark."""
        near = at
        while near and near not in self.marks:
            near = near[:-1]
        line, column = self.marks.get(near, (1, 1))
        return Problem(self.path, line, column, dotted(at), what, allowed, hint)


def dotted(at: Iterable[str | int]) -> str:
    """'inspections[0].place' from a key path."""
    text = ""
    for part in at:
        text += f"[{part}]" if isinstance(part, int) else f".{part}" if text else str(part)
    return text


def read_document(path: str | Path) -> Document:
    """Read and parse a file; problems with the file itself are InputProblems too."""
    return parse(decode(read_raw(path), str(path)), str(path))


def read_raw(path: str | Path) -> bytes:
    """A file's bytes; problems with the file itself are InputProblems."""
    file = Path(path)
    name = str(path)
    try:
        handle = os.open(file, os.O_RDONLY | getattr(os, "O_BINARY", 0))
        try:
            size = os.fstat(handle).st_size
            if size > LARGEST_FILE_BYTES:
                raise InputProblems([too_large(name, size)])
            return read_all(handle, LARGEST_FILE_BYTES + 1)
        finally:
            os.close(handle)
    except IsADirectoryError:
        raise InputProblems([Problem(name, 0, 0, "", "this is a folder, not a file")]) from None
    except OSError as error:
        reason = error.strerror or str(error)
        hint = ""
        if file.parent.is_dir():
            hint = did_you_mean(file.name, [entry.name for entry in file.parent.iterdir()])
        raise InputProblems(
            [Problem(name, 0, 0, "", f"cannot read it: {reason.lower()}", "", hint)]
        ) from None


def too_large(name: str, size: int) -> Problem:
    """The message for a file beyond the size limit."""
    limit = f"at most {LARGEST_FILE_BYTES / 1e6:.0f} MB"
    what = f"is too large ({size / 1e6:.1f} MB)"
    return Problem(name, 0, 0, "", what, limit, "is this the right file?")


def decode(raw: bytes, name: str) -> str:
    """UTF-8 text, with or without a byte order mark."""
    if len(raw) > LARGEST_FILE_BYTES:
        raise InputProblems([too_large(name, len(raw))])
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        body = error.object  # without the byte order mark, as the positions are
        start = body.rfind(b"\n", 0, error.start) + 1
        line = body.count(b"\n", 0, error.start) + 1
        column = len(body[start : error.start].decode()) + 1
        what = f"byte 0x{body[error.start]:02x} is not UTF-8"
        hint = "save the file as UTF-8"
        raise InputProblems([Problem(name, line, column, "", what, "UTF-8 text", hint)]) from None


def parse(text: str, name: str) -> Document:
    """Parse YAML text; all problems of structure in one go. Nobody changes what it returns: small
    texts, which a page reads again at every step, share one document."""
    return _parsed_lately(text, name) if len(text) < SMALL else _parsed(text, name)


@functools.lru_cache(maxsize=512)
def _parsed_lately(text: str, name: str) -> Document:
    return _parsed(text, name)


def _parsed(text: str, name: str) -> Document:
    try:
        root = nodes(text)
    except yaml.MarkedYAMLError as error:
        raise InputProblems([syntax_problem(error, text, name)]) from None
    except yaml.reader.ReaderError:
        raise InputProblems([control_character(text, name)]) from None
    except (yaml.YAMLError, ValueError, RecursionError) as error:
        what = re.sub(r"\s+", " ", str(error))[:160]
        raise InputProblems([Problem(name, 1, 1, "", f"this is not YAML: {what}")]) from None
    if root is None:
        raise InputProblems([Problem(name, 0, 0, "", "the file is empty")])
    builder = _Builder(name)
    data = builder.build(root, ())
    if builder.problems:
        raise InputProblems(builder.problems)
    return Document(name, data, builder.marks)


def nodes(text: str) -> yaml.Node | None:
    """The nodes of YAML text, as they stand in it; small texts share them too."""
    return _nodes_lately(text) if len(text) < SMALL else _nodes(text)


def _nodes(text: str) -> yaml.Node | None:
    made: yaml.Node | None = yaml.compose(text, Loader=LOADER)
    return made


_nodes_lately = functools.lru_cache(maxsize=64)(_nodes)


def syntax_problem(error: yaml.MarkedYAMLError, text: str, name: str) -> Problem:
    """A syntax error in one sentence."""
    mark = error.problem_mark or error.context_mark
    line, column = (mark.line + 1, mark.column + 1) if mark else (1, 1)
    said = " ".join(part for part in (error.context, error.problem) if part)
    hint = "check the indentation and the colons just above"
    lines = text.splitlines()
    here = lines[line - 1] if line <= len(lines) else ""
    if "\t" in here[: len(here) - len(here.lstrip())]:
        hint = "use spaces, not tabs, to indent"
    return Problem(name, line, column, "", f"this is not YAML: {said}", "", hint)


def control_character(text: str, name: str) -> Problem:
    """The first character that YAML does not allow, and where it stands."""
    found = NOT_ALLOWED.search(text)
    at = found.start() if found else 0
    line, column = text.count("\n", 0, at) + 1, at - text.rfind("\n", 0, at)
    what = f"the character U+{ord(text[at]):04X} is not allowed in YAML"
    return Problem(name, line, column, "", what, "", "take it out; is this a text file?")


class _Builder:
    """Turns composed nodes into data and marks, collecting problems."""

    def __init__(self, name: str):
        self.name = name
        self.marks: dict[Key, tuple[int, int]] = {}
        self.problems: list[Problem] = []
        self._seen: set[int] = set()

    def build(self, node: yaml.Node, at: Key) -> Any:
        if id(node) in self._seen:
            self._alias(at)
            return ""
        self._seen.add(id(node))
        self.marks.setdefault(at, (node.start_mark.line + 1, node.start_mark.column + 1))
        if node.tag not in PLAIN_TAGS:
            tag = node.tag.replace("tag:yaml.org,2002:", "!!")
            self._problem(node, at, f"the tag {tag} is not used here")
            return ""
        if isinstance(node, yaml.ScalarNode):
            return str(node.value)
        if len(at) >= DEEPEST_NESTING:
            self._problem(node, at[:3], f"this is nested deeper than {DEEPEST_NESTING} levels")
            return ""
        if isinstance(node, yaml.SequenceNode):
            return [self.build(child, (*at, i)) for i, child in enumerate(node.value)]
        return self._mapping(node, at)

    def _mapping(self, node: yaml.Node, at: Key) -> dict[str, Any]:
        data: dict[str, Any] = {}
        for key_node, value_node in node.value:
            if not isinstance(key_node, yaml.ScalarNode):
                self._problem(key_node, at, "a key must be a word")
                continue
            key = key_node.value
            here = (*at, key)
            if key in data:
                first = self.marks[here][0]
                self._problem(key_node, here, f"this key is already given on line {first}")
                continue
            self.marks[here] = (key_node.start_mark.line + 1, key_node.start_mark.column + 1)
            data[key] = self.build(value_node, here)
        return data

    def _alias(self, at: Key) -> None:
        """An alias is the node it names, so its own place is not kept: its key's is."""
        line, column = self.marks.get(at) or self.marks[at[:-1]]
        what = "a YAML alias (*name) is not used here"
        self.problems.append(Problem(self.name, line, column, dotted(at), what, "", "write it out"))

    def _problem(self, node: yaml.Node, at: Key, what: str, hint: str = "") -> None:
        line, column = node.start_mark.line + 1, node.start_mark.column + 1
        self.problems.append(Problem(self.name, line, column, dotted(at), what, "", hint))


def validate(document: Document, data: Any, kind: type[T], at: Key = ()) -> T:
    """Check data against a pydantic class (or a type such as list[Rule]); raise all problems."""
    try:
        made: T = _adapter(kind).validate_python(data)
        return made
    except ValidationError as error:
        problems = (_problem_of(document, dict(one), kind, at) for one in error.errors())
        raise InputProblems(_merged(problems)) from None


def _adapter(kind: Any) -> TypeAdapter[Any]:
    """Kept: a class that defers its schema has it built anew for every adapter."""
    if kind not in _ADAPTERS:
        _ADAPTERS[kind] = TypeAdapter(kind)
    return _ADAPTERS[kind]


def _problem_of(document: Document, error: dict[str, Any], kind: Any, at: Key) -> Problem:
    loc = tuple(part for part in error["loc"] if part != "[key]")
    where = _known(document, (*at, *loc), error["type"] == "missing")
    found = error.get("input")
    context = error.get("ctx") or {}
    if error["type"] == "extra_forbidden":
        keys = _keys_at(kind, loc[:-1])
        what = f'unknown key "{loc[-1]}"'
        return document.problem(where, what, one_of(keys), did_you_mean(str(loc[-1]), keys))
    if error["type"] == "missing":
        return document.problem(where, f'the key "{loc[-1]}" is missing')
    shown = f'"{found}"' if isinstance(found, str) else _kind_word(found)
    if error["type"] in ("literal_error", "enum"):
        choices = re.findall(r"'([^']*)'", str(context.get("expected", "")))
        hint = did_you_mean(str(found), choices)
        return document.problem(where, f"{shown} is not a value here", one_of(choices), hint)
    return document.problem(where, f"{shown} does not fit", _need(error, context))


def _known(document: Document, at: Key, missing: bool) -> Key:
    """The key path without the validator's own words for the choices of a union."""
    node, known = document.data, []
    for part in at[: len(at) - missing]:
        in_list = isinstance(node, list) and isinstance(part, int) and part < len(node)
        if in_list or (isinstance(node, dict) and part in node):
            node = node[part]
            known.append(part)
    return (*known, *at[len(at) - missing :])


def _merged(problems: Iterable[Problem]) -> Iterable[Problem]:
    """What does not fit any choice of a union is one problem with several ways out."""
    kept: dict[tuple[int, int, str, str], Problem] = {}
    for problem in problems:
        slot = (problem.line, problem.column, problem.field, problem.what)
        first = kept.setdefault(slot, problem)
        if first.allowed != problem.allowed:
            kept[slot] = replace(first, allowed=f"{first.allowed} or {problem.allowed}")
    return kept.values()


def _need(error: dict[str, Any], context: dict[str, Any]) -> str:
    """What a value must be, in plain words, from the validator's error."""
    if error["type"] == "string_pattern_mismatch" and "A-Z" in str(context.get("pattern")):
        return "letters, digits, dots and hyphens, without blanks"
    words = {
        "float_parsing": "a number",
        "float_type": "a number",
        "int_parsing": "a whole number",
        "int_type": "a whole number",
        "int_from_float": "a whole number",
        "bool_parsing": "yes or no",
        "string_type": "text",
        "list_type": "a list",
        "dict_type": "a mapping of keys to values",
        "mapping_type": "a mapping of keys to values",
        "model_type": "a mapping of keys to values",
        "model_attributes_type": "a mapping of keys to values",
        "string_pattern_mismatch": "small letters, digits and hyphens",
        "date_from_datetime_parsing": "a date as 2031-04-12",
    }
    for name, sign in (("gt", "above"), ("ge", "at least"), ("lt", "below"), ("le", "at most")):
        if name in context:
            return f"{sign} {context[name]}"
    return words.get(error["type"], str(error["msg"]).removeprefix("Value error, "))


def _kind_word(value: Any) -> str:
    if isinstance(value, list):
        return "a list"
    if isinstance(value, dict):
        return "a mapping"
    return f"{value!r}"


def _keys_at(kind: Any, loc: Key) -> list[str]:
    """Field names of the record at an error's location, for suggestions."""
    for part in loc:
        kind = _step(kind, part)
        if kind is None:
            return []
    record = _record_of(kind)
    if record is None:
        return []
    return [field.alias or name for name, field in record.model_fields.items()]


def _step(kind: Any, part: str | int) -> Any:
    record = _record_of(kind)
    if record is not None and isinstance(part, str):
        for name, field in record.model_fields.items():
            if part in (name, field.alias):
                return field.annotation
        return None
    args = [arg for arg in get_args(kind) if arg is not type(None)]
    return args[-1] if args else None


def _record_of(kind: Any) -> type[BaseModel] | None:
    if isinstance(kind, type) and issubclass(kind, BaseModel):
        return kind
    if get_origin(kind) is None:
        return None
    records = [arg for arg in get_args(kind) if isinstance(arg, type)]
    records = [arg for arg in records if issubclass(arg, BaseModel)]
    if len(records) == 1 and len([a for a in get_args(kind) if a is not type(None)]) == 1:
        is_container = get_origin(kind) in (list, tuple, dict)
        return None if is_container else records[0]
    return None
