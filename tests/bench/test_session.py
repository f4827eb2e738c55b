"""The walk as a state machine: order, confirmation, access, back, skip, ends."""

from __future__ import annotations

import pytest

from advisor.bench.session import BenchSession
from advisor.errors import AdvisorError, InputProblems
from tests.bench.conftest import SAFETY, answer_for, to_the_end


def at(text, pack, *lines) -> BenchSession:
    session = BenchSession(text, pack)
    for line in lines:
        session.say(line)
    return session


def test_safety_comes_first_then_the_driver_then_the_jack(open_case, pack):
    session = BenchSession(open_case, pack)
    kinds = []
    while session.step.kind not in ("settled", "specialist"):
        kinds.append(session.step.kind)
        session.say(answer_for(session.step))
    order = [k for n, k in enumerate(kinds) if n == 0 or kinds[n - 1] != k]
    assert order == ["safety", "question", "inspection"]
    first = [s.step.partition("@")[0] for s in session.record.log][:6]
    assert list(dict.fromkeys(first)) == ["wheel-nut-check", "tread-full-turn", "hub-heat"]


def test_ends_with_the_cause_its_remedy_and_what_to_verify(open_case, pack):
    session = BenchSession(open_case, pack)
    to_the_end(session)
    assert session.step.kind == "settled"
    remedy = session.step.remedies[0]
    assert (remedy.cause, remedy.place) == ("bent_wheel", "steer_right")
    assert remedy.steps and remedy.cautions and "run" in remedy.verify and remedy.if_it_comes_back


def test_a_hazard_is_confirmed_before_any_result(open_case, pack):
    session = BenchSession(open_case, pack)
    assert session.step.confirm and session.step.cautions
    for line in ("clear", "found left", "yes"):
        with pytest.raises(AdvisorError, match="ready"):
            session.say(line)
    assert "wheel-nut-check" not in session.text
    session.say("ready")
    assert not session.step.confirm
    session.say("clear")
    assert session.case.inspections[-1].outcome == "clear"


def test_every_step_that_opens_something_asks_for_confirmation(open_case, pack):
    session = BenchSession(open_case, pack)
    opened = 0
    while session.step.kind not in ("settled", "specialist"):
        step = session.step
        already = step.id in session.record.ready()
        if step.inspection is not None and step.inspection.opens:
            opened += 1
            assert step.confirm or already
        session.say(answer_for(step))
    assert opened


def test_back_takes_the_answer_and_its_entries_away(open_case, pack):
    before = at(open_case, pack, *SAFETY[:4])
    text, step = before.text, before.step
    session = at(text, pack, "ready", "found steer_left")
    assert session.step.safety.level == "stop"
    session.say("back")
    assert session.text == text
    assert session.step == step


def test_back_through_everything_gives_the_file_as_it_was(open_case, pack):
    session = at(open_case, pack, *SAFETY)
    while session.step.kind == "question":
        session.say("no")
    while session.record.log:
        session.say("back")
    assert session.text == open_case


def test_back_refuses_what_was_changed_by_hand(open_case, pack):
    session = at(open_case, pack, "ready", "clear")
    edited = session.text.replace("id: wheel-nut-check", "id: tread-full-turn", 1)
    again = BenchSession(edited, pack)
    with pytest.raises(AdvisorError, match="by hand"):
        again.say("back")
    assert again.text == edited


def test_a_skip_says_why_and_a_safety_check_put_off_keeps_it_off_the_road(open_case, pack):
    session = at(open_case, pack, "ready", "skip no_tool")
    assert session.record.log[-1].why == "no_tool"
    assert session.case.inspections[-1].outcome == "skipped"
    assert session.step.skipped_safety == ("wheel-nut-check",)
    assert not session._look.planner.may_drive
    plan = session._look.planner.plan(most=200, outlooks=0)
    assert plan and all(p.access != "road" for p in plan)


def test_a_stop_finding_excludes_the_road(open_case, pack):
    clear = at(open_case, pack, *SAFETY)
    roads = [p for p in clear._look.planner.plan(most=200, outlooks=0) if p.access == "road"]
    assert roads  # with all safety checks clear the road is open
    stop = at(open_case, pack, *SAFETY[:4], "ready", "found steer_left")
    assert stop.step.safety.level == "stop"
    assert all(p.access != "road" for p in stop._look.planner.plan(most=200, outlooks=0))


def test_places_not_named_count_as_clear(open_case, pack):
    session = at(open_case, pack, "ready", "found steer_left")
    told = {str(d.place): d.outcome for d in session.case.inspections if d.id == "wheel-nut-check"}
    assert told.pop("steer_left") == "found"
    rest = ("steer_right", "drive_left", "drive_right", "tag_left", "tag_right")
    assert told == dict.fromkeys(rest, "clear")


def test_the_access_state_is_kept_and_given_back(open_case, pack):
    session = at(open_case, pack, *SAFETY)
    while not (
        session.step.inspection and session.step.inspection.opens and not session.step.confirm
    ):
        session.say(answer_for(session.step))
    room = session.step.inspection.access
    session.say("clear")
    assert any(r.startswith(room) for r in session.record.opened)
    opened = session.record.opened
    resumed = BenchSession(session.text, pack)
    assert resumed.record.opened == opened
    resumed.say("lowered")
    assert resumed.record.opened == frozenset()
    resumed.say("back")
    assert resumed.record.opened == opened


def test_stopped_and_taken_up_gives_the_same_as_in_one_go(open_case, pack):
    whole = BenchSession(open_case, pack)
    lines = to_the_end(whole)
    text = open_case
    for line in lines:
        session = BenchSession(text, pack)  # a new session for every answer
        session.say(line)
        text = session.text
    assert text == whole.text


def test_readings_are_converted_and_kept_by_place(open_case, pack):
    session = at(open_case, pack, *SAFETY)
    while session.step.id not in ("lateral-runout@steer", "lateral-runout@steer_right"):
        session.say("skip" if session.step.kind == "question" else answer_for(session.step))
    if session.step.confirm:
        session.say("ready")
    with pytest.raises(AdvisorError, match="in in"):
        session.say("right 12 oz" if session.step.id.endswith("steer") else "12 oz")
    session.say("right 6 mm" if session.step.id.endswith("steer") else "6 mm")
    done = session.case.inspections[-1]
    assert str(done.place) == "steer_right"
    assert done.values["tir_in"] == pytest.approx(6 / 25.4, rel=1e-5)


def test_it_says_when_it_cannot_settle_it(open_case, pack):
    """Nothing could be looked at: an honest end, and who may know more."""
    put_off = "".join(
        f"  - {{id: {kind.id}{'' if kind.at == 'vehicle' else ', place: all'}, result: skipped}}\n"
        for kind in pack.inspections.values()
        if kind.id != "pressure-check"
    )
    session = BenchSession(open_case.replace("\n# the end", put_off), pack)
    while session.step.kind == "question":
        session.say("skip")
    assert session.step.kind == "specialist"
    first = pack.causes[session.step.leads[0].id]
    assert first.specialist in session.step.stop.says and not session.step.remedies


def test_more_looks_for_a_second_cause(open_case, pack):
    session = BenchSession(open_case, pack)
    to_the_end(session)
    session.say("more")
    assert session.step.kind in ("inspection", "settled")
    assert any(s.answer == "more" for s in session.record.log)


def test_a_bench_section_that_does_not_fit_is_refused_with_all_its_problems(open_case, pack):
    bad = open_case + (
        "bench:\n  opened: [raised@moon]\n"
        "  log:\n    - {step: no-such-check@steer, answer: clear}\n"
    )
    with pytest.raises(InputProblems) as caught:
        BenchSession(bad, pack)
    assert len(caught.value.problems) == 2


def test_a_closed_case_is_not_walked(open_case, pack):
    closed = open_case + "confirmed: {causes: [{id: bent_wheel, place: steer_left}], by: seen}\n"
    with pytest.raises(AdvisorError, match="closed already"):
        BenchSession(closed, pack)


@pytest.mark.parametrize(
    "line", ["", "purple", "skip because", "found moon", "found drive_left", "0.2"]
)
def test_what_is_not_understood_changes_nothing(open_case, pack, line):
    session = at(open_case, pack, *SAFETY)
    while not session.step.id.startswith("lateral-runout"):
        session.say(answer_for(session.step))
    session.say("ready")
    text = session.text
    with pytest.raises(AdvisorError):
        session.say(line)
    assert session.text == text


def test_no_question_sends_the_driver_out_under_a_stop_finding(open_case, pack):
    stop = at(open_case, pack, *SAFETY[:4], "ready", "found steer_left")
    for _ in range(40):
        if stop.step.kind in ("settled", "specialist"):
            break
        assert not stop.step.id.startswith("drive_test.")
        stop.say("ready" if stop.step.confirm else "skip")
    assert stop.step.safety.level == "stop"
