"""What waiting costs against what looking costs: ranges, duty, overlay."""

from __future__ import annotations

import numpy as np
import pytest

from advisor.errors import InputProblems
from advisor.model.network import Node
from advisor.model.worth import Range
from advisor.plan.worth import estimate, losses
from advisor.rulebook.overlay import apply_overlay


def test_every_cause_has_a_loss_and_every_figure_its_source(pack):
    assert set(losses(pack, "line_haul")) == set(pack.causes)
    entries = [*pack.worth.figures, *pack.worth.losses, *pack.worth.hearsay]
    assert all(entry.source in pack.sources for entry in entries)
    assert all(entry.seen == "judgement" for entry in pack.worth.figures)


def test_a_line_haul_fleet_counts_tire_life_and_a_refuse_truck_little(pack):
    haul, refuse = (losses(pack, duty)["imbalance"][1] for duty in ("line_haul", "refuse"))
    assert haul > 2 * refuse


def test_ranges_are_in_order_and_a_wrong_order_is_refused(pack):
    for duty in ("line_haul", "coach", "private"):
        for low, typical, high in losses(pack, duty).values():
            assert 0 <= low <= typical <= high
    with pytest.raises(ValueError, match="rising order"):
        Range(low=2, typical=1, high=3)


def test_the_estimate_is_the_sum_over_causes(pack):
    loss = {"imbalance": (10.0, 20.0, 40.0), "wheel_bearing": (100.0, 200.0, 400.0)}
    nodes = (Node("imbalance", "steer"), Node("wheel_bearing", "drive"))
    present, found = np.array([0.5, 0.1]), np.array([0.4, 1.0])
    made = estimate(pack.worth, loss, "line_haul", nodes, present, found, 30.0)
    assert made.waiting == (15.0, 30.0, 60.0)
    assert made.avoided == (12.0, 24.0, 48.0)
    minute = pack.worth.figure("bay_minute").range
    assert made.looking == (30 * minute.low, 30 * minute.typical, 30 * minute.high)
    assert made.per_minute == pytest.approx((0.4, 0.8, 1.6))


def test_hearsay_is_marked_and_never_counted(pack):
    told = [h for h in pack.worth.hearsay if "2 to 2.5 percent" in h.says]
    assert told
    assert told[0].source == "hearsay"
    slow = next(loss for loss in pack.worth.losses if "imbalance" in loss.causes)
    assert slow.fuel is None or slow.fuel.high == 0


def test_a_shop_puts_in_its_own_figures(pack, tmp_path):
    file = tmp_path / "shop.yaml"
    file.write_text(
        "worth:\n  bay_minute: {low: 5, typical: 5, high: 5}\n"
        "  tire_set.refuse: {low: 0, typical: 0, high: 0}\n"
    )
    changed = apply_overlay(pack, file).worth
    assert changed.figure("bay_minute").for_duty("coach").typical == 5
    assert changed.figure("tire_set").for_duty("refuse").high == 0
    assert changed.figure("tire_set").for_duty("line_haul") == pack.worth.figure(
        "tire_set"
    ).for_duty("line_haul")


def test_an_unknown_figure_in_an_overlay_is_told(pack, tmp_path):
    file = tmp_path / "shop.yaml"
    file.write_text("worth:\n  bay_minutes: {low: 1, typical: 2, high: 3}\n")
    with pytest.raises(InputProblems, match='did you mean "bay_minute"'):
        apply_overlay(pack, file)
