"""The shop's folder of case files: found by name, never by path, written whole or not at all."""

from __future__ import annotations

import functools
import hashlib
import os
import re
import stat
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from advisor.bench.storage import CaseStore, ChangedMeanwhile
from advisor.errors import AdvisorError
from advisor.files import write_whole
from advisor.web.index import Entry, Index
from advisor.yaml_marks import parse

NAME = re.compile(r"^[A-Za-z0-9][A-Za-z0-9_.-]{0,99}$")
TRIES = 8
Last = Callable[[Callable[[], None], bool], None]


def at_once(save: Callable[[], None], _: bool) -> None:
    save()


class NoSuchCase(AdvisorError):
    """No case of this name is in the folder."""


class NameTaken(AdvisorError):
    """A case of this name is in the folder already."""


@dataclass(frozen=True)
class CaseFile:
    """A case as it was read. version: of its content, to tell whether somebody changed it."""

    id: str
    path: Path
    text: str

    @property
    def version(self) -> str:
        """Sixteen digits that hang on the content alone."""
        return version_of(self.text)


def case_named(text: str, path: Path) -> str:
    """The name a text gives its case, or empty."""
    data = parse(text, str(path)).data
    return str(data.get("case", "")) if isinstance(data, dict) else ""


def version_of(text: str) -> str:
    """Sixteen digits that hang on the content alone."""
    return hashlib.sha256(text.encode()).hexdigest()[:16]


class Folder:
    """Case files below one folder. last: what is to be saved is handed to it, and whether at once.
    Raises AdvisorError when the folder is not there."""

    def __init__(self, root: str | Path, last: Last = at_once):
        self.root = Path(root).resolve()
        if not self.root.is_dir():
            raise AdvisorError(f"{root}: there is no such folder of cases; make it first")
        self.index = Index(self.root)
        self._last = last

    def entries(self) -> list[Entry]:
        """Every case of the folder, newest change first."""
        return self.index.entries()

    def path(self, id_: str) -> Path:
        """Where a case lies. Raises NoSuchCase."""
        if not NAME.match(id_):
            raise NoSuchCase(f'"{id_[:60]}" is not the name of a case')
        near = self.root / f"{id_}.yaml"
        if near.is_file() and self._inside(near) and self.index.id_of(near) == id_:
            return near
        found = [e.path for e in self.entries() if e.id == id_]
        if not found:
            raise NoSuchCase(f'there is no case "{id_}" in this folder')
        if len(found) > 1:
            files = ", ".join(str(p.relative_to(self.root)) for p in found)
            raise AdvisorError(f'two files call themselves "{id_}": {files}; rename one of them')
        return found[0]

    def _inside(self, path: Path) -> bool:
        return path.resolve().is_relative_to(self.root)

    def _store(self, id_: str) -> CaseStore:
        """A case, open to be saved. Raises NoSuchCase."""
        near = self.root / f"{id_}.yaml"
        if NAME.match(id_) and _plain_file(near):
            store = CaseStore(near)
            if case_named(store.text, near) == id_:
                return store
        return CaseStore(self.path(id_))

    def read(self, id_: str) -> CaseFile:
        """A case as it stands."""
        store = self._store(id_)
        return CaseFile(id_, store.path, store.text)

    def change(
        self, id_: str, change: Callable[[CaseFile], str], at_once: bool = False
    ) -> CaseFile:
        """Change a case: read, change, save; again from the start when somebody saved meanwhile.

        change: the text as it is to become; whatever it raises leaves the file as it was. The
        file may be saved when the rest of the work is done; at_once: before this returns.
        """
        store = self._store(id_)
        for _ in range(TRIES):
            made = change(CaseFile(id_, store.path, store.text))
            try:
                self._last(functools.partial(store.save, made), at_once)
            except ChangedMeanwhile:
                store.reload()
                continue
            return CaseFile(id_, store.path, made)
        raise AdvisorError("others keep changing this case; nothing was saved, please try again")

    def save_as_it_was(self, id_: str, seen: str, text: str) -> CaseFile:
        """Save over the version that was seen. Raises ChangedMeanwhile when it is not there now."""
        path = self.path(id_)
        store = CaseStore(path)
        if version_of(store.text) != seen:
            raise ChangedMeanwhile(path)
        store.save(text)
        return CaseFile(id_, path, text)

    def create(self, id_: str, text: str) -> CaseFile:
        """A new file; raises NameTaken when there is one. It appears whole or not at all."""
        if not NAME.match(id_):
            raise AdvisorError(
                f'"{id_[:60]}" cannot be a name: letters, digits, dot, dash and underscore'
            )
        if any(e.id == id_ for e in self.entries()):
            raise NameTaken(f'there is a case "{id_}" already')
        path = self.root / f"{id_}.yaml"
        put_new(path, text.encode())
        return CaseFile(id_, path, text)


def _plain_file(path: Path) -> bool:
    """Whether a file is there that is no link to elsewhere."""
    try:
        return stat.S_ISREG(os.lstat(path).st_mode)
    except OSError:
        return False


def put_new(path: Path, content: bytes) -> None:
    """Write a file that must not be there yet, whole or not at all."""
    try:
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        Path(name).chmod(0o644)
    except OSError as error:
        raise AdvisorError(f"{path.name}: cannot write: {(error.strerror or '').lower()}") from None
    try:
        os.link(name, path)
    except FileExistsError:
        raise NameTaken(f'there is a file "{path.name}" already') from None
    except OSError:
        # no links on this file system: rename, after looking once more
        if path.exists():
            raise NameTaken(f'there is a file "{path.name}" already') from None
        write_whole(path, content)
    finally:
        Path(name).unlink(missing_ok=True)
