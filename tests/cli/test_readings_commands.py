"""`advisor runout` and `advisor balance` from a shell: exit codes, formats, one clear message."""

from __future__ import annotations

import io
import json
import sys
from types import SimpleNamespace

import pytest

from advisor.cli.main import run
from tests.conftest import ROOT

READINGS = ROOT / "cases" / "readings"


@pytest.fixture
def advisor(monkeypatch, capsys):
    """Run the command line in this process, as `python -m advisor` does."""

    def call(*args, given=""):
        stdin = SimpleNamespace(buffer=io.BytesIO(given.encode()), isatty=lambda: False)
        monkeypatch.setattr(sys, "stdin", stdin)
        monkeypatch.setattr(sys, "argv", ["advisor", *map(str, args)])
        with pytest.raises(SystemExit) as stopped:
            run()
        out, err = capsys.readouterr()
        return SimpleNamespace(returncode=stopped.value.code or 0, stdout=out, stderr=err)

    return call


def test_runout_as_json_from_standard_input(advisor):
    text = (READINGS / "runout-tread-re-indexed.yaml").read_text()
    done = advisor("runout", "-", "--format", "json", given=text)
    assert done.returncode == 0, done.stderr
    data = json.loads(done.stdout)
    assert data["kind"] == "runout" and data["schema"] == 1
    found = {e["inspection"]: e["probability_found"] for e in data["evidence"]}
    assert found["tread-runout"] > 0.9 and found["reindex-wheel"] > 0.9
    assert data["readings"][0]["numbers"]["tir_in"] == pytest.approx(0.128)


def test_html_carries_the_pictures(advisor, tmp_path):
    target = tmp_path / "sheet.html"
    done = advisor("balance", READINGS / "balance-two-speeds.csv", "-o", target)
    assert done.returncode == 0, done.stderr
    page = target.read_text()
    assert "<svg" in page and "Two-speed test" in page and "Caution:" in page
    assert "<script" not in page


def test_the_vehicle_chooses_the_limit(advisor):
    text = "kind: runout\nof: rim\nunit: in\ncounted_from: valve\nreadings: [0, 0, 0, 0.05, 0, 0]\n"
    limits = []
    for wheel in ("steel_disc", "aluminum_disc"):
        done = advisor("runout", "-", "--wheel", wheel, "--place", "steer_left", "-f", "json",
                       given=text)  # fmt: skip
        limits.append(json.loads(done.stdout)["readings"][0]["numbers"]["limit_in"])
    # RP 214C table A (quoted): steel 0.070, aluminum 0.030 in
    assert limits == [0.070, 0.030]


@pytest.mark.parametrize(
    "args,said",
    [
        (["runout", "gone.yaml"], "gone.yaml: cannot read it"),
        (["runout", READINGS / "balance-two-speeds.csv"], "not read here"),
        (["runout", READINGS / "runout-rim.csv", "--vehicle", "tractr"], "did you mean"),
        (["runout", READINGS / "runout-rim.csv", "--place", "bow"], "--place"),
        (["balance", READINGS], "this is a folder"),
    ],
)
def test_bad_input_is_one_message_and_exit_2(advisor, args, said):
    done = advisor(*args)
    assert done.returncode == 2
    assert said in done.stderr and "Traceback" not in done.stderr
    assert done.stdout == ""


def test_nothing_is_written_when_the_input_is_bad(advisor, tmp_path):
    target = tmp_path / "out.html"
    done = advisor("runout", "-", "-o", target, given="kind: runout\nof: tread\n")
    assert done.returncode == 2 and not target.exists()
    assert "2 problems" in done.stderr
