"""advisor bench and advisor close, through the command line."""

from __future__ import annotations

import pytest
from typer.testing import CliRunner

from advisor.bench.session import BenchSession
from advisor.cli import bench as commands
from advisor.cli.main import app
from advisor.errors import AdvisorError
from advisor.intake.case_file import read_case
from tests.bench.conftest import SAFETY, to_the_end


@pytest.fixture
def run(monkeypatch, pack):
    """Run a command; the pack is read once for all."""
    monkeypatch.setattr(commands, "load_pack", lambda *_: pack)

    def go(*args, said=None):
        done = CliRunner().invoke(app, list(map(str, args)), input=said)
        if isinstance(done.exception, AdvisorError):  # what run() turns into exit code 2
            return 2, done.output + str(done.exception)
        assert done.exception is None or isinstance(done.exception, SystemExit), done.exception
        return done.exit_code, done.output

    return go


@pytest.fixture
def file(tmp_path, open_case):
    made = tmp_path / "case.yaml"
    made.write_text(open_case)
    return made


def script(tmp_path, lines):
    made = tmp_path / "answers.txt"
    made.write_text("# as said at the truck\n\n" + "\n".join(lines) + "\n")
    return made


def test_an_answers_file_walks_to_the_cause_and_closes(run, file, tmp_path, open_case, pack):
    lines = to_the_end(BenchSession(open_case, pack))
    closing = ["close", ".", "0.24 in sideways", "wheel replaced", "2031-09-03"]
    shop = tmp_path / "worked"
    shop.mkdir()
    answers = script(tmp_path, lines + closing)
    code, said = run("bench", file, "--answers", answers, "--cases", shop)
    assert code == 0
    assert "CONFIRMED: bent wheel" in said and "verify" in said
    assert max(map(len, said.splitlines())) <= 80 or str(tmp_path) in said
    case = read_case(file, pack)
    assert [(c.id, str(c.place)) for c in case.confirmed.causes] == [("bent_wheel", "steer_right")]
    kept = read_case(shop / f"{case.id}.yaml", pack)
    assert kept.confirmed == case.confirmed and kept.inspections == case.inspections
    assert "bench:" not in (shop / f"{case.id}.yaml").read_text()


def test_stop_finding_gives_exit_code_3(run, file, tmp_path):
    answers = script(tmp_path, ["ready", "found steer_left", "stop"])
    code, said = run("bench", file, "--answers", answers)
    assert code == 3 and "do not drive" in said


def test_a_wrong_line_ends_a_script_and_keeps_what_was_saved(run, file, tmp_path, pack):
    answers = script(tmp_path, ["ready", "clear", "ready", "purple"])
    code, said = run("bench", file, "--answers", answers)
    assert code == 2 and "answers.txt:6" in said
    session = BenchSession(file.read_text(), pack)
    assert [s.answer for s in session.record.log] == ["ready", "clear", "ready"]


def test_typed_answers_end_with_the_terminal_and_go_on_later(run, file, pack):
    code, said = run("bench", file, said="ready\nclear\n")
    assert code == 0 and "every one so far" in said
    code, said = run("bench", file, said="help\nwhy\nready\npurple\nclear\nback\nstop\n")
    assert code == 0 and "STEP 2" in said and "purple" in said
    assert len(BenchSession(file.read_text(), pack).record.log) == 2


def test_two_people_on_one_file(run, file, tmp_path, monkeypatch, pack):
    """Somebody saves between two answers; theirs is kept, ours is given again on request."""
    from advisor.bench import storage

    real, calls = storage.CaseStore.save, []

    def save(self, text):
        calls.append(text)
        if len(calls) == 2:  # the other person is quicker
            file.write_text(file.read_text().replace("unit: Q-40", "unit: Q-41"))
        real(self, text)

    monkeypatch.setattr(storage.CaseStore, "save", save)
    code, said = run("bench", file, said="ready\nclear\nyes\nstop\n")
    assert code == 0 and "somebody else changed this file" in said
    text = file.read_text()
    assert "unit: Q-41" in text
    assert "id: wheel-nut-check" in text


def test_two_people_and_no(run, file, monkeypatch):
    from advisor.bench import storage

    real, calls = storage.CaseStore.save, []

    def save(self, text):
        calls.append(text)
        if len(calls) == 2:
            file.write_text(file.read_text().replace("unit: Q-40", "unit: Q-41"))
        real(self, text)

    monkeypatch.setattr(storage.CaseStore, "save", save)
    code, said = run("bench", file, said="ready\nclear\nno\nreload\nclear\nstop\n")
    assert code == 0 and "Not saved" in said
    assert "unit: Q-41" in file.read_text() and "wheel-nut-check, place: all" in file.read_text()


def test_close_by_options(run, file, pack):
    code, said = run(
        "close", file, "--cause", "bent_wheel@steer_right", "--by", "seen", "--fixed-by", "renewed",
        "--date", "2031-09-03",
    )  # fmt: skip
    assert code == 0 and "Closed" in said
    case = read_case(file, pack)
    assert case.fixed_by == "renewed" and case.confirmed.date == "2031-09-03"
    assert "# both words fell" in file.read_text()
    code, said = run("close", file, "--cause", "imbalance@steer", "--by", "x", "--fixed-by", "y")
    assert code == 2 and "closed already" in said


@pytest.mark.parametrize(
    ("cause", "complaint"),
    [("bent_whel@steer", "bent_wheel"), ("bent_wheel", "say where"), ("bent_wheel@moon", "place")],
)
def test_close_refuses_what_is_not_known(run, file, open_case, cause, complaint):
    code, said = run("close", file, "--cause", cause, "--by", "x", "--fixed-by", "y")
    assert code == 2 and complaint in said
    assert file.read_text() == open_case


def test_close_asks_for_what_is_left_out(run, file, pack):
    code, _ = run("close", file, said="bent_wheel@steer_left\nby eye\nnew wheel\n")
    assert code == 0
    assert read_case(file, pack).confirmed.by == "by eye"


def test_every_step_answers_in_a_fifth_of_a_second(open_case, pack):
    """Time of the processor, so that a busy machine does not fail it."""
    import time

    session = BenchSession(open_case, pack)
    for line in [*SAFETY, "ready", "clear"]:
        began = time.process_time()
        session.say(line)
        assert time.process_time() - began < 0.2
