"""The worked cases: all load, and the cause that was found stands near the top of each."""

from __future__ import annotations

import pytest

from advisor.intake.case_file import read_case
from advisor.pipeline import assess
from tests.conftest import WORKED_CASES

TOP = 3
FIRST_SHARE = 0.8


@pytest.fixture(scope="module")
def cases(pack):
    return {file.stem: read_case(file, pack) for file in WORKED_CASES}


def order(assessed) -> list[str]:
    """Cause ids by probability, as every report lists them."""
    causes = assessed.now.cause
    return sorted(causes, key=lambda c: (-round(causes[c], 9), c))


def standing(case, assessed) -> int:
    """Rank of the best-placed confirmed cause."""
    return 1 + min(order(assessed).index(c.id) for c in case.confirmed.causes)


def table(cases, closed) -> str:
    """Case, rank, confirmed causes, and what came first."""
    lines = []
    for name, assessed in closed.items():
        confirmed = " + ".join(c.id for c in cases[name].confirmed.causes)
        best = [f"{c} {assessed.now.cause[c]:.2f}" for c in order(assessed)[:TOP]]
        rank = standing(cases[name], assessed)
        lines.append(f"{rank:3d}  {name:40s} {confirmed:40s} | {', '.join(best)}")
    return "\n" + "\n".join(sorted(lines, reverse=True))


def test_there_are_enough_and_each_has_a_name_of_its_own(cases):
    assert len(cases) >= 16
    assert len({case.id for case in cases.values()}) == len(cases)


def test_each_is_closed_demo_data_and_named_after_its_file(cases):
    for name, case in cases.items():
        assert case.demo, name
        assert case.confirmed and case.confirmed.causes and case.confirmed.by, name
        assert case.teaches, name
        assert case.id == name


def test_they_span_vehicle_types_families_and_the_hard_kinds(pack, cases):
    types = {v.id for v in pack.vehicles.values() if v.in_scope}
    assert {c.vehicle.type for c in cases.values()} == types
    confirmed = [c.id for case in cases.values() for c in case.confirmed.causes]
    assert {pack.causes[c].family for c in confirmed} == set(pack.families)
    assert sum(len(case.confirmed.causes) > 1 for case in cases.values()) >= 2
    assert confirmed.count("normal_condition") >= 2
    assert any(case.inspections for case in cases.values())
    assert any(case.work_done for case in cases.values())


@pytest.mark.parametrize("name", [file.stem for file in WORKED_CASES])
def test_the_confirmed_cause_is_in_the_top_three(cases, closed_cases, name):
    rank = standing(cases[name], closed_cases[name])
    assert rank <= TOP, table(cases, {name: closed_cases[name]})


def test_it_is_first_for_at_least_four_in_five(cases, closed_cases):
    first = sum(standing(cases[name], a) == 1 for name, a in closed_cases.items())
    assert first >= FIRST_SHARE * len(cases), table(cases, closed_cases)


def test_the_confirmed_cause_itself_is_no_evidence(pack, cases, closed_cases):
    """A closed case and the same one still open give the same probabilities."""
    for name, case in cases.items():
        assert assess(case, pack).now.cause == closed_cases[name].now.cause, name


def test_the_axle_is_found_too_in_three_of_four(cases, closed_cases):
    """Where the first cause is a confirmed one at a wheel end: which end to raise first."""
    right, wrong = [], []
    for name, assessed in closed_cases.items():
        first = order(assessed)[0]
        where = [c.place.group for c in cases[name].confirmed.causes if c.id == first and c.place]
        nodes = [i for i, n in enumerate(assessed.network.nodes) if n.cause == first and n.group]
        if not where or not nodes:
            continue
        best = max(nodes, key=lambda i: assessed.now.node[i])
        (right if assessed.network.nodes[best].group == where[0] else wrong).append(name)
    assert len(right) + len(wrong) >= 10
    assert len(right) >= 3 * len(wrong), wrong
