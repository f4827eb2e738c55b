"""A file named in a case lies beside the case: a name from a stranger opens nothing else."""

from __future__ import annotations

from pathlib import Path, PureWindowsPath

ALLOWED = "a file in the folder of the case or below it"


def outside(folder: Path, name: str) -> str:
    """Why this name may not be opened from a case in this folder; empty when it may."""
    shown = f'"{name}"'
    if not name.isprintable():
        return f"{name!r} holds a character that is in no file name"
    for kind in (Path(name), PureWindowsPath(name)):  # a case may have been written elsewhere
        if kind.anchor:
            return f"{shown} is not a name beside the case"
        if ".." in kind.parts:
            return f"{shown} climbs out of the folder of the case"
    file = folder / name
    try:
        inside = file.resolve().is_relative_to(folder.resolve())
    except (OSError, RuntimeError):  # a link that leads back to itself
        return f"{shown} leads nowhere"
    if not inside:
        return f"{shown} is a link out of the folder of the case"
    if file.exists() and not (file.is_file() or file.is_dir()):
        return f"{shown} is no ordinary file"
    return ""
