"""A write-up fills in what nobody answered; an explicit answer always stands."""

from __future__ import annotations

import pytest

from advisor.intake.merge_write_up import masked, merge_write_up, reader_of
from advisor.model.case import Answer, Case, Span, SpeedRange, Vehicle, WorkDone
from advisor.model.place import Place
from advisor.rulebook.load import load_folder


@pytest.fixture(scope="module")
def pack():
    return load_folder().pack


def merged(pack, text, **known):
    return merge_write_up(Case("x", Vehicle("coach"), write_up=text, **known), pack)


def said(case):
    return {(a.symptom, a.state, a.origin) for a in case.answers}


def test_what_is_missing_is_taken_from_the_text_with_its_span(pack):
    case = merged(pack, "hops in the seat 58 to 64")
    assert ("sensation.hop", "yes", "read") in said(case)
    assert (case.speed.low_mph, case.speed.high_mph) == (58, 64)
    assert all(a.span and a.span.text in case.write_up for a in case.answers)
    assert case.marks
    assert not case.conflicts


def test_a_key_that_was_answered_is_not_missing(pack):
    case = merged(pack, "shimmy and hop at 60", answers=(Answer("sensation.buzz", "yes"),))
    assert {s for s, _, _ in said(case) if s.startswith("sensation.")} == {"sensation.buzz"}


def test_a_no_against_the_text_stands_and_is_a_conflict(pack):
    case = merged(pack, "shakes when braking", answers=(Answer("condition.braking", "no"),))
    assert ("condition.braking", "no", "asked") in said(case)
    assert ("condition.braking", "yes", "read") not in said(case)
    assert [c.symptom for c in case.conflicts] == ["condition.braking"]


def test_values_that_exclude_each_other_are_a_conflict(pack):
    growth = (Answer("growth.steady", "yes"),)
    case = merged(pack, "shakes at 60, getting worse every day", answers=growth)
    assert [c.symptom for c in case.conflicts] == ["growth.within_days"]


def test_what_must_not_wait_is_added_whatever_else_was_answered(pack):
    cupped = (Answer("wear.cupping", "yes", Place("steer", "left")),)
    case = merged(pack, "bulge on rr tire, shakes", answers=cupped)
    assert any(s.startswith("wear.bulge") for s, _, _ in said(case))


@pytest.mark.parametrize(
    ("speed", "clash"),
    [(SpeedRange(55, 60), []), (SpeedRange(20, 30), ["speed"]), (SpeedRange(None, None, 62), [])],
)
def test_explicit_speeds_stand_and_clash_when_they_do_not_meet(pack, speed, clash):
    case = merged(pack, "hops 58 to 64", speed=speed)
    assert case.speed == speed
    assert [c.symptom for c in case.conflicts] == clash


def test_an_explicit_list_of_work_stands(pack):
    work = (WorkDone("balanced", "cured"),)
    case = merged(pack, "shakes, balanced twice no change", work_done=work)
    assert case.work_done == work
    assert [(c.symptom, c.answer, c.read) for c in case.conflicts] == [
        ("work.balanced", "cured", "no change")
    ]
    read = merged(pack, "shakes, balanced twice no change").work_done
    assert [(w.what, w.result, w.origin) for w in read] == [("balanced", "no_change", "read")]


def test_reading_twice_changes_nothing(pack):
    case = merged(pack, "hops in the seat 58 to 64, balanced no change")
    assert merge_write_up(case, pack) == case


def test_a_case_without_a_write_up_is_left_alone(pack):
    case = Case("x", Vehicle("coach"), answers=(Answer("sensation.hop", "yes"),))
    assert merge_write_up(case, pack) is case


def test_masking_keeps_every_place_in_the_text():
    text = "call Bob at 555-0142 about it"
    hidden = masked(text, [Span(5, 8, "Bob"), Span(12, 20, "555-0142")])
    assert hidden == "call ### at ###-#### about it"
    assert len(hidden) == len(text)


def test_a_pack_is_compiled_once(pack):
    assert reader_of(pack) is reader_of(pack.model_copy())
