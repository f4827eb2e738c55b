"""A checked pack kept for the next start, in the user's own cache folder.

Reading and checking a hundred files takes longer than all the rest of a ranking. What was read is
kept under the hash of the files' content, so any change of a rule reads them anew. Nothing depends
on it: without a cache folder, or with ADVISOR_CACHE=off, the files are read every time.
"""

from __future__ import annotations

import hashlib
import os
import pickle
import sys
import tempfile
from contextlib import suppress
from pathlib import Path

from advisor.model.pack import Pack
from advisor.rulebook.load import content_hash, default_rules_folder, load_folder

MOST_KEPT = 4


def load_pack(folder: str | Path | None = None) -> Pack:
    """The pack of a folder, from the cache where its content is known. Raises InputProblems."""
    root = Path(folder) if folder is not None else default_rules_folder()
    place = _place(root)
    if place is None:
        return load_folder(folder).pack
    kept = _kept(place)
    if kept is None:
        kept = load_folder(folder).pack
        _keep(place, kept)
    return kept


def _place(root: Path) -> Path | None:
    """Where this content would be kept; None when nothing is to be kept."""
    if os.environ.get("ADVISOR_CACHE", "").lower() == "off" or not (root / "pack.yaml").is_file():
        return None
    base = os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache"
    if sys.platform == "win32":
        base = os.environ.get("LOCALAPPDATA", base)
    parts = (content_hash(root), sys.version, _code_stamp())
    name = hashlib.sha256("|".join(parts).encode()).hexdigest()[:24]
    return Path(base) / "vibration-advisor" / f"{name}.pack"


def _code_stamp() -> str:
    """Changes with the classes a kept pack is made of."""
    model = Path(__file__).resolve().parent.parent / "model"
    return "|".join(f"{f.name}{f.stat().st_mtime_ns}" for f in sorted(model.glob("*.py")))


def _kept(place: Path) -> Pack | None:
    """A kept pack, or None; a file of somebody else's is never read."""
    unreadable = (OSError, pickle.UnpicklingError, EOFError, AttributeError, ImportError)
    with suppress(*unreadable), place.open("rb") as file:
        owner = os.fstat(file.fileno()).st_uid
        if not hasattr(os, "getuid") or owner == os.getuid():
            pack = pickle.load(file)
            return pack if isinstance(pack, Pack) else None
    return None


def _keep(place: Path, pack: Pack) -> None:
    """Keep a pack for next time; a cache that cannot be written is no problem."""
    with suppress(OSError):
        place.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(dir=place.parent)
        with os.fdopen(handle, "wb") as file:
            pickle.dump(pack, file, protocol=pickle.HIGHEST_PROTOCOL)
        Path(name).replace(place)
        kept = sorted(place.parent.glob("*.pack"), key=lambda f: f.stat().st_mtime, reverse=True)
        for old in kept[MOST_KEPT:]:
            old.unlink(missing_ok=True)
