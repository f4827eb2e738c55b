"""The command line: exit codes, formats, clear messages, and the same output every time."""

from __future__ import annotations

import io
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from advisor.cli.main import run
from advisor.rulebook.load import load_folder
from tests.conftest import ROOT

HOP = "case: t-1\nvehicle: {type: linehaul_tractor, tire: 295/75R22.5, axle_ratio: 3.36}\n" + (
    "symptoms: {sensation: [hop], felt_at: [seat], speed: {low_mph: 58, high_mph: 64}}\n"
)
STOP = "case: t-2\nvehicle: {type: coach}\nsymptoms: {danger.loose_or_missing_nuts: drive_left}\n"
BAD = "case: t-3\nvehicle: {type: coach, tyre: 1}\nsymptoms: {sensation: hopp}\n"


@pytest.fixture
def advisor(monkeypatch, capsys, loaded):
    """Run a command in this process -> (exit code, output, messages). The shipped rules are read
    once for all; processes of their own (see `shell`) read them as a user's do."""
    monkeypatch.setattr(
        "advisor.rulebook.load.load_folder",
        lambda folder=None: loaded if folder is None else load_folder(folder),
    )

    def call(*args: str, stdin: str | None = None) -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "argv", ["advisor", *args])
        if stdin is not None:
            piped = io.TextIOWrapper(io.BytesIO(stdin.encode()), encoding="utf-8")
            monkeypatch.setattr(sys, "stdin", piped)
        code: object = 0
        try:
            run()
        except SystemExit as stop:
            code = stop.code or 0
        out, err = capsys.readouterr()
        return int(str(code)), out, err

    return call


def shell(*args: str, stdin: str = "", cwd: Path | None = None, **env: str):
    """Run a command as a user does, in a process of its own."""
    return subprocess.run(
        [sys.executable, "-m", "advisor", *args],
        input=stdin.encode(),
        capture_output=True,
        cwd=cwd or ROOT,
        env={**os.environ, **env},
        timeout=60,
    )


@pytest.fixture
def file(tmp_path):
    def write(text: str, name: str = "c.yaml") -> str:
        path = tmp_path / name
        path.write_text(text, encoding="utf-8")
        return str(path)

    return write


# Exit codes and messages


def test_done_is_0(advisor, file):
    code, out, err = advisor("rank", file(HOP))
    assert (code, err) == (0, "")
    assert "off center" in out or "off-center" in out or "%" in out or "in 10" in out


def test_bad_input_is_2_with_every_problem(advisor, file):
    path = file(BAD)
    code, out, err = advisor("rank", path)
    assert (code, out) == (2, "")
    lines = err.splitlines()
    assert lines[0].startswith(f'{path}:2:24: vehicle.tyre: unknown key "tyre"')
    assert lines[1].startswith(f'{path}:3:12: symptoms.sensation: "hopp"')
    assert lines[2] == "2 problems"


@pytest.mark.parametrize("kind", ["text", "json", "markdown", "html"])
def test_a_stop_finding_is_3_in_every_format(advisor, file, kind):
    code, out, _ = advisor("rank", file(STOP), "--format", kind)
    assert code == 3
    assert "Wheel nuts are loose or missing" in out.replace("\n", " ").replace("  ", " ")


def test_standard_input(advisor, file):
    code, piped, _ = advisor("rank", "-", "--format", "json", stdin=HOP)
    assert code == 0
    _, read, _ = advisor("rank", file(HOP), "--format", "json")
    assert json.loads(piped) == json.loads(read)
    code, _, err = advisor("rank", "-", stdin=BAD)
    assert code == 2
    assert err.startswith("-:2:24: ")


BAD_FILES = {
    "empty": (b"", "the file is empty"),
    "not UTF-8": (b"case: t\ntitle: caf\xe9\n", ":2:11: byte 0xe9 is not UTF-8"),
    "alias bomb": (
        b"a: &a [x, x]\n" + b"".join(b"%c: &%c [*%c, *%c]\n" % (c + 1, c + 1, c, c)
                                     for c in range(97, 120)),
        "alias",
    ),
    "nesting": (b"case: " + b'["]",' * 900 + b"]" * 900, "nested deeper"),
    "tabs": (b"case: t\nvehicle:\n\ttype: coach\n", "use spaces, not tabs"),
    "list": (b"- a\n", "a case is a mapping"),
}  # fmt: skip


@pytest.mark.parametrize("name", BAD_FILES)
def test_no_bad_file_brings_a_traceback(advisor, tmp_path, name):
    raw, expected = BAD_FILES[name]
    path = tmp_path / "c.yaml"
    path.write_bytes(raw)
    code, out, err = advisor("rank", str(path))
    assert (code, out) == (2, "")
    assert expected in err
    assert "Traceback" not in err


def test_no_traceback_reaches_a_user_in_a_process_of_its_own(tmp_path):
    large = tmp_path / "large.yaml"
    with large.open("wb") as handle:
        handle.truncate(50_000_000)
    for args, expected in [
        (["rank", str(large)], b"too large (50.0 MB)"),
        (["rank", "cases/k11-hop-at-25.yaml", "--rules", str(tmp_path)], b"no pack.yaml here"),
    ]:
        done = shell(*args)
        assert done.returncode == 2, done
        assert expected in done.stderr
        assert b"Traceback" not in done.stderr
        assert done.stdout == b""


WRONG_WORDS = [
    (("rank", "no-such-case.yaml"), "cannot read it: no such file"),
    (("why", "cases/k11-hop-at-25.yaml", "imbalanc"), 'did you mean "imbalance"?'),
    (("why", "cases/x230-trailer-cups.yaml", "engine_or_mounts"), "cannot have this cause"),
    (("orders", "--tire", "295/75R225"), 'did you mean "295/75R22.5"?'),
    (("orders", "--speed", "900"), "is outside what is possible"),
    (("orders", "--speed", "65-55"), "exchange them?"),
    (("orders", "--speed", "fast"), "is not a speed; allowed: 62, 55-65, 90 km/h"),
    (("orders", "--axle-ratio", "0.1"), "--axle-ratio: 0.1 is outside"),
    (("orders", "--vehicle", "linehaul"), 'did you mean "linehaul_tractor"?'),
    (("rules", "schema", "cause"), 'did you mean "causes"?'),
    (("rank", "cases/k11-hop-at-25.yaml", "-o", "nowhere/at/all.json"), "cannot write"),
    (("rank", "cases/k11-hop-at-25.yaml", "--format", "pdf"), "pdf"),
    (("rnak",), "rnak"),
]


@pytest.mark.parametrize(
    ("args", "expected"), WRONG_WORDS, ids=[" ".join(a) for a, _ in WRONG_WORDS]
)
def test_wrong_words_get_one_clear_message(advisor, monkeypatch, args, expected):
    monkeypatch.chdir(ROOT)
    code, _, err = advisor(*args)
    assert code == 2
    assert expected in err
    assert "Traceback" not in err


# Output


def test_output_goes_to_a_file_whole_and_its_ending_chooses_the_format(advisor, file, tmp_path):
    path = file(HOP)
    for name, start in [
        ("d.json", "{"),
        ("d.md", "#"),
        ("d.html", "<!DOCTYPE html>"),
        ("d.txt", ""),
    ]:
        target = tmp_path / name
        code, out, _ = advisor("rank", path, "-o", str(target))
        assert (code, out) == (0, "")
        assert target.read_text(encoding="utf-8").lower().startswith(start.lower())
    assert not [p for p in tmp_path.iterdir() if p.name.startswith(".")]  # no leftovers


def test_a_file_that_cannot_be_written_keeps_its_old_content(advisor, file, tmp_path, monkeypatch):
    path, target = file(HOP), tmp_path / "d.json"
    target.write_text("old", encoding="utf-8")

    def refuse(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", refuse)
    code, _, err = advisor("rank", path, "-o", str(target))
    assert code == 2
    assert "cannot write: no space left on device" in err
    assert target.read_text(encoding="utf-8") == "old"
    assert sorted(p.name for p in tmp_path.iterdir()) == ["c.yaml", "d.json"]


CONTRACT = {
    "": {"schema", "case", "pack", "safety", "causes", "families", "inspections", "questions",
         "orders", "unknown"},
    "pack": {"version", "sha256"},
    "safety": {"level", "findings"},
    "causes": {"id", "family", "probability", "places", "for", "against"},
    "families": {"id", "probability"},
    "inspections": {"id", "place", "access", "minutes", "opens", "limit", "tells", "cautions"},
    "questions": {"symptom", "ask", "bits"},
    "orders": {"of", "order", "hz_low", "hz_high"},
}  # fmt: skip


def test_the_json_keeps_its_contract(advisor, file):
    _, out, _ = advisor("rank", file(HOP), "--format", "json")
    told = json.loads(out)
    assert told["schema"] == 1
    for name, keys in CONTRACT.items():
        part = told[name] if name else told
        part = part[0] if isinstance(part, list) else part
        assert keys <= set(part), name
    assert told["safety"]["level"] in ("stop", "soon", "none")
    cause = next(c for c in told["causes"] if c["for"] and c["places"])
    assert {"symptom", "decibans", "rule", "source"} <= set(cause["for"][0])
    assert {"place", "probability"} <= set(cause["places"][0])


def test_the_json_is_sorted_by_probability_and_sane(advisor, file):
    _, out, _ = advisor("rank", file(HOP), "--format", "json")
    told = json.loads(out)
    for part in ("causes", "families"):
        found = [entry["probability"] for entry in told[part]]
        assert found == sorted(found, reverse=True)
        assert all(0 <= p <= 1 for p in found)
    bits = [q["bits"] for q in told["questions"]]
    assert bits == sorted(bits, reverse=True)
    for cause in told["causes"]:
        assert all(s["decibans"] > 0 for s in cause["for"])
        assert all(s["decibans"] < 0 for s in cause["against"])
        assert all(share["probability"] <= cause["probability"] + 1e-6 for share in cause["places"])
    assert len(told["causes"]) >= 25


def test_every_report_names_pack_version_and_hash(advisor, file, pack):
    path = file(HOP)
    for kind in ("text", "json", "markdown", "html"):
        _, out, _ = advisor("rank", path, "--format", kind)
        assert pack.info.version in out
        assert pack.sha256[:8] in out, kind


def test_why(advisor, file):
    code, out, _ = advisor("why", file(HOP), "imbalance")
    assert code == 0
    assert "imbalance" in out.lower()
    code, out, _ = advisor("why", file(HOP), "imbalance", "--format", "json")
    assert code == 0
    assert json.loads(out)


def test_orders(advisor):
    """295/75R22.5 at 65 mph: wheel order 1 at 9.24 Hz (own computation, 512 turns a mile)."""
    code, out, _ = advisor(
        "orders", "--tire", "295/75R22.5", "--speed", "65", "--axle-ratio", "3.36"
    )
    assert code == 0
    assert "9.2" in out
    assert "31.1" in out


@pytest.mark.parametrize("kind", ["json", "markdown", "html"])
def test_orders_in_other_formats(advisor, kind):
    code, out, _ = advisor("orders", "--speed", "55-65", "--format", kind)
    assert code == 0
    assert len(out) > 100


def test_rules_schema_is_json(advisor):
    code, out, _ = advisor("rules", "schema", "case")
    assert code == 0
    assert json.loads(out)["additionalProperties"] is False


@pytest.mark.parametrize("name", ["imbalance", "sensation.hop", "tread-runout", "rp-214c"])
def test_rules_show(advisor, name):
    code, out, _ = advisor("rules", "show", name)
    assert code == 0
    assert len(out) > 100
    code, _, err = advisor("rules", "show", name + "x")
    assert code == 2
    assert "did you mean" in err


def test_version_and_help(advisor):
    assert advisor("--version")[1].startswith("advisor ")
    code, out, _ = advisor("--help")
    assert code == 0
    for command in ("rank", "why", "orders", "rules"):
        assert command in out


# As a user runs it


def test_help_loads_neither_scipy_nor_matplotlib():
    code = (
        "import sys, runpy\nsys.argv = ['advisor', '--help']\n"
        "try: runpy.run_module('advisor', run_name='__main__')\nexcept SystemExit: pass\n"
        "slow = sorted({m.split('.')[0] for m in sys.modules} & {'scipy', 'matplotlib', 'numpy'})\n"
        "sys.stderr.write('loaded: ' + ' '.join(slow))\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, cwd=ROOT, timeout=60)
    assert b"rank" in done.stdout
    assert b"scipy" not in done.stderr
    assert b"matplotlib" not in done.stderr


def test_rank_loads_neither_scipy_nor_matplotlib():
    code = (
        "import sys, runpy\nsys.argv = ['advisor', 'rank', 'cases/k11-hop-at-25.yaml']\n"
        "try: runpy.run_module('advisor', run_name='__main__')\nexcept SystemExit: pass\n"
        "slow = sorted({m.split('.')[0] for m in sys.modules} & {'scipy', 'matplotlib'})\n"
        "sys.stderr.write('loaded: ' + ' '.join(slow))\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, cwd=ROOT, timeout=60)
    assert done.stderr == b"loaded: "


def test_it_works_from_another_folder_and_repeats_byte_for_byte(tmp_path):
    """Data and bench sheet, with the hash seed of the process changed."""
    (tmp_path / "c.yaml").write_text(HOP, encoding="utf-8")
    for ending in ("json", "html"):
        for seed in ("1", "2"):
            target = f"{seed}.{ending}"
            done = shell("rank", "c.yaml", "-o", target, cwd=tmp_path, PYTHONHASHSEED=seed)
            assert (done.returncode, done.stderr) == (0, b"")
        one, two = ((tmp_path / f"{seed}.{ending}").read_bytes() for seed in ("1", "2"))
        assert one == two
        assert len(one) > 1000


def test_a_reader_that_goes_away_brings_no_traceback():
    done = subprocess.run(
        f"{sys.executable} -m advisor rank cases/k11-hop-at-25.yaml --format json | head -c 100",
        shell=True,
        capture_output=True,
        cwd=ROOT,
        timeout=60,
    )
    assert len(done.stdout) == 100
    assert b"Traceback" not in done.stderr
    assert b"BrokenPipe" not in done.stderr
