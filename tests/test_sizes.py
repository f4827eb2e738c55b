"""Modules and functions stay small enough to be read in one go."""

from __future__ import annotations

import ast
from pathlib import Path

from tests.conftest import ROOT

LONGEST_MODULE = 400
LONGEST_FUNCTION = 60
# Plain declarations, one class for each kind of file: nothing to follow, only to look up.
DECLARATIONS = {"advisor/model/pack.py", "advisor/model/diagnosis.py"}


def modules() -> list[Path]:
    return sorted((ROOT / "advisor").rglob("*.py"))


def too_long(source: str, limit: int) -> list[tuple[str, int]]:
    """Functions beyond the limit, with decorators and docstring."""
    found = []
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            length = node.end_lineno - node.lineno + 1
            if length > limit:
                found.append((node.name, length))
    return found


def test_modules():
    lengths = {
        str(f.relative_to(ROOT)): f.read_text(encoding="utf-8").count("\n") for f in modules()
    }
    assert lengths
    long = {f: n for f, n in lengths.items() if n > LONGEST_MODULE and f not in DECLARATIONS}
    assert long == {}


def test_modules_of_declarations_declare_and_do_little_else():
    """What excuses their length must stay true: classes, and no function of any size."""
    for name in DECLARATIONS:
        assert too_long((ROOT / name).read_text(encoding="utf-8"), 12) == []


def test_functions():
    found = [
        f"{file.relative_to(ROOT)}: {name} has {length} lines"
        for file in modules()
        for name, length in too_long(file.read_text(encoding="utf-8"), LONGEST_FUNCTION)
    ]
    assert found == []


def test_the_measure_measures():
    body = "\n".join(["def f():", *["    x = 1"] * 60])
    assert too_long(body, 60) == [("f", 61)]
    assert too_long(body, 61) == []
