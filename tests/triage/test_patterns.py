"""Patterns over the fleet against brute force and against scipy's own functions."""

from __future__ import annotations

from itertools import combinations
from math import comb

import pytest

from advisor.triage.patterns import chance_among, chance_of


@pytest.mark.parametrize(("k", "n", "p"), [(3, 10, 0.05), (1, 4, 0.5), (7, 36, 0.05), (4, 4, 0.2)])
def test_binomial_against_the_definition(k, n, p):
    by_hand = sum(comb(n, i) * p**i * (1 - p) ** (n - i) for i in range(k, n + 1))
    assert chance_of(k, n, p) == pytest.approx(by_hand, rel=1e-12)


@pytest.mark.parametrize(("k", "n", "c", "m"), [(3, 5, 1, 6), (4, 6, 0, 5), (2, 4, 2, 7)])
def test_hypergeometric_against_every_way_to_deal_the_units(k, n, c, m):
    marked = set(range(k + c))
    deals = list(combinations(range(n + m), n))
    as_many = sum(len(marked & set(deal)) >= k for deal in deals)
    assert chance_among(k, n, c, m) == pytest.approx(as_many / len(deals), rel=1e-12)


def test_hypergeometric_is_fishers_exact_test_on_one_side():
    """scipy.stats.fisher_exact, alternative 'greater' (Fisher, 1935, as scipy documents it)."""
    from scipy.stats import fisher_exact

    table = [[8, 2], [0, 9]]
    assert chance_among(8, 10, 0, 9) == pytest.approx(fisher_exact(table, "greater").pvalue)


def fleet(batches, calm):
    lines = ["Unit,Tire batch,Complaint"]
    lines += [f"T-{n},{batch},hops at 60 in the seat" for n, batch in enumerate(batches)]
    return lines + [f"R-{n},{batch},radio dead" for n, batch in enumerate(calm)]


def test_a_batch_that_only_vibrating_units_have_is_found(board_of):
    board = board_of(fleet(["W-1"] * 8 + ["W-2"] * 2, ["W-2", "W-3"] * 5))
    found = [p for p in board.patterns if p.kind == "batch"]
    assert [p.what for p in found] == ["tire batch W-1"]
    assert (found[0].count, found[0].out_of, found[0].test) == (8, 10, "hypergeometric")
    assert found[0].chance * found[0].compared <= 0.05


def test_a_batch_that_all_units_have_is_no_pattern(board_of):
    board = board_of(fleet(["W-1"] * 8, ["W-1"] * 8))
    assert not [p for p in board.patterns if p.kind == "batch"]


def test_the_same_wear_at_the_same_axle_is_found(board_of):
    worn = [f"T-{n},lf cupping and shakes at 50" for n in range(8)]
    other = [f"R-{n},hops at 60 in the seat" for n in range(10)]
    board = board_of(["Unit,Complaint", *worn, *other])
    found = [p for p in board.patterns if p.kind == "wear"]
    assert found
    assert (found[0].count, found[0].out_of, found[0].test) == (8, 18, "binomial")
    assert "steer" in found[0].what
