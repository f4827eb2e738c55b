"""Writing: a file appears whole or not at all."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from advisor.errors import AdvisorError


def write_whole(path: str | Path, text: str) -> None:
    """Write text through a temporary file in the same folder and rename it into place."""
    target = Path(path)
    try:
        handle, name = tempfile.mkstemp(dir=target.parent or ".", prefix=f".{target.name}.")
    except OSError as error:
        raise AdvisorError(f"{path}: cannot write: {(error.strerror or '').lower()}") from None
    try:
        with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        mode = target.stat().st_mode & 0o777 if target.exists() else 0o666 & ~_umask()
        Path(name).chmod(mode)
        Path(name).replace(target)
    except OSError as error:
        Path(name).unlink(missing_ok=True)
        raise AdvisorError(f"{path}: cannot write: {(error.strerror or '').lower()}") from None
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
