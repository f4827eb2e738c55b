"""A released pack never changes again, and a change of rules says so in version and changelog."""

from __future__ import annotations

import shutil
import sys
import zipfile
from pathlib import Path

import pytest

from advisor.cli.main import run
from advisor.model.pack import PackInfo
from advisor.trust.changes import STEPS, TABLES, step_needed, step_taken
from advisor.trust.compare import compare, contents, released
from advisor.trust.history import history_problems, releases

ROOT = Path(__file__).resolve().parents[2]
OLD, NEW = "often: [imbalance]", "sometimes: [imbalance]"


def info(pack, version: str, *logged: str) -> PackInfo:
    entry = pack.info.changelog[0]
    log = [entry.model_copy(update={"version": v}) for v in logged]
    return pack.info.model_copy(update={"version": version, "changelog": log})


@pytest.fixture
def folder(tmp_path) -> Path:
    """A folder of rules (two files are enough here) with one release of it."""
    (tmp_path / "evidence").mkdir()
    (tmp_path / "evidence" / "seen.yaml").write_text(f"- shows: {{{OLD}}}\n")
    (tmp_path / "lock.yaml").write_text("sha256: 1\n")
    (tmp_path / "history").mkdir()
    (tmp_path / "history" / "1.9.0.zip").write_bytes(released(tmp_path))
    return tmp_path


def said(folder: Path, told: PackInfo) -> list[str]:
    return [p.what for p in history_problems(folder, told)]


def test_the_pack_as_it_stands_may_be_released(pack):
    assert history_problems(ROOT / "rules", pack.info) == []


def test_a_release_may_not_change_under_its_version(folder, pack):
    same = info(pack, "1.9.0", "1.9.0")
    assert said(folder, same) == []
    (folder / "lock.yaml").write_text("sha256: 2\n")  # written anew by every lock
    assert said(folder, same) == []
    (folder / "evidence" / "seen.yaml").write_text(f"- shows: {{{NEW}}}\n")
    assert said(folder, same) == [
        "the rules differ from release 1.9.0, and the version is the same"
    ]
    assert said(folder, info(pack, "1.10.0", "1.9.0", "1.10.0")) == []


def test_line_ends_are_no_change(folder, pack):
    file = folder / "evidence" / "seen.yaml"
    file.write_bytes(file.read_bytes().replace(b"\n", b"\r\n"))
    assert said(folder, info(pack, "1.9.0", "1.9.0")) == []


def test_a_file_more_or_less_is_a_change(folder, pack):
    (folder / "evidence" / "more.yaml").write_text("- x\n")
    assert said(folder, info(pack, "1.9.0", "1.9.0"))
    (folder / "evidence" / "more.yaml").unlink()
    (folder / "evidence" / "seen.yaml").unlink()
    assert said(folder, info(pack, "1.9.0", "1.9.0"))


def test_every_version_keeps_its_changelog_entry(folder, pack):
    assert said(folder, info(pack, "1.10.0", "1.9.0")) == ["version 1.10.0 has no changelog entry"]
    assert said(folder, info(pack, "1.10.0", "1.10.0")) == ["the entry of release 1.9.0 is gone"]


def test_a_version_may_not_fall_behind(folder, pack):
    assert said(folder, info(pack, "1.8.0", "1.8.0", "1.9.0")) == ["1.8.0 is below release 1.9.0"]
    (folder / "history" / "1.10.0.zip").write_bytes(released(folder))
    (folder / "history" / "notes.zip").write_bytes(b"")
    assert list(releases(folder)) == ["1.9.0", "1.10.0"]  # by number, not by letter


def test_a_release_holds_the_rules_and_not_the_releases(folder):
    kept = contents(folder / "history" / "1.9.0.zip")
    assert kept == contents(folder)
    assert sorted(kept) == ["evidence/seen.yaml", "lock.yaml"]


@pytest.mark.parametrize(
    ("old", "new", "step"),
    [("1.2.3", "1.2.3", "none"), ("1.2.3", "1.2.4", "patch"), ("1.9.3", "1.10.0", "minor"),
     ("1.2.3", "2.0.0", "major"), ("2.0.0", "1.9.9", "none")],
)  # fmt: skip
def test_which_number_rose(old, new, step):
    assert step_taken(old, new) == step


def test_every_kind_of_entry_is_compared(pack):
    """A change of any table is seen and asks for a step: no safety rule changes unnoticed."""
    for table in TABLES:
        held = getattr(pack, table)
        short = held[1:] if isinstance(held, tuple) else dict(list(held.items())[1:])
        less = pack.model_copy(update={table: short})
        for a, b, kind in ((pack, less, "removed"), (less, pack, "added")):
            found = compare(a, b, [])
            assert [(e.table, e.kind) for e in found.entries] == [(table, kind)]
            assert not found.in_order and STEPS.index(found.needs) >= STEPS.index("patch")
    elsewhere = {"info", "sha256", "overlay", "wording", "worth", "report_items", "columns"}
    assert set(TABLES) | elsewhere == set(type(pack).model_fields)


@pytest.mark.parametrize(
    "change",
    [{"restatement_bound": 0.4}, {"complaint_leak": 0.02}, {"scale_note": "other"}],
)
def test_the_packs_own_figures_are_compared(pack, change):
    other = pack.model_copy(update={"info": pack.info.model_copy(update=change)})
    (entry,) = compare(pack, other, []).entries
    assert (entry.table, len(entry.fields)) == ("pack", 1) and next(iter(change)) in entry.fields[0]


def test_other_words_are_a_change_too(pack):
    (entry,) = compare(pack, pack.model_copy(update={"columns": ()}), []).entries
    assert (entry.table, entry.kind) == ("pack", "changed")


def test_a_step_too_small_is_not_in_order(pack):
    """A new cause under a patch: logged, and still not enough."""
    told = info(pack, "1.0.1", "1.0.0", "1.0.1")
    first = info(pack, "1.0.0", "1.0.0")
    fewer = {"info": first, "causes": dict(list(pack.causes.items())[1:])}
    found = compare(pack.model_copy(update=fewer), pack.model_copy(update={"info": told}), [])
    assert (found.logged, found.needs, found.step, found.in_order) == (
        True,
        "minor",
        "patch",
        False,
    )
    assert step_needed([], first_moved=True) == "minor"


@pytest.fixture
def advisor(monkeypatch, capsys):
    """Run a command in this process -> (exit code, output, messages)."""

    def call(*args: object) -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "argv", ["advisor", *map(str, args)])
        with pytest.raises(SystemExit) as left:
            run()
        out, err = capsys.readouterr()
        return int(left.value.code or 0), out, err

    return call


def test_one_changed_word_from_release_to_release(advisor, tmp_path, pack):
    """The way a maintainer goes: release, change a word, be stopped, log it, be let through."""
    rules, cases = tmp_path / "rules", tmp_path / "cases"
    shutil.copytree(ROOT / "rules", rules, ignore=shutil.ignore_patterns("history"))
    cases.mkdir()
    shutil.copy(ROOT / "cases" / "t63-fresh-paint.yaml", cases)
    version = pack.info.version
    assert advisor("rules", "lock", "--rules", rules)[0] == 0
    assert advisor("rules", "release", "--rules", rules)[0] == 0
    kept = rules / "history" / f"{version}.zip"
    assert zipfile.ZipFile(kept).testzip() is None
    file = rules / "evidence" / "changes_and_triggers.yaml"
    text = file.read_text()
    word = "    often: [shock_or_suspension_wear]\n    never: [imbalance"
    assert text.count(word) == 1
    file.write_text(text.replace(word, word.replace("often", "seldom")))
    code, out, _ = advisor("rules", "compare", kept, rules, cases, "--check")
    assert code == 2 and "no changelog entry of its own" in out and "shows" in out
    assert advisor("rules", "release", "--rules", rules)[0] == 2
    info_file = rules / "pack.yaml"
    major, minor, _ = map(int, version.split("."))
    above = f"{major}.{minor + 1}.0"
    raised = info_file.read_text().replace(f"version: {version}\n", f"version: {above}\n", 1)
    line = f'  - {{version: {above}, date: "2031-04-12", changes: [a word, on trial]}}\n'
    info_file.write_text(raised.replace("changelog:\n", f"changelog:\n{line}", 1))
    assert advisor("rules", "lock", "--rules", rules)[0] == 0
    code, out, _ = advisor("rules", "compare", kept, rules, cases, "--check")
    assert (code, "1 entries differ" in out) == (0, True)
