"""Case files and exports that came together -> one stack; each row knows its file."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path, PurePosixPath
from types import MappingProxyType

from advisor.errors import AdvisorError, InputProblems
from advisor.intake.stack_file import read_export
from advisor.intake.stack_lines import hidden, read_folder
from advisor.model.pack import Pack
from advisor.model.stack import Reject, Stack, where

CASE = ".yaml"
EXPORTS = (".csv", ".tsv", ".txt", ".jsonl", ".ndjson", ".json")
MOST_NAMED = 5
NONE_TOLD: Mapping[str, str] = MappingProxyType({})


def read_several(folder: Path, pack: Pack, columns: Mapping[str, str] = NONE_TOLD) -> Stack:
    """Everything below a folder that was filled for this, as one stack. columns: heading by field
    of exports, where the user said so.

    Case files are read as `read_folder` reads them. Beside them exports count that lie in the
    folder itself: a table deeper down belongs to the cases there (readings, recordings). Without
    case files every export counts. What cannot be read is set aside; raises AdvisorError when
    that is everything.
    """
    files = sorted(p for p in folder.rglob("*") if p.is_file() and not hidden(p, folder))
    cases = [p for p in files if p.suffix == CASE]
    exports = [p for p in files if p.suffix.lower() in EXPORTS]
    if cases:
        exports = [p for p in exports if p.parent == folder]
    left = [p for p in files if p not in {*cases, *exports}]
    if not cases and not exports:
        raise AdvisorError(
            f"{_few(files) or 'nothing'}: neither a case file (*{CASE}) nor an export "
            f"({', '.join(EXPORTS)})"
        )
    stacks = [_export(p, pack, columns) for p in exports]
    if len(files) == 1 and stacks:
        return _only(stacks[0], files[0])
    held = [read_folder(folder, pack)] if cases else []
    held += [_told_apart(s, p) if isinstance(s, Stack) else _refused(s, p)
             for s, p in zip(stacks, exports, strict=True)]  # fmt: skip
    if not any(s.rows for s in held):
        raise AdvisorError(_reasons(r for s in held for r in s.rejects))
    return _joined(held, [*cases, *exports], left)


def _export(path: Path, pack: Pack, columns: Mapping[str, str]) -> Stack | AdvisorError:
    try:
        return read_export(path.read_bytes(), str(path), pack.columns, columns)
    except AdvisorError as error:
        return error


def _only(stack: Stack | AdvisorError, path: Path) -> Stack:
    if isinstance(stack, AdvisorError):
        raise stack
    return replace(stack, name=str(path))


def _told_apart(stack: Stack, path: Path) -> Stack:
    """A stack whose rows say which file they are from."""
    named = str(path)
    return replace(
        stack,
        rows=tuple(replace(row, file=named) for row in stack.rows),
        rejects=tuple(replace(reject, file=named) for reject in stack.rejects),
        read_as=(f"{named}: {', '.join(stack.read_as)}",),
    )


def _refused(error: AdvisorError, path: Path) -> Stack:
    """A whole file set aside."""
    line, reason = 0, str(error).removeprefix(f"{path}: ")
    if isinstance(error, InputProblems):
        first = error.problems[0]
        line, reason = first.line, str(replace(first, path="", line=0)).removeprefix(": ")
    return Stack(str(path), (), (Reject(line, reason, str(path), str(path)),), (), {})


def _reasons(rejects: Iterable[Reject]) -> str:
    told = [f"{where(r.line, r.file)}: {r.reason}" for r in rejects]
    more = [f"and {len(told) - MOST_NAMED} more"] if len(told) > MOST_NAMED else []
    return "\n".join([*told[:MOST_NAMED], *more])


def _joined(stacks: Sequence[Stack], used: Sequence[Path], left: Sequence[Path]) -> Stack:
    read_as = [said for stack in stacks for said in stack.read_as]
    if len(read_as) > MOST_NAMED:
        read_as = [*read_as[:MOST_NAMED], f"and {len(read_as) - MOST_NAMED} files more"]
    if left:
        count, them = ("1 file", "it") if len(left) == 1 else (f"{len(left)} files", "them")
        beside = any(row.case for stack in stacks for row in stack.rows)
        why = f"read only where a case names {them}" if beside else "left out"
        read_as.append(f"{count} {why}: {_few(left)}")
    return Stack(
        _named(used),
        tuple(row for stack in stacks for row in stack.rows),
        tuple(reject for stack in stacks for reject in stack.rejects),
        tuple(read_as),
        {},
    )


def _named(used: Sequence[Path]) -> str:
    """The folder they all lie in, else the first of them and how many more."""
    tops = Counter(PurePosixPath(p.as_posix()).parts[0] for p in used)
    if len(tops) == 1:
        return next(iter(tops))
    return f"{used[0]} and {len(used) - 1} more"


def _few(paths: Iterable[Path]) -> str:
    names = [str(p) for p in paths]
    more = f" and {len(names) - MOST_NAMED} more" if len(names) > MOST_NAMED else ""
    return ", ".join(names[:MOST_NAMED]) + more
