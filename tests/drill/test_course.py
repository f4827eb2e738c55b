"""How the right cause stood after each move."""

from __future__ import annotations

import pytest

from advisor.drill import course as module
from advisor.drill.checklist import load_checklist
from advisor.drill.choose import default_cases_folder, worked_cases
from advisor.drill.course import (
    MOST_ROWS,
    ROWS_OF_A_LONG_ONE,
    Moment,
    Stage,
    course,
    course_sections,
    joined,
)
from advisor.drill.debrief import debrief
from advisor.drill.driver import topics
from advisor.drill.game import Drill
from advisor.drill.paths import every_check
from advisor.errors import AdvisorError
from advisor.inference.posterior import decibans
from advisor.pipeline import assess


@pytest.fixture
def drill(pack):
    cases = {c.id: c for c in worked_cases(default_cases_folder(), pack)}
    return Drill(cases["k17-curb-route-wobble"], pack, load_checklist(pack).ids, seed=3)


def play_long(drill):
    """Every question, and checks until there are more moves than rows."""
    for key in topics(drill.pack):
        drill.ask(key.key)
    for id_, place in every_check(drill.world):
        if len(drill.stages) > 2 * MOST_ROWS:
            return
        try:
            drill.inspect(id_, place)
        except AdvisorError:
            pytest.fail(f"{id_} at {place} is a check of this vehicle")


def test_each_move_speaks_in_turn_and_the_sum_is_the_whole_way(drill):
    drill.ask("onset")
    drill.inspect("lateral-runout", "steer")
    moments = course(drill.stages, drill.world)
    assert [m.after for m in moments] == [
        "the write-up alone",
        "asked: onset",
        "lateral runout: found at right steer",
    ]
    p = [m.chance["bent_wheel"] for m in moments]
    steps = decibans(p[1], p[0]) + decibans(p[2], p[1])
    assert steps == pytest.approx(decibans(p[2], p[0]))
    assert moments[-1].rank("bent_wheel") == 1
    rows = course_sections(moments, ["bent_wheel"], drill.pack)[0].table.rows
    assert rows[0][1] == "" and rows[2][1] == f"{decibans(p[2], p[1]):+.0f}"


def test_what_is_shown_is_the_exact_ranking(drill):
    drill.ask("sensation")
    drill.inspect("lateral-runout", "steer")
    moments = course(drill.stages, drill.world)
    for stage, moment in zip(drill.stages, moments, strict=True):
        exact = assess(stage.known, drill.pack).now.cause
        assert moment.chance == pytest.approx(exact, rel=1e-4)


def test_ranks_count_from_one_and_ties_go_by_id():
    moment = Moment("", {"a": 0.2, "b": 0.5, "c": 0.2})
    assert [moment.rank(c) for c in "abc"] == [2, 1, 3]


def test_a_long_drill_is_joined_and_nothing_is_lost(drill):
    play_long(drill)
    rows = joined(drill.stages)
    assert len(rows) <= ROWS_OF_A_LONG_ONE + 1 < MOST_ROWS < len(drill.stages)
    assert rows[0] == drill.stages[0] and rows[-1].known == drill.walk.case
    assert "; ".join(r.after for r in rows) == "; ".join(s.after for s in drill.stages)


def test_a_short_drill_is_not_joined(drill):
    case = drill.case
    stages = [Stage(str(n), case) for n in range(MOST_ROWS + 1)]
    assert joined(stages) == stages and joined(stages[:1]) == stages[:1]


def test_moves_infer_nothing_and_the_debrief_little(drill, monkeypatch):
    """An apprentice waits in front of the screen: each row is one inference, no more."""
    calls = []

    def counted(*args, **more):
        calls.append(more)
        return assess(*args, **more)

    monkeypatch.setattr(module, "assess", counted)
    play_long(drill)
    assert calls == []
    score = drill.name("bent_wheel", "steer_right", 0.9)
    page = debrief(drill, score)
    assert 2 < len(calls) <= ROWS_OF_A_LONG_ONE + 1
    assert any(s.heading == "How the right cause stood" for s in page.sections)
