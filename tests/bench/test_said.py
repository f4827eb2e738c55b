"""What is typed at a step."""

from __future__ import annotations

import pytest

from advisor.bench.said import understand
from advisor.errors import AdvisorError


def values(line, pack, id_="tread-runout", place="steer"):
    return {p: dict(v) for p, v in understand(line, pack.inspections[id_], place).values.items()}


@pytest.mark.parametrize(
    ("line", "left", "right"),
    [
        ("left 0.034 right 0.128", 0.034, 0.128),
        ("left 0.034 in, right 0.128 in", 0.034, 0.128),
        ("left 1 mm right 3.2mm", 1 / 25.4, 3.2 / 25.4),
        ("left=34 thou right=128thou", 0.034, 0.128),
        ("steer_left .034 steer_right .128", 0.034, 0.128),
    ],
)
def test_readings_of_both_ends(pack, line, left, right):
    said = values(line, pack)
    assert said["steer_left"]["tir_in"] == pytest.approx(left)
    assert said["steer_right"]["tir_in"] == pytest.approx(right)


def test_one_end_and_named_measures(pack):
    assert values("0.05", pack, place="drive_left") == {"drive_left": {"tir_in": 0.05}}
    said = values("tread_difference_32 6 diameter_difference_in 0.4", pack, "dual-match", "drive")
    assert said == {"drive": {"tread_difference_32": 6.0, "diameter_difference_in": 0.4}}


def test_celsius_differences_and_grams(pack):
    assert values("20 c", pack, "hub-heat", "steer")["steer"] == {"temperature_difference_f": 36.0}
    ounces = values("left 100 g right 10 oz", pack, "balance-check")
    assert ounces["steer_left"]["balance_oz"] == pytest.approx(100 / 28.349523125)


@pytest.mark.parametrize(
    ("line", "complaint"),
    [
        ("0.034", "which end"),
        ("left 3 oz right 2 oz", "is in in"),
        ("drive_left 0.03", "not part of this step"),
        ("clear left", "stands for the whole step"),
        ("skip later", "no reason to skip"),
        ("fuond", "found"),
    ],
)
def test_what_does_not_fit_is_said_clearly(pack, line, complaint):
    with pytest.raises(AdvisorError, match=complaint):
        understand(line, pack.inspections["tread-runout"], "steer")


def test_duals_and_sides(pack):
    kind = pack.inspections["wheel-nut-check"]
    assert understand("found left inner", kind, "drive").places == ("drive_left_inner",)
    assert understand("found left right", kind, "drive").places == ("drive_left", "drive_right")
    assert understand("found drive_left", kind, "all").places == ("drive_left",)
    with pytest.raises(AdvisorError, match="which axle"):
        understand("found left", kind, "all")
