"""Markup, control characters and formulas in what people write: shown as text, everywhere.

A page may hold no element and no attribute that came from a text; nothing printed may move a cursor
or turn a line around; no cell of a table may begin a formula.
"""

from __future__ import annotations

import csv
import io
import json
import re
import sys
import unicodedata
from collections.abc import Callable
from html.parser import HTMLParser
from pathlib import Path

import pytest
import yaml

from advisor.cli.main import run
from advisor.drill.sheets import answer_key, worksheet
from advisor.explain import explain
from advisor.intake.case_file import read_case
from advisor.model.pack import Pack
from advisor.pipeline import rank
from advisor.report.as_json import render_json
from advisor.report.html import render_html
from advisor.report.markdown import render_markdown
from advisor.report.page import render_page
from advisor.report.rulebook import render_entry
from advisor.report.terminal import render_text
from advisor.report.why import render_why
from advisor.rulebook.load import load_folder

ROOT = Path(__file__).resolve().parents[2]
PACK: Pack = load_folder(ROOT / "rules").pack
SEEN = "\x1b[2J\x07\x9b31m\u202e\u2028\x7f"
EVIL = f"<script>alert(1)</script><img src=x onerror=y> [a](javascript:b) </p>{SEEN}"
FORMULAS = ["=1+1", "+1", "-1+2", "@sum(a1)", "\t=1", "\r=1", "|x", "%x", "＝1", " =1", "\x00=1"]
UNSEEN = {"Cc", "Cf", "Cs", "Zl", "Zp"}
CASE = {
    "case": "evil",
    "title": EVIL,
    "unit": EVIL,
    "vehicle": {"type": "linehaul_tractor", "tire": "295/75R22.5", "studs": "10"},
    "write_up": f"hops in the seat 55 to 65 {EVIL} shakes when braking",
    "symptoms": {"sensation": ["hop"], "felt_at": ["seat"]},
    "inspections": [{"id": "hub-heat", "place": "all", "result": "clear", "by": EVIL}],
    "readings": [{"kind": "recording", "file": "run.csv", "name": EVIL, "speed": "60 mph"}],
    "confirmed": {"causes": [{"id": "bent_wheel", "place": "steer_left"}], "by": EVIL},
    "fixed_by": EVIL,
    "teaches": EVIL,
}


class Tags(HTMLParser):
    """Every element and attribute of a page."""

    def __init__(self, html: str):
        super().__init__()
        self.found: list[tuple[str, dict[str, str | None]]] = []
        self.feed(html)

    def handle_starttag(self, tag, attrs):
        self.found.append((tag, dict(attrs)))


def assert_harmless(text: str, kind: str, holds: bool = True) -> None:
    """Nothing of EVIL is alive in a text of this kind. holds: whether it must be in there."""
    assert text and ("alert(1)" in text or not holds), "nothing hostile in it: nothing was tested"
    unseen = {c for c in text if unicodedata.category(c) in UNSEEN} - {"\n"}
    assert not unseen, unseen
    if kind == "html":
        tags = Tags(text).found
        assert {"script", "img", "iframe", "object", "link"}.isdisjoint(tag for tag, _ in tags)
        for _, attributes in tags:
            assert not [name for name in attributes if name.startswith("on")]
            assert "javascript:" not in (attributes.get("href") or "")
    if kind == "markdown":
        assert not re.search(r"(?<!\\)<(script|img)|(?<!\\)\[a\\?\]", text)
    if kind == "json":
        assert json.loads(text)


def write_case(folder: Path) -> None:
    """The hostile case with its recording. A JSON text is YAML with the same meaning."""
    (folder / "case.yaml").write_text(json.dumps(CASE))
    head = f'"time_s","az (g) {EVIL}"\n'
    rows = "".join(f"{k / 100:.2f},{(k * 37) % 11 / 100}\n" for k in range(600))
    (folder / "run.csv").write_text(head + rows)


@pytest.fixture
def advisor(monkeypatch, capsys, tmp_path):
    """Run a command in a folder with a hostile case, its recording and a hostile stack."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("advisor.rulebook.cache.load_pack", lambda folder=None: PACK)
    write_case(tmp_path)
    table = io.StringIO()
    rows_ = [
        ("Unit", "Complaint"),
        (f"T-1 {EVIL}", f"hops at 60 {EVIL}"),
        ("T-2", f"wipers {EVIL}"),
    ]
    csv.writer(table).writerows([*rows_, (f"T-3 {EVIL}", f"wheel nuts loose, shakes {EVIL}")])
    Path("stack.csv").write_text(table.getvalue() + f"T-4 {EVIL},a,b,c,d\n", newline="")

    def call(*args: str) -> tuple[str, str]:
        monkeypatch.setattr(sys, "argv", ["advisor", *args])
        with pytest.raises(SystemExit) as left:
            run()
        assert left.value.code in (0, None, 2, 3), capsys.readouterr()
        return capsys.readouterr()

    return call


FORMS = ["text", "markdown", "html", "json"]
DATA_ONLY = {("read", "json"), ("key", "json"), ("worksheet", "json")}  # figures and ids
COMMANDS = {
    "read": ("read", CASE["write_up"]),
    "triage": ("triage", "stack.csv", "--full"),
    "recording": ("recording", "run.csv", "--speed", "60 mph"),
}


@pytest.mark.parametrize("kind", FORMS)
@pytest.mark.parametrize("name", COMMANDS)
def test_what_a_command_prints(advisor, name, kind):
    out, _ = advisor(*COMMANDS[name], "--format", kind)
    assert_harmless(out, kind, holds=(name, kind) not in DATA_ONLY)


@pytest.fixture(scope="module")
def documents(tmp_path_factory) -> dict[str, Callable[[str], str]]:
    """What is said of the hostile case, each ready to be rendered."""
    folder = tmp_path_factory.mktemp("evil")
    write_case(folder)
    case = read_case(folder / "case.yaml", PACK)
    diagnosis, told = rank(case, PACK), explain(case, "bent_wheel", PACK)
    renderers = {
        "text": lambda d: render_text(d, full=True),
        "markdown": render_markdown,
        "html": render_html,
        "json": render_json,
    }
    key, blank = answer_key(case, PACK, ["tread-runout"], 0), worksheet(case, PACK)
    return {
        "rank": lambda kind: renderers[kind](diagnosis),
        "why": lambda kind: render_why(told, kind),
        "key": lambda kind: render_page(key, kind),
        "worksheet": lambda kind: render_page(blank, kind),
    }


@pytest.mark.parametrize("kind", FORMS)
@pytest.mark.parametrize("name", ["rank", "why", "key", "worksheet"])
def test_what_is_said_of_a_case(documents, name, kind):
    """The words of `why` are the pack's; what a case can bring in is its name and its readings."""
    assert_harmless(
        documents[name](kind), kind, holds=name != "why" and (name, kind) not in DATA_ONLY
    )


def test_the_debrief_of_a_drill(advisor):
    lines = ["topics", "ask work_done", "do hub-heat all", "known", "name bent_wheel steer_left 70"]
    Path("lines.txt").write_text("\n".join(lines))
    out, _ = advisor("drill", "case.yaml", "--answers", "lines.txt", "-o", "out.html")
    assert_harmless(out, "text")
    assert_harmless(Path("out.html").read_text(), "html")


def test_a_walk_at_the_truck(advisor):
    open_case = {key: value for key, value in CASE.items() if key != "confirmed"}
    Path("open.yaml").write_text(yaml.safe_dump(open_case, sort_keys=False))
    Path("lines.txt").write_text(f"ready\nclear\nwhy\n{EVIL.splitlines()[0]}\n", encoding="utf-8")
    out, err = advisor("bench", "open.yaml", "--answers", "lines.txt")
    assert_harmless(out + err, "text")


@pytest.mark.parametrize("kind", FORMS)
def test_a_rule_pack_of_a_stranger(kind):
    rules = tuple(r.model_copy(update={"because": EVIL, "mistaken_when": EVIL}) for r in PACK.rules)
    causes = {i: c.model_copy(update={"name": EVIL, "what": EVIL}) for i, c in PACK.causes.items()}
    sources = {i: s.model_copy(update={"title": EVIL}) for i, s in PACK.sources.items()}
    pack = PACK.model_copy(update={"rules": rules, "causes": causes, "sources": sources})
    for name in (None, "bent_wheel", pack.rules[0].id, "hub-heat"):
        assert_harmless(render_entry(pack, name, kind), kind)


@pytest.mark.parametrize("kind", FORMS)
def test_a_comparison_with_the_pack_of_a_stranger(kind):
    from advisor.report.trust import render_comparison
    from advisor.trust.compare import compare

    changed = PACK.rules[0].model_copy(update={"because": EVIL})
    other = PACK.model_copy(update={"rules": (changed, *PACK.rules[1:])})
    assert_harmless(render_comparison(compare(PACK, other, []), kind), kind)


@pytest.mark.parametrize("kind", FORMS)
def test_the_progress_of_a_class(tmp_path, kind):
    from advisor.drill.progress import class_summary

    done = {
        "case": EVIL, "pack": EVIL, "seed": 0, "right_causes": [EVIL], "named": EVIL,
        "confidence": 0.5, "right": False, "passed": False, "brier": 0.5, "minutes": 1.0,
        "planner_minutes": 1.0, "wheels_for_nothing": 0,
    }  # fmt: skip
    (tmp_path / "nia.jsonl").write_text(json.dumps(done) + "\n")
    page = render_page(class_summary(tmp_path, PACK), kind)
    assert_harmless(page, kind)


@pytest.mark.parametrize("field", ["case", "vehicle", "symptoms", "inspections", "extra"])
def test_a_message_about_it_is_harmless_too(advisor, field):
    wrong = {
        "case": EVIL,
        "vehicle": {"type": EVIL, "tire": EVIL, "studs": EVIL},
        "symptoms": {EVIL: EVIL, "sensation": [EVIL]},
        "inspections": [{"id": EVIL, "place": EVIL, "result": {EVIL: EVIL}}],
        "extra": EVIL,
    }
    key = EVIL if field == "extra" else field
    Path("bad.yaml").write_text(json.dumps({**CASE, key: wrong[field]}))
    out, err = advisor("rank", "bad.yaml")
    assert not out
    assert_harmless(err, "text")


def test_no_cell_begins_a_formula_or_moves_the_cursor(advisor):
    """Every column of both tables; OWASP Application Security Verification Standard 5.0, 1.2.10."""
    table = io.StringIO()
    rows = [(f, f"{f} shakes at 60") for f in FORMULAS] + [(f, f"{f} wipers") for f in FORMULAS]
    csv.writer(table).writerows([("Unit", "Complaint"), *rows])
    Path("stack.csv").write_text(table.getvalue() + "".join(f"{f},a,b,c\n" for f in FORMULAS[:5]))
    out, _ = advisor("triage", "stack.csv", "-f", "csv", "--rejects", "rejects.csv")
    rejects = Path("rejects.csv").read_text()
    assert len(rejects.splitlines()) > 1
    for text in (out, rejects):
        for cell in (c for row in csv.reader(io.StringIO(text)) for c in row):
            assert not [c for c in cell if unicodedata.category(c) in UNSEEN and c not in "\t\n"]
            bare = cell.strip("\ufeff\xa0 ")
            assert not bare.startswith(tuple("=+@\t\r\n|%＝＋－＠")), cell
            assert not bare.startswith("-") or re.fullmatch(r"-\d+(\.\d+)?", bare), cell
