"""Files: read through few calls, written so that they appear whole or not at all.

Every call gives way to other threads, so that few calls are quicker than handy ones where many
threads work.
"""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from advisor.errors import AdvisorError

CHUNK = 1 << 16


def read_all(handle: int, most: int) -> bytes:
    """What is left of an open file, at most so many bytes: a device says it is empty and may never
    end."""
    size = os.fstat(handle).st_size
    parts = [os.read(handle, min(size + 1, most))]
    left = most - len(parts[0])
    if len(parts[0]) == size:
        return parts[0]
    while left > 0 and (chunk := os.read(handle, min(left, CHUNK))):
        parts.append(chunk)
        left -= len(chunk)
    return b"".join(parts)


def write_whole(path: str | Path, content: str | bytes) -> None:
    """Write text or bytes through a temporary file in the same folder and rename it into place."""
    target = Path(path)
    data = content if isinstance(content, bytes) else content.encode()
    try:
        handle, name = tempfile.mkstemp(dir=target.parent or ".", prefix=f".{target.name}.")
    except OSError as error:
        raise AdvisorError(f"{path}: cannot write: {(error.strerror or '').lower()}") from None
    try:
        try:
            _write_all(handle, data)
            os.fsync(handle)
        finally:
            os.close(handle)
        Path(name).chmod(_mode(target))
        Path(name).replace(target)
    except OSError as error:
        Path(name).unlink(missing_ok=True)
        raise AdvisorError(f"{path}: cannot write: {(error.strerror or '').lower()}") from None
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise


def _write_all(handle: int, data: bytes) -> None:
    left = memoryview(data)
    while left:
        left = left[os.write(handle, left) :]


def _mode(target: Path) -> int:
    """As it is, or as a new file gets it."""
    try:
        return target.stat().st_mode & 0o777
    except FileNotFoundError:
        return 0o666 & ~_umask()


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
