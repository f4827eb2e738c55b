"""A case file that two people may have open: saved whole, and never over someone else's change."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from advisor.errors import AdvisorError
from advisor.files import read_all, write_whole
from advisor.yaml_marks import LARGEST_FILE_BYTES, decode, parse, read_raw

MOST_BYTES = LARGEST_FILE_BYTES + 1


class ChangedMeanwhile(AdvisorError):
    """Somebody else saved the file since it was read; nothing was written."""

    def __init__(self, path: Path):
        super().__init__(
            f"{path}: somebody else changed this file since it was read; your last answer is not "
            "saved yet and their change is untouched"
        )


class CaseStore:
    """One case file. text: as it was last read or saved."""

    def __init__(self, path: str | Path):
        self.path = Path(path)
        self.text = ""
        self.reload()

    def reload(self) -> str:
        """Read the file again. Raises InputProblems as for any case file."""
        raw = read_raw(self.path)
        self.text = decode(raw, str(self.path))
        parse(self.text, str(self.path))  # the same messages as everywhere
        self._seen = hashlib.sha256(raw).hexdigest()
        return self.text

    def save(self, text: str) -> None:
        """Replace the file in one move. Raises ChangedMeanwhile and then writes nothing."""
        if text == self.text:
            return
        with _held(self.path) as handle:
            if self._now(handle) != self._seen:
                raise ChangedMeanwhile(self.path)
            write_whole(self.path, text)
        self.text = text
        self._seen = hashlib.sha256(text.encode()).hexdigest()

    def _now(self, handle: int | None) -> str:
        """The file's hash as it is now. handle: of the file, where it is open."""
        try:
            raw = self.path.read_bytes() if handle is None else read_all(handle, MOST_BYTES)
            return hashlib.sha256(raw).hexdigest()
        except OSError as error:
            raise _unreadable(self.path, error) from None


@contextmanager
def _held(path: Path) -> Iterator[int | None]:
    """Keep two benches from comparing and writing one case at once; where locks are not to be had
    the comparison alone must do. Other cases are saved meanwhile."""
    try:
        import fcntl
    except ImportError:
        yield None
        return
    handle = _opened(path)
    try:
        fcntl.flock(handle, fcntl.LOCK_EX)
        while not _is_there(path, handle):  # the one before put a new file in its place
            os.close(handle)
            handle = _opened(path)
            fcntl.flock(handle, fcntl.LOCK_EX)
        yield handle
    finally:
        os.close(handle)


def _opened(path: Path) -> int:
    try:
        return os.open(path, os.O_RDONLY)
    except OSError as error:
        raise _unreadable(path, error) from None


def _is_there(path: Path, handle: int) -> bool:
    """Whether the open file is still the one of this name."""
    try:
        return os.path.samestat(path.stat(), os.fstat(handle))
    except OSError as error:
        raise _unreadable(path, error) from None


def _unreadable(path: Path, error: OSError) -> AdvisorError:
    reason = (error.strerror or str(error)).lower()
    return AdvisorError(f"{path}: cannot read it any more: {reason}; your last answer is not saved")
