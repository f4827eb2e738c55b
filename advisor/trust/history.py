"""Released packs under history/: what a released version holds never changes again."""

from __future__ import annotations

import re
from pathlib import Path

from advisor.errors import Problem
from advisor.model.pack import PackInfo
from advisor.trust.changes import version_parts
from advisor.trust.compare import contents

FOLDER = "history"
NOT_RULES = {"lock.yaml"}
RAISE = "raise the version in pack.yaml, add a changelog line, then: advisor rules lock"


def releases(folder: str | Path) -> dict[str, Path]:
    """Kept releases by version, the oldest first."""
    found = {f.stem: f for f in (Path(folder) / FOLDER).glob("*.zip")}
    known = [v for v in found if re.fullmatch(r"\d+\.\d+\.\d+", v)]
    return {v: found[v] for v in sorted(known, key=version_parts)}


def history_problems(folder: str | Path, info: PackInfo) -> list[Problem]:
    """What speaks against this pack as it stands: content that differs from the release of the same
    version, a version below the last release, a version or a release without changelog entry."""
    kept, logged = releases(folder), {entry.version for entry in info.changelog}
    at = str(Path(folder) / "pack.yaml")
    problems = []
    if info.version not in logged:
        what = f"version {info.version} has no changelog entry"
        problems.append(Problem(at, 1, 1, "changelog", what, "", "say what changed and why"))
    for version, file in kept.items():
        if version not in logged:
            what = f"the entry of release {version} is gone"
            problems.append(Problem(at, 1, 1, "changelog", what, "", "releases keep their entry"))
        if version == info.version and _rules(file) != _rules(folder):
            what = f"the rules differ from release {version}, and the version is the same"
            problems.append(Problem(at, 1, 1, "version", what, "", RAISE))
        if version_parts(version) > version_parts(info.version):
            what = f"{info.version} is below release {version}"
            problems.append(Problem(at, 1, 1, "version", what, f"above {version}", RAISE))
    return problems


def _rules(path: str | Path) -> dict[str, bytes]:
    return {name: text for name, text in contents(path).items() if name not in NOT_RULES}
