"""Changes to the text of a case file that leave the rest of it, comments too, as it was.

Every change is checked by reading the result again: it holds what it held, plus or minus what was
meant, or the change is refused.
"""

from __future__ import annotations

from typing import Any

import yaml

from advisor.errors import AdvisorError
from advisor.yaml_marks import nodes, parse

BENCH = "bench"


def add_item(text: str, key: str, item: str, name: str = "-") -> str:
    """Append `- item` to the list under a top-level key; the key is made where it is missing."""
    expected = _data(text, name)
    expected[key] = [*(expected.get(key) or []), _value(item)]
    return _checked(_insert(text, key, f"- {item}"), expected, name)


def add_answer(text: str, symptom: str, state: str, name: str = "-") -> str:
    """Append a symptom's yes or no to `symptoms:`, whether that is a list or a mapping."""
    expected = _data(text, name)
    held = expected.get("symptoms") or {}
    if isinstance(held, list):
        return add_item(text, "symptoms", f'{{{symptom}: "{state}"}}', name)
    expected["symptoms"] = {**held, symptom: state}
    return _checked(_insert(text, "symptoms", f'{symptom}: "{state}"'), expected, name)


def put_section(text: str, key: str, block: str, name: str = "-") -> str:
    """Write a whole top-level section, in place of the one that is there, else at the end.

    block: the section's text with its key, ending in a line end; empty takes the section away.
    """
    expected = _data(text, name)
    expected.pop(key, None)
    if block:
        expected.update(_data(block, name))
    lines = _lines(text)
    span = _span(text, key)
    end = _line_end(text)
    made = [line.rstrip("\n") + end for line in block.splitlines()]
    if span is None:
        lines[_bottom(lines) : _bottom(lines)] = made
    else:
        lines[span[0] : span[1]] = made
    return _checked("".join(lines), expected, name)


def drop_last(text: str, key: str, entries: int, name: str = "-") -> str:
    """Take the last entries of a section away, where each still stands on a line of its own."""
    expected = _data(text, name)
    held = expected.get(key)
    if entries == 0 or not held or len(held) < entries:
        return text
    for _ in range(entries):
        node = _value_node(text, key)
        last = node.value[-1] if node is not None and isinstance(node.value, list) else None
        if last is None:
            break
        first_line, last_line = _entry_lines(last)
        lines = _lines(text)
        del lines[first_line : last_line + 1]
        if len(node.value) == 1:
            head = next(i for i, line in enumerate(lines) if line.startswith(f"{key}:"))
            del lines[head]
        text = "".join(lines)
    if len(held) == entries:
        expected.pop(key)
    elif isinstance(held, list):
        expected[key] = held[:-entries]
    else:
        expected[key] = dict(list(held.items())[:-entries])
    return _checked(text, expected, name)


def _entry_lines(last: Any) -> tuple[int, int]:
    """First and last line of an entry of a list or mapping."""
    start, end = (last, last) if isinstance(last, yaml.Node) else last
    finish = end.end_mark.line - (1 if end.end_mark.column == 0 else 0)
    return start.start_mark.line, max(start.start_mark.line, finish)


def _insert(text: str, key: str, entry: str) -> str:
    """Put one entry at the end of a section, in the section's own indent."""
    node = _value_node(text, key)
    lines, end = _lines(text), _line_end(text)
    if lines and not lines[-1].endswith("\n"):
        lines[-1] += end
    if node is None:
        at = _place_for_new(text, lines)
        lines[at:at] = [f"{key}:{end}", f"  {entry}{end}"]
        return "".join(lines)
    if isinstance(node, yaml.ScalarNode):
        at = node.start_mark.line
        lines[at] = f"{key}:{end}"
        lines.insert(at + 1, f"  {entry}{end}")
        return "".join(lines)
    if node.flow_style:
        return _insert(_as_block(text, key, node), key, entry)
    span = _span(text, key)
    assert span is not None
    at = span[1]
    while at > span[0] + 1 and lines[at - 1].strip() in ("",):
        at -= 1
    column = node.start_mark.column
    if isinstance(node, yaml.SequenceNode):
        column = len(lines[node.start_mark.line]) - len(lines[node.start_mark.line].lstrip())
    lines.insert(at, f"{' ' * column}{entry}{end}")
    return "".join(lines)


def _as_block(text: str, key: str, node: Any) -> str:
    """A section written in brackets or braces, as one line an entry."""
    end = _line_end(text)
    if isinstance(node, yaml.SequenceNode):
        rows = [f"  - {_source(text, child)}" for child in node.value]
    else:
        rows = [f"  {k.value}: {_source(text, v)}" for k, v in node.value]
    block = end.join(rows)
    if not rows:
        return text[: node.start_mark.index].rstrip(" ") + text[node.end_mark.index :]
    head = text[: node.start_mark.index].rstrip(" ")
    return f"{head}{end}{block}{text[node.end_mark.index :]}"


def _source(text: str, node: Any) -> str:
    """A value as it was written, on one line."""
    return " ".join(text[node.start_mark.index : node.end_mark.index].split())


def _root(text: str) -> yaml.MappingNode:
    root = nodes(text)
    if not isinstance(root, yaml.MappingNode) or root.flow_style:
        raise AdvisorError(
            "this case is written in braces; answers can only be added to a case written line by "
            "line (case: name, then one key a line)"
        )
    return root


def _value_node(text: str, key: str) -> Any:
    return next((v for k, v in _root(text).value if k.value == key), None)


def _span(text: str, key: str) -> tuple[int, int] | None:
    """(first line, line after the last) of a top-level section, without trailing comments at the
    left edge, which belong to what follows."""
    root = _root(text)
    starts = [k.start_mark.line for k, _ in root.value]
    lines = _lines(text)
    for i, (k, _) in enumerate(root.value):
        if k.value == key:
            stop = starts[i + 1] if i + 1 < len(starts) else _bottom(lines)
            while stop > starts[i] + 1 and (
                not lines[stop - 1].strip() or lines[stop - 1].startswith("#")
            ):
                stop -= 1
            return starts[i], stop
    return None


def _place_for_new(text: str, lines: list[str]) -> int:
    """A new section goes before the bench's own, else to the end."""
    span = _span(text, BENCH)
    return span[0] if span else _bottom(lines)


def _bottom(lines: list[str]) -> int:
    """The line after the last of the document: before an end mark `...`."""
    for i, line in enumerate(lines):
        if line.rstrip() == "...":
            return i
    return len(lines)


def _lines(text: str) -> list[str]:
    return (
        text.splitlines(keepends=True)
        if text.endswith("\n")
        else [*(text + _line_end(text)).splitlines(keepends=True)]
    )


def _line_end(text: str) -> str:
    return "\r\n" if "\r\n" in text else "\n"


def _data(text: str, name: str) -> dict[str, Any]:
    data = parse(text, name).data
    return dict(data) if isinstance(data, dict) else {}


def _value(item: str) -> Any:
    return parse(item, "-").data


def _checked(text: str, expected: dict[str, Any], name: str) -> str:
    """The text, if it reads as expected."""
    if _data(text, name) != expected:
        raise AdvisorError(
            f"{name}: the answer cannot be added without changing other lines; write the "
            "sections symptoms and inspections as one line an entry"
        )
    return text
