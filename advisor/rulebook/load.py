"""A folder of rule files -> a Pack, with all problems in one go."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, TypeVar

from advisor.errors import InputProblems, Problem
from advisor.model import pack as kinds
from advisor.model.base import Record
from advisor.model.pack import COMPLAINT, Pack, Symptom
from advisor.yaml_marks import Document, Key, read_document, validate

R = TypeVar("R", bound=Record)
SCHEMA_VERSION = 1
PACK_INFO = ("info", "pack")  # where pack.yaml itself stands in Loaded.where

# name of the Pack field -> (class of one entry, file or folder)
TABLES: Mapping[str, tuple[type[Record], str]] = {
    "sources": (kinds.Source, "sources.yaml"),
    "families": (kinds.Family, "families.yaml"),
    "causes": (kinds.Cause, "causes"),
    "keys": (kinds.SymptomKey, "symptoms.yaml"),
    "rules": (kinds.Rule, "evidence"),
    "inspections": (kinds.Inspection, "inspections"),
    "access": (kinds.Access, "access.yaml"),
    "limits": (kinds.Limit, "limits.yaml"),
    "vehicles": (kinds.VehicleInfo, "vehicles.yaml"),
    "tires": (kinds.Tire, "tires.yaml"),
    "cautions": (kinds.Caution, "cautions.yaml"),
    "safety": (kinds.SafetyRule, "safety.yaml"),
    "limitations": (kinds.Limitation, "limitations.yaml"),
    "work": (kinds.WorkItem, "work.yaml"),
    "weights": (kinds.BalanceWeight, "weights.yaml"),
    "recordings": (kinds.JudgedValue, "recordings.yaml"),
}


@dataclass
class Loaded:
    """A pack with the place every entry came from, for messages."""

    pack: Pack
    where: dict[tuple[str, str], tuple[Document, Key]] = field(default_factory=dict)

    def problem(self, table: str, id_: str, at: Key, what: str, *rest: str) -> Problem:
        """A problem at a key of one entry."""
        document, key = self.where[(table, id_)]
        return document.problem((*key, *at), what, *rest)


def default_rules_folder() -> Path:
    """rules/ of the checkout, or the copy that was installed with the package."""
    package = Path(__file__).resolve().parent.parent
    installed = package / "_rules"
    return installed if installed.is_dir() else package.parent / "rules"


def load_folder(folder: str | Path | None = None) -> Loaded:
    """Read every rule file below a folder; raises InputProblems."""
    root = Path(folder) if folder is not None else default_rules_folder()
    if not (root / "pack.yaml").is_file():
        what = "there is no pack.yaml here, so this is not a rules folder"
        if not root.is_dir():
            what = "the rules folder is missing"
        raise InputProblems([Problem(str(root), 0, 0, "", what, "", "see --rules DIR")])
    problems: list[Problem] = []
    where: dict[tuple[str, str], tuple[Document, Key]] = {}
    tables: dict[str, list[Any]] = {}
    for name, (kind, place) in TABLES.items():
        tables[name] = []
        for document in _documents(root, place, problems):
            tables[name] += _entries(document, name, kind, where, problems)
    info = _pack_info(root, where, problems)
    from advisor.rulebook.extras import extras_of  # here, because it uses this module

    extras = extras_of(root, tables, problems)
    if problems or info is None:
        raise InputProblems(problems)
    return Loaded(_assemble(info, content_hash(root), tables, extras), where)


def _documents(root: Path, place: str, problems: list[Problem]) -> list[Document]:
    path = root / place
    files = sorted(path.rglob("*.yaml")) if path.suffix != ".yaml" else [path]
    documents = []
    for file in files:
        try:
            documents.append(read_document(shown_path(file)))
        except InputProblems as error:
            problems.extend(error.problems)
    return documents


def shown_path(file: Path) -> Path:
    """A path as the user would type it: relative when it lies below the current folder."""
    try:
        return file.resolve().relative_to(Path.cwd())
    except ValueError:
        return file


def _entries(
    document: Document,
    table: str,
    kind: type[R],
    where: dict[tuple[str, str], tuple[Document, Key]],
    problems: list[Problem],
) -> list[R]:
    """The entries of one file; ids given twice are problems."""
    if not isinstance(document.data, list):
        problems.append(document.problem((), "a list of entries is expected ('- id: ...')"))
        return []
    entries = []
    for index, item in enumerate(document.data):
        try:
            entry = validate(document, item, kind, (index,))
        except InputProblems as error:
            problems.extend(error.problems)
            continue
        id_ = entry_id(entry)
        if (table, id_) in where:
            first, key = where[(table, id_)]
            line = first.marks[key][0]
            what = f'"{id_}" is already given in {first.path} on line {line}'
            problems.append(document.problem((index,), what))
            continue
        where[(table, id_)] = (document, (index,))
        entries.append(entry)
    return entries


def entry_id(entry: Record) -> str:
    """What an entry is known by."""
    for name in ("id", "key", "size"):
        if hasattr(entry, name):
            return str(getattr(entry, name))
    raise TypeError(f"{type(entry).__name__} has no id")


def _pack_info(
    root: Path, where: dict[tuple[str, str], tuple[Document, Key]], problems: list[Problem]
) -> kinds.PackInfo | None:
    try:
        document = read_document(shown_path(root / "pack.yaml"))
        where[PACK_INFO] = (document, ())
        info = validate(document, document.data, kinds.PackInfo)
    except InputProblems as error:
        problems.extend(error.problems)
        return None
    if info.schema_version > SCHEMA_VERSION:
        what = f"this pack needs schema {info.schema_version}, this program reads {SCHEMA_VERSION}"
        problems.append(document.problem(("schema",), what, "", "install a newer advisor"))
        return None
    return info


def content_hash(root: Path) -> str:
    """SHA-256 over every rule file (not the lock), names included, line ends made alike."""
    digest = hashlib.sha256()
    for file in sorted(root.rglob("*.yaml"), key=lambda f: f.relative_to(root).as_posix()):
        if file.name == "lock.yaml" or "history" in file.relative_to(root).parts:
            continue
        digest.update(file.relative_to(root).as_posix().encode() + b"\0")
        digest.update(file.read_bytes().replace(b"\r\n", b"\n") + b"\0")
    return digest.hexdigest()


def _assemble(
    info: kinds.PackInfo, sha256: str, tables: dict[str, list[Any]], extras: dict[str, Any]
) -> Pack:
    def by_id(entries: Iterable[Any]) -> dict[str, Any]:
        return {entry_id(entry): entry for entry in entries}

    return Pack(
        info=info,
        sha256=sha256,
        symptoms=by_id(symptom_table(tables)),
        rules=tuple(sorted(tables["rules"], key=entry_id)),
        safety=tuple(tables["safety"]),
        limitations=tuple(tables["limitations"]),
        **extras,
        **{
            name: by_id(tables[name])
            for name in TABLES
            if name not in ("rules", "safety", "limitations")
        },
    )


def symptom_table(tables: Mapping[str, list[Any]]) -> list[Symptom]:
    """Every symptom the engine can use, from symptoms.yaml, inspections and work."""
    made = [
        Symptom(
            id=COMPLAINT,
            key="complaint",
            name="there is a vibration complaint",
            ask="",
            background="rarely",
            aspect=COMPLAINT,
            placed=False,
        )
    ]
    for key in tables["keys"]:
        made += [_asked(key, name, value) for name, value in key.values.items()]
    made += [_found(inspection) for inspection in tables["inspections"]]
    for item in tables["work"]:
        made += _tried(item)
    return made


def _asked(key: kinds.SymptomKey, name: str, value: kinds.SymptomValue) -> Symptom:
    id_ = f"{key.key}.{name}"
    return Symptom(
        id=id_,
        key=key.key,
        name=value.name,
        ask=value.ask,
        background=value.background,
        aspect=value.aspect or id_,
        placed=key.placed,
        exclusive=key.exclusive,
        derive=value.derive,
        settled_by=value.settled_by,
        observable=value.observable,
    )


def _found(inspection: kinds.Inspection) -> Symptom:
    id_ = f"found.{inspection.id}"
    return Symptom(
        id=id_,
        key="found",
        name=inspection.found_means,
        ask="",
        background=inspection.false_alarm,
        aspect=id_,
        placed=inspection.at != "vehicle",
        observable="shop",
    )


def _tried(item: kinds.WorkItem) -> list[Symptom]:
    """What a remedy did, as two symptoms; a cure by chance or a return by chance is rare."""
    made = []
    for key, name in (
        ("cured_by", f"cured when {item.name}"),
        ("came_back_after", f"came back after it was {item.name}"),
    ):
        id_ = f"{key}.{item.id}"
        made.append(
            Symptom(
                id=id_,
                key=key,
                name=name,
                ask="",
                background="rarely",
                aspect=id_,
                placed=False,
                observable="shop",
            )
        )
    return made
