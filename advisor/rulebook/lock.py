"""rules/lock.yaml ties the pack version to its content, so that neither moves alone."""

from __future__ import annotations

from pathlib import Path

from advisor.errors import Problem
from advisor.rulebook.load import Loaded, content_hash, default_rules_folder, shown_path
from advisor.yaml_marks import read_document

NAME = "lock.yaml"


def check_lock(loaded: Loaded, folder: str | Path | None = None) -> list[Problem]:
    """Problems when content and version disagree with the lock, or there is none."""
    root = Path(folder) if folder is not None else default_rules_folder()
    file = shown_path(root / NAME)
    if not file.is_file():
        hint = "write it with: advisor rules lock"
        return [Problem(str(file), 0, 0, "", "there is no lock", "", hint)]
    locked = read_document(file).data
    locked = locked if isinstance(locked, dict) else {}
    version, sha256 = str(locked.get("version", "")), str(locked.get("sha256", ""))
    if sha256 == loaded.pack.sha256 and version == loaded.pack.info.version:
        return []
    if version == loaded.pack.info.version:
        what = f"rules changed, but the version is still {version}"
        hint = "raise the version in pack.yaml, add a changelog line, then: advisor rules lock"
    else:
        what = f"the lock is of version {version}, the pack is {loaded.pack.info.version}"
        hint = "check the changelog, then: advisor rules lock"
    return [Problem(str(file), 1, 1, "sha256", what, "", hint)]


def lock_text(folder: str | Path | None = None, version: str = "") -> str:
    """The lock for the content as it is now."""
    root = Path(folder) if folder is not None else default_rules_folder()
    head = "# Written by `advisor rules lock`; do not edit.\n"
    return f"{head}version: {version}\nsha256: {content_hash(root)}\n"
