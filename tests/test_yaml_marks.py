"""Reading YAML with marks: text stays text, every key knows its place, and no input can do harm."""

from __future__ import annotations

import os

import pytest

from advisor.errors import InputProblems, Problem
from advisor.model.base import Record
from advisor.yaml_marks import (
    DEEPEST_NESTING,
    LARGEST_FILE_BYTES,
    decode,
    dotted,
    parse,
    read_document,
    validate,
)


def refused(text: str) -> list[Problem]:
    with pytest.raises(InputProblems) as caught:
        parse(text, "x.yaml")
    return list(caught.value.problems)


def refused_once(text: str) -> Problem:
    problems = refused(text)
    assert len(problems) == 1, problems
    return problems[0]


@pytest.mark.parametrize(
    "written",
    ["1:30", "no", "yes", "on", "010", "0x1F", "1e3", "~", "null", "2031-04-12", "0.10", "1_000"],
)
def test_shop_notation_stays_text(written):
    """The ordinary safe loader makes 90, False, 8, 31, 1000.0, None and a date of these."""
    assert parse(f"a: {written}\n", "x").data == {"a": written}


def test_nothing_behind_a_key_is_empty_text():
    assert parse("a:\nb: ''\n", "x").data == {"a": "", "b": ""}


def test_every_key_and_item_knows_line_and_column():
    document = parse("a: 1\nb:\n  - c: 2\n    d: [x, y]\n", "x.yaml")
    assert document.data == {"a": "1", "b": [{"c": "2", "d": ["x", "y"]}]}
    assert document.marks[("a",)] == (1, 1)
    assert document.marks[("b", 0)] == (3, 5)
    assert document.marks[("b", 0, "d")] == (4, 5)
    assert document.marks[("b", 0, "d", 1)] == (4, 12)


def test_a_problem_stands_at_its_key_or_the_nearest_one_around_it():
    document = parse("a:\n  b: 1\n", "x.yaml")
    assert str(document.problem(("a", "b"), "is wrong")) == "x.yaml:2:3: a.b: is wrong"
    missing = document.problem(("a", "z"), "is missing", "something", "look again")
    assert str(missing) == "x.yaml:1:1: a.z: is missing; allowed: something; look again"


def test_dotted():
    assert dotted(("inspections", 0, "place")) == "inspections[0].place"
    assert dotted((2, "id")) == "[2].id"


def test_a_key_given_twice_is_refused_with_both_lines():
    problem = refused_once("a: 1\nb: 2\na: 3\n")
    assert (problem.line, problem.column, problem.field) == (3, 1, "a")
    assert "already given on line 1" in problem.what


def test_all_keys_given_twice_are_reported_in_one_go():
    problems = refused("a: 1\na: 2\nb: {c: 1, c: 2}\n")
    assert [(p.line, p.field) for p in problems] == [(2, "a"), (3, "b.c")]


def test_aliases_are_refused_where_they_are_used():
    problem = refused_once("base: &x [1, 2]\nother:\n  same: *x\n")
    assert (problem.line, problem.column, problem.field) == (3, 3, "other.same")
    assert "alias" in problem.what


def test_an_alias_of_plain_text_is_refused_too():
    assert refused_once("a: &x hello\nb: *x\n").line == 2


def test_an_alias_bomb_ends_at_once():
    levels = "\n".join(f"l{i}: &l{i} [{', '.join([f'*l{i - 1}'] * 9)}]" for i in range(1, 60))
    problems = refused("l0: &l0 [x, x]\n" + levels)
    assert len(problems) == 59 * 9
    assert all("alias" in p.what for p in problems)


def test_an_alias_to_itself_is_refused():
    assert "alias" in refused_once("a: &a [*a]\n").what


@pytest.mark.parametrize(
    "tag", ["!!python/object/apply:os.system ['true']", "!mine word", "!!int 3", "!!binary aGk="]
)
def test_tags_are_refused(tag):
    problem = refused_once(f"a: {tag}\n")
    assert (problem.line, problem.field) == (1, "a")
    assert "tag" in problem.what


@pytest.mark.parametrize("text", ["a:\n\tb: 1\n", "a:\n  b: 1\n\tc: 2\n", "- a\n\t- b\n"])
def test_a_tab_as_indent_gets_the_hint_about_tabs(text):
    problem = refused_once(text)
    assert problem.hint == "use spaces, not tabs, to indent"
    assert problem.line == text[: text.index("\t")].count("\n") + 1


def test_a_tab_elsewhere_does_no_harm():
    assert parse("a:\t1\n", "x").data == {"a": "1"}


@pytest.mark.parametrize(
    ("raw", "line", "column", "byte"),
    [
        (b"a: 1\nb: caf\xe9\n", 2, 7, "0xe9"),
        ("ä: ü".encode() + b"\xff", 1, 5, "0xff"),
        (b"\xef\xbb\xbfabc: caf\xe9\n", 1, 9, "0xe9"),
        ("a: 1".encode("utf-16"), 1, 1, "0xff"),
    ],
)
def test_what_is_not_utf8_is_named_with_its_place(raw, line, column, byte):
    with pytest.raises(InputProblems) as caught:
        decode(raw, "x.yaml")
    (problem,) = caught.value.problems
    assert (problem.line, problem.column) == (line, column)
    assert byte in problem.what
    assert problem.hint == "save the file as UTF-8"


def test_byte_order_mark_and_line_ends_of_other_systems():
    document = parse(decode(b"\xef\xbb\xbfa: 1\r\nb:\r\n  c: 2\r\n", "x"), "x")
    assert document.data == {"a": "1", "b": {"c": "2"}}
    assert document.marks[("b", "c")] == (3, 3)


@pytest.mark.parametrize("text", ["", "\n\n", "# only a note\n"])
def test_an_empty_file_says_so(text):
    assert str(refused_once(text)) == "x.yaml: the file is empty"


@pytest.mark.parametrize(
    ("text", "line", "column"),
    [
        ("a: [1, 2\nb: 3\n", 2, 2),
        ("a: b: c\n", 1, 5),
        ("a: 'x\nb: 3\n", 3, 1),
        ("a: 1\n---\nb: 2\n", 2, 1),
        ("a: *nowhere\n", 1, 4),
        ("? [a, b]\n: c\n", 1, 3),
    ],
)
def test_broken_yaml_has_line_and_column(text, line, column):
    problem = refused_once(text)
    assert (problem.line, problem.column) == (line, column)
    assert "\n" not in str(problem)


@pytest.mark.parametrize(("text", "line", "column"), [("a: \x00", 1, 4), ("ä: 1\nb \x07", 2, 3)])
def test_control_characters_are_named_with_their_place(text, line, column):
    problem = refused_once(text)
    assert (problem.line, problem.column) == (line, column)
    assert f"U+{ord(text[-1]):04X}" in problem.what


@pytest.mark.parametrize(
    "text",
    [
        "a: " + "[" * 60 + "]" * 60,
        "[" * 900 + "]" * 900,
        "[" * 200_000,
        'a: "' + "]" * 3_000 + '"\nb: ' + "[" * 900 + "]" * 900,
        "b: " + '["]",' * 900 + "]" * 900,
        "".join("  " * i + f"k{i}:\n" for i in range(150)),
        "".join(" " * i + "-\n" for i in range(300)),
        "- " * 60 + "x\n",
        "? " * 2_000 + "x\n",
    ],
    ids=lambda text: f"{text[:6]!r}-{len(text)}",
)
def test_deep_nesting_is_refused_not_a_crash(text):
    assert any(word in str(refused(text)[0]) for word in ("deeper than", "maximum nesting"))


def test_nesting_up_to_the_limit_and_brackets_in_text_are_fine():
    depth = DEEPEST_NESTING - 1
    assert parse("a: " + "[" * depth + "]" * depth, "x").data
    assert parse("a: '" + "[" * 500 + "'\n", "x").data == {"a": "[" * 500}


def test_a_file_of_50_mb_is_refused_without_reading_it(tmp_path):
    file = tmp_path / "large.yaml"
    with file.open("wb") as handle:
        handle.truncate(50_000_000)  # sparse: takes no room on the disk
    with pytest.raises(InputProblems, match=r"too large \(50\.0 MB\); allowed: at most 4 MB"):
        read_document(file)
    with pytest.raises(InputProblems, match="too large"):
        decode(b"x" * (LARGEST_FILE_BYTES + 1), "-")


def test_a_folder_is_not_a_file(tmp_path):
    with pytest.raises(InputProblems, match="this is a folder, not a file"):
        read_document(tmp_path)


def test_a_missing_file_suggests_its_neighbor(tmp_path):
    (tmp_path / "case-one.yaml").write_text("a: 1\n")
    with pytest.raises(InputProblems) as caught:
        read_document(tmp_path / "case-on.yaml")
    assert 'did you mean "case-one.yaml"?' in str(caught.value)
    with pytest.raises(InputProblems, match="no such file"):
        read_document(tmp_path / "nowhere" / "x.yaml")


@pytest.mark.skipif(os.geteuid() == 0, reason="root may read everything")
def test_a_file_that_may_not_be_read(tmp_path):
    file = tmp_path / "x.yaml"
    file.write_text("a: 1\n")
    file.chmod(0)
    with pytest.raises(InputProblems, match="permission denied"):
        read_document(file)


class Part(Record):
    name: str
    size: float = 1.0
    parts: list[str] | dict[str, str] = []  # noqa: RUF012


def test_validation_reports_every_problem_at_its_place():
    document = parse("naem: x\nsize: big\nparts: one\n", "x.yaml")
    with pytest.raises(InputProblems) as caught:
        validate(document, document.data, Part)
    assert [str(p) for p in caught.value.problems] == [
        'x.yaml:1:1: naem: unknown key "naem"; allowed: name, size, parts; did you mean "name"?',
        'x.yaml:1:1: name: the key "name" is missing',
        'x.yaml:2:1: size: "big" does not fit; allowed: a number',
        'x.yaml:3:1: parts: "one" does not fit; allowed: a list or a mapping of keys to values',
    ]


def test_text_is_coerced_to_the_declared_type():
    document = parse("name: 010\nsize: 1e3\n", "x")
    assert validate(document, document.data, Part) == Part(name="010", size=1000.0)
