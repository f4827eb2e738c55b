"""`advisor score`, `learn` and `rules compare` as a user runs them."""

from __future__ import annotations

import json
import re
import shutil
import sys
from pathlib import Path

import pytest
import yaml

from advisor.cli.main import run
from advisor.report.trust import render_score
from advisor.rulebook.overlay import apply_overlay
from advisor.trust.outcomes import Outcome
from advisor.trust.score import confusion, score

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def advisor(monkeypatch, capsys, pack):
    """Run a command in this process with the shipped rules -> (exit code, output, messages)."""
    monkeypatch.setattr("advisor.rulebook.cache.load_pack", lambda folder=None: pack)

    def call(*args: object) -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "argv", ["advisor", *map(str, args)])
        code: object = 0
        try:
            run()
        except SystemExit as stop:
            code = stop.code or 0
        out, err = capsys.readouterr()
        return int(str(code)), out, err

    return call


@pytest.fixture(scope="module")
def few(tmp_path_factory) -> Path:
    """Three worked cases."""
    folder = tmp_path_factory.mktemp("few")
    for name in ("t60-bead-line", "x112-trailer-hub-smell", "k11-hop-at-25"):
        shutil.copy(ROOT / "cases" / f"{name}.yaml", folder)
    return folder


@pytest.fixture(scope="module")
def scored(pack, cases):
    return score(cases[:12], pack, leave_out=False)


def test_score_as_json_holds_every_figure_once(scored, pack):
    told = json.loads(render_score(scored, pack, "json"))
    assert told["all"]["cases"] == 12 == len(told["cases"])
    assert sum(c["cases"] for c in told["confusion"]) == 12
    assert sum(f["cases"] for f in told["by_vehicle"].values()) == 12
    first = sum(case["rank"] == 1 for case in told["cases"]) / 12
    assert told["all"]["first"] == pytest.approx(first)
    assert told["intervals_90"]["first"]["low"] <= first <= told["intervals_90"]["first"]["high"]
    assert sum(b["count"] for b in told["reliability"]) >= 12 * 20  # every cause of every case


def test_score_as_a_page_has_the_diagram_and_the_table(scored, pack):
    page = render_score(scored, pack, "html")
    assert page.count("<svg") == 1 and "as often as said" in page and "<script" not in page
    table = page[page.index("Families confused") :]
    rows = [re.findall(r"<td>(.*?)</td>", row) for row in re.findall(r"<tr>.*?</tr>", table)]
    rows = [row for row in rows if len(row) > 2 and re.match(r"\d+ ", row[0])]
    assert len({len(row) for row in rows}) == 1 and len(rows) == len(rows[0]) - 1  # square
    assert sum(int(cell) for row in rows for cell in row[1:] if cell) == 12


def test_confusion_counts_the_right_cell(pack):
    """Two found, the second named first: counted as that family, not as a mistake."""

    def said(first: str, *found: str) -> Outcome:
        ranking = (first, *(c for c in pack.causes if c != first))
        return Outcome("c", "coach", dict.fromkeys(ranking, 0.1), ranking, found, 1, 1)

    family = {c: pack.causes[c].family for c in ("imbalance", "bent_wheel", "universal_joint")}
    results = [
        said("imbalance", "bent_wheel"),
        said("bent_wheel", "universal_joint", "bent_wheel"),
        said("imbalance", "bent_wheel"),
    ]
    assert confusion(results, pack) == {
        (family["bent_wheel"], family["imbalance"]): 2,
        (family["bent_wheel"], family["bent_wheel"]): 1,
    }


def test_score_without_kinds_of_evidence(advisor, few, tmp_path):
    """Full and --quick agree on the whole; only the full one leaves evidence out."""
    out = tmp_path / "score.json"
    assert advisor("score", few, "-o", out) == (0, "", "")
    full = json.loads(out.read_text())
    quick = json.loads(advisor("score", few, "--quick", "-f", "json")[1])
    assert full["all"] == quick["all"] and not quick["without"]
    assert {"wear", "readings"} <= {word for kind in full["without"] for word in kind.split()}
    assert all(figures["cases"] == 3 for figures in full["without"].values())


def test_nothing_to_score_is_said(advisor, tmp_path):
    code, out, err = advisor("score", tmp_path)
    assert (code, out) == (2, "") and "no closed case" in err
    (tmp_path / "bad.yaml").write_text("case: x\nvehicle: {type: coch}\n")
    code, _, err = advisor("score", tmp_path)
    assert code == 2 and 'did you mean "coach"' in err


def test_learned_overlay_goes_the_round(advisor, few, tmp_path, pack):
    """Shown, written, read back: the overlay holds the priors that were shown, and ranks."""
    file = tmp_path / "shop.yaml"
    code, out, _ = advisor("learn", few, "-o", file, "-f", "json")
    assert code == 0 and f"--overlay {file}" in out
    shown = json.loads(out[: out.rindex("written:")])
    told = yaml.safe_load(file.read_text())["priors"]
    changed = apply_overlay(pack, file)
    for cause, where in told.items():
        for group, value in where.items():
            (row,) = [p for p in shown["priors"] if (p["cause"], p["where"]) == (cause, group)]
            assert value == pytest.approx(row["after"], abs=1e-6)
            assert getattr(changed.causes[cause].prior, group) == value
    unmoved = [p for p in shown["priors"] if p["where"] not in told.get(p["cause"], {})]
    assert all(abs(p["after"] / p["before"] - 1) < 0.005 for p in unmoved)
    case = few / "k11-hop-at-25.yaml"
    ranked = json.loads(advisor("rank", case, "--overlay", file, "-f", "json")[1])
    assert ranked["pack"]["overlay"].startswith("learned from 3 closed cases")


def test_learning_writes_nothing_unasked(advisor, few, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    code, out, _ = advisor("learn", few)
    assert code == 0 and "Nothing changes until you use the overlay" in out
    assert not list(tmp_path.iterdir())
    for strength in ("0", "-5", "1e9", "nan"):
        assert advisor("learn", few, "--strength", strength)[0] == 2


@pytest.mark.parametrize("args", [("no-such.zip", "rules"), ("rules", "no-such-folder")])
def test_comparing_what_is_not_there_is_said(advisor, monkeypatch, args):
    monkeypatch.chdir(ROOT)
    code, out, err = advisor("rules", "compare", *args)
    assert (code, out) == (2, "") and "no-such" in err


def test_a_case_the_old_pack_cannot_read_is_named_and_left_out(pack, few):
    """A cause that the old pack does not have yet, and the case that was closed with it."""
    from advisor.report.trust import render_comparison
    from advisor.trust.compare import compare
    from advisor.trust.outcomes import closed_in_both

    pairs, unread = closed_in_both(few, pack, pack)
    assert (len(pairs), unread) == (3, [])
    new = pairs[0][1].confirmed.causes[0].id
    causes = {id_: cause for id_, cause in pack.causes.items() if id_ != new}
    older = pack.model_copy(update={"causes": causes})
    pairs, unread = closed_in_both(few, older, pack)
    assert len(pairs) + len(unread) == 3 and unread
    page = render_comparison(compare(older, pack, pairs, unread), "text")
    assert all(name in page for name in unread) and "minor step" in page
