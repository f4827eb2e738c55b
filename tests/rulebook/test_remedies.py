"""Every cause says what corrects it, what that needs, how to verify, what to do if it returns."""

from __future__ import annotations

import re

import pytest

from advisor.rulebook.load import load_folder

CAUSES = sorted(load_folder(None).pack.causes.values(), key=lambda c: c.id)


@pytest.fixture(params=CAUSES, ids=lambda c: c.id)
def cause(request):
    return request.param


def test_nothing_is_left_out(cause):
    remedy = cause.remedy
    assert len(remedy.steps) >= 4
    for text in (*remedy.steps, remedy.needs, remedy.verify, remedy.if_it_comes_back):
        assert text.strip().endswith(".")
    assert remedy.cautions and cause.specialist and cause.confirm


def test_a_road_run_carries_its_caution(cause):
    if re.search(r"\b(run|drive|road|stops)\b", cause.remedy.verify, re.IGNORECASE):
        assert "road-test-safe-place" in cause.remedy.cautions


def test_a_wheel_that_comes_off_is_torqued_by_the_book_and_again(cause):
    if re.search(r"tighten by the book|wheel off", " ".join(cause.remedy.steps), re.IGNORECASE):
        assert {"nut-torque-from-book", "retorque-after-interval"} <= set(cause.remedy.cautions)


def test_a_tire_that_is_demounted_is_let_down_and_restrained(cause):
    if re.search(r"\b(demount|inflate)\b", " ".join(cause.remedy.steps), re.IGNORECASE):
        assert {"deflate-before-demount", "restrain-and-stand-clear-inflating"} <= set(
            cause.remedy.cautions
        )


def test_what_may_kill_forbids_the_road_until_it_is_right(cause):
    if cause.danger == "stop":
        assert {"one-stop-finding-no-roll", "no-road-test-with-stop-finding"} <= set(
            cause.remedy.cautions
        )
