"""What a change of the rule pack does: to the rules, and to the ranking of every closed case."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from advisor.errors import AdvisorError
from advisor.model.case import Case
from advisor.model.pack import Pack
from advisor.pipeline import assess, weights_of
from advisor.trust.changes import STEPS, EntryChange, entry_changes, step_needed, step_taken
from advisor.trust.outcomes import Outcome, outcome
from advisor.trust.score import Figures, figures

TOP = 3
LEAST_DECIBANS = 0.5


@dataclass(frozen=True)
class CaseChange:
    """A case whose first three causes moved: before, after, and which findings did it."""

    case: str
    found: tuple[str, ...]
    before: tuple[str, ...]
    after: tuple[str, ...]
    why: tuple[str, ...]


@dataclass(frozen=True)
class Comparison:
    """needs: the least version step the change asks for; step: the one that was taken; logged: the
    new version has a changelog entry and differs from the old one when anything changed; unread:
    cases the old pack cannot read, which were not compared."""

    old: str
    new: str
    entries: tuple[EntryChange, ...]
    cases: tuple[CaseChange, ...]
    before: Figures | None
    after: Figures | None
    needs: str
    step: str
    logged: bool
    unread: tuple[str, ...] = ()

    @property
    def in_order(self) -> bool:
        """Whether the change may be released: it is logged and the version rose far enough."""
        return self.logged and STEPS.index(self.step) >= STEPS.index(self.needs)


@contextmanager
def pack_folder(path: str | Path) -> Iterator[Path]:
    """A rules folder, or the inside of a released .zip of one."""
    source = Path(path)
    if source.suffix != ".zip":
        yield source
        return
    with TemporaryDirectory() as scratch:
        try:
            with zipfile.ZipFile(source) as archive:
                _refuse_climbing(archive, source)
                archive.extractall(scratch)
        except (OSError, zipfile.BadZipFile) as error:
            raise AdvisorError(f"{path}: cannot read this pack: {error}") from None
        yield Path(scratch)


def _refuse_climbing(archive: zipfile.ZipFile, source: Path) -> None:
    total = sum(item.file_size for item in archive.infolist())
    if total > 50_000_000:
        raise AdvisorError(f"{source}: holds {total / 1e6:.0f} MB, more than any rule pack")
    for name in archive.namelist():
        if name.startswith("/") or ".." in Path(name).parts:
            raise AdvisorError(f'{source}: the name "{name}" climbs out of the pack')


def contents(path: str | Path) -> dict[str, bytes]:
    """The files of a pack, by name, line ends made alike: of a folder or of a released .zip."""
    with pack_folder(path) as root:
        return {
            file.relative_to(root).as_posix(): file.read_bytes().replace(b"\r\n", b"\n")
            for file in sorted(root.rglob("*.yaml"))
            if "history" not in file.relative_to(root).parts
        }


def released(folder: str | Path) -> bytes:
    """A pack as a .zip, the same bytes for the same content."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in contents(folder).items():
            info = zipfile.ZipInfo(name, (1980, 1, 1, 0, 0, 0))
            info.compress_type = zipfile.ZIP_DEFLATED
            archive.writestr(info, content)
    return out.getvalue()


def compare(
    old: Pack, new: Pack, cases: Sequence[tuple[Case, Case]], unread: Sequence[str] = ()
) -> Comparison:
    """cases: each closed case as read with the old and with the new pack."""
    entries = tuple(entry_changes(old, new))
    moved: list[CaseChange] = []
    was: list[Outcome] = []
    now: list[Outcome] = []
    for old_case, new_case in cases:
        a, b = outcome(old_case, old), outcome(new_case, new)
        was.append(a)
        now.append(b)
        if a.ranking[:TOP] != b.ranking[:TOP]:
            moved.append(_case_change(old_case, new_case, old, new, a, b))
    logged = new.info.version in {e.version for e in new.info.changelog} and (
        not entries or new.info.version != old.info.version
    )
    return Comparison(
        old.info.version,
        new.info.version,
        entries,
        tuple(moved),
        figures(was) if was else None,
        figures(now) if now else None,
        step_needed(entries, _first_moved(was, now)),
        step_taken(old.info.version, new.info.version),
        logged,
        tuple(unread),
    )


def _first_moved(was: Sequence[Outcome], now: Sequence[Outcome]) -> bool:
    return any(a.ranking[0] != b.ranking[0] for a, b in zip(was, now, strict=True))


def _case_change(
    old_case: Case, new_case: Case, old: Pack, new: Pack, a: Outcome, b: Outcome
) -> CaseChange:
    """Which findings weigh differently for the cause that rose most."""
    risen = max(b.probability, key=lambda c: b.probability[c] - a.probability.get(c, 0.0))
    before, after = (
        {w.finding.key: w for w in weights_of(assess(case, pack))}
        for case, pack in ((old_case, old), (new_case, new))
    )
    why = []
    for key in dict.fromkeys([*before, *after]):
        weights = [
            held[key].decibans.get(risen, 0.0) if key in held else 0.0 for held in (before, after)
        ]
        change = weights[1] - weights[0]
        if abs(change) >= LEAST_DECIBANS:
            says = (after.get(key) or before[key]).finding.says
            gone = "" if key in after else " (no longer read)"
            why.append((abs(change), f"{risen}: {says}{gone} {change:+.1f} decibans"))
    why.sort(reverse=True)
    texts = tuple(text for _, text in why[:TOP]) or (f"{risen}: its prior or its rivals changed",)
    return CaseChange(a.case, a.found, a.ranking[:TOP], b.ranking[:TOP], texts)
