"""A case file that two people may have open: saved whole, and never over someone else's change."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from advisor.errors import AdvisorError
from advisor.files import write_whole
from advisor.yaml_marks import decode, read_document


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
        read_document(self.path)  # size, folder, encoding: the same messages as everywhere
        raw = self.path.read_bytes()
        self.text = decode(raw, str(self.path))
        self._seen = hashlib.sha256(raw).hexdigest()
        return self.text

    def save(self, text: str) -> None:
        """Replace the file in one move. Raises ChangedMeanwhile and then writes nothing."""
        if text == self.text:
            return
        with _one_at_a_time(self.path.resolve().parent):
            if self._now() != self._seen:
                raise ChangedMeanwhile(self.path)
            write_whole(self.path, text)
        self.text = text
        self._seen = hashlib.sha256(text.encode()).hexdigest()

    def _now(self) -> str:
        """The file's hash as it is now."""
        try:
            return hashlib.sha256(self.path.read_bytes()).hexdigest()
        except OSError as error:
            reason = (error.strerror or str(error)).lower()
            raise AdvisorError(
                f"{self.path}: cannot read it any more: {reason}; your last answer is not saved"
            ) from None


@contextmanager
def _one_at_a_time(folder: Path) -> Iterator[None]:
    """Keep two benches from comparing and writing at once; where locks are not to be had the
    comparison alone must do."""
    try:
        import fcntl
    except ImportError:
        yield
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        fcntl.flock(handle, fcntl.LOCK_EX)
        yield
    finally:
        os.close(handle)
