"""Imports go one way: errors <- model <- steps <- pipeline <- report <- front ends."""

from __future__ import annotations

import ast
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

from tests.conftest import ROOT

PACKAGE = ROOT / "advisor"
SIBLINGS = {"rulebook", "intake", "evidence", "inference", "plan"}
FRONT_ENDS = {"cli", "web", "triage", "bench", "drill", "serve"}
# What each part may import of ours. Modules between the steps and the reports ("assembly") put the
# steps together and may use all of them.
BASE = {"errors", "files", "yaml_marks", "model"}
REPORT_MAY = {"errors", "model", "report"}
SLOW = {"scipy", "matplotlib"}
REPORT_TOOLS = {"jinja2", "markupsafe", "matplotlib", "numpy", "pydantic"}


@cache
def modules() -> list[Path]:
    return sorted(PACKAGE.rglob("*.py"))


def part_of(file: Path) -> str:
    """The package or top-level module a file belongs to."""
    inside = file.relative_to(PACKAGE).parts
    return inside[0].removesuffix(".py")


@cache
def imports(file: Path) -> tuple[tuple[int, str, bool], ...]:
    """(line, full name, whether it is inside a function) of every import that runs."""
    return tuple(_imports(file))


def _imports(file: Path) -> Iterator[tuple[int, str, bool]]:
    tree = ast.parse(file.read_text(encoding="utf-8"))
    inside, never = set(), set()
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            inside |= {id(child) for child in ast.walk(node)}
        if isinstance(node, ast.If) and "TYPE_CHECKING" in ast.unparse(node.test):
            never |= {id(child) for child in ast.walk(node)}
    for node in ast.walk(tree):
        if id(node) in never:
            continue
        if isinstance(node, ast.Import):
            for alias in node.names:
                yield node.lineno, alias.name, id(node) in inside
        if isinstance(node, ast.ImportFrom):
            base = absolute(file, node)
            for alias in node.names:
                yield node.lineno, module_in(base, alias.name), id(node) in inside


def absolute(file: Path, node: ast.ImportFrom) -> str:
    """`from .vector import x` in advisor/physics -> advisor.physics.vector"""
    if not node.level:
        return node.module or ""
    package = ["advisor", *file.relative_to(PACKAGE).parts[:-1]]
    base = package[: len(package) - node.level + 1]
    return ".".join([*base, *([node.module] if node.module else [])])


def module_in(base: str, name: str) -> str:
    """`from package import module` means the module, `from module import thing` the module too."""
    if base.split(".")[0] != "advisor":
        return base
    inside = PACKAGE.joinpath(*base.split(".")[1:], name)
    return f"{base}.{name}" if inside.is_dir() or inside.with_suffix(".py").exists() else base


def ours(file: Path) -> Iterator[tuple[int, str]]:
    for line, name, _ in imports(file):
        if name.split(".")[0] == "advisor":
            yield line, f"{name}.__init__".split(".")[1]


def offenders(files: list[Path], allowed) -> list[str]:
    found = []
    for file in files:
        for line, part in ours(file):
            if not allowed(part):
                found.append(f"{file.relative_to(ROOT)}:{line} imports advisor.{part}")
    return list(dict.fromkeys(found))


def files_of(*parts: str) -> list[Path]:
    return [file for file in modules() if part_of(file) in parts]


def test_errors_import_nothing_of_ours():
    assert offenders(files_of("errors"), lambda part: False) == []


def test_physics_imports_nothing_of_ours():
    assert len(files_of("physics")) > 5
    assert offenders(files_of("physics"), lambda part: part == "physics") == []


def test_the_model_stands_on_errors_and_physics_only():
    """physics serves the model too: which tire turns how fast is a look-up both need."""
    assert offenders(files_of("model"), lambda part: part in {"errors", "model", "physics"}) == []


@pytest.mark.parametrize("sibling", sorted(SIBLINGS))
def test_the_steps_do_not_import_one_another(sibling):
    assert files_of(sibling)
    allowed = BASE | {"physics", sibling}
    assert offenders(files_of(sibling), lambda part: part in allowed) == []


def test_report_computes_nothing_and_knows_only_the_document():
    assert files_of("report")
    assert offenders(files_of("report"), lambda part: part in REPORT_MAY) == []


def test_report_uses_few_libraries():
    found = []
    for file in files_of("report"):
        for line, name, _ in imports(file):
            top = name.split(".")[0]
            if top and top not in sys.stdlib_module_names and top not in REPORT_TOOLS | {"advisor"}:
                found.append(f"{file.relative_to(ROOT)}:{line} imports {name}")
    assert found == []


def test_nothing_below_them_imports_reports_or_front_ends():
    lower = files_of("errors", "files", "yaml_marks", "physics", "model", "pipeline", *SIBLINGS)
    upper = FRONT_ENDS | {"report"}
    assert offenders(lower, lambda part: part not in upper) == []


def test_no_front_end_is_imported_from_outside_the_front_ends():
    rest = [file for file in modules() if part_of(file) not in FRONT_ENDS | {"__main__"}]
    assert offenders(rest, lambda part: part not in FRONT_ENDS) == []


def test_slow_libraries_are_imported_only_inside_functions():
    """scipy.signal alone costs over half a second at start."""
    found = [
        f"{file.relative_to(ROOT)}:{line} imports {name} at the top"
        for file in modules()
        for line, name, inside in imports(file)
        if name.split(".")[0] in SLOW and not inside
    ]
    assert found == []


def graph() -> dict[str, set[str]]:
    """Module -> modules of ours it imports at the top."""
    names = {}
    for file in modules():
        parts = [p.removesuffix(".py") for p in file.relative_to(PACKAGE).parts]
        names[".".join(["advisor", *(p for p in parts if p != "__init__")])] = file
    edges: dict[str, set[str]] = {}
    for name, file in names.items():
        edges[name] = {
            target
            for _, target, inside in imports(file)
            if not inside and target in names and target != name
        }
    return edges


def test_there_are_no_import_cycles():
    edges, state, path = graph(), {}, []

    def visit(name: str) -> list[str]:
        state[name] = "open"
        path.append(name)
        for target in sorted(edges[name]):
            if state.get(target) == "open":
                return [*path[path.index(target) :], target]
            if target not in state and (found := visit(target)):
                return found
        path.pop()
        state[name] = "done"
        return []

    assert [cycle for name in sorted(edges) if name not in state and (cycle := visit(name))] == []


def test_the_reader_of_imports_sees_them(tmp_path, monkeypatch):
    """The checks above can fail: a file with offending imports is read right."""
    monkeypatch.setattr(sys.modules[__name__], "PACKAGE", tmp_path)
    file = tmp_path / "physics" / "x.py"
    file.parent.mkdir()
    file.write_text(
        "from typing import TYPE_CHECKING\nfrom .units import M\nfrom ..model import pack\n"
        "import scipy.signal\nif TYPE_CHECKING:\n    from advisor.cli import main\n"
        "def f():\n    from advisor.report import html\n",
        encoding="utf-8",
    )
    (tmp_path / "model").mkdir()
    (tmp_path / "model" / "pack.py").touch()
    found = [(line, name, inside) for line, name, inside in imports(file) if name != "typing"]
    assert found == [
        (2, "advisor.physics.units", False),
        (3, "advisor.model.pack", False),
        (4, "scipy.signal", False),
        (8, "advisor.report", True),
    ]
