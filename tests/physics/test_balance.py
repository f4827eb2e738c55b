"""Vector sums, forces, what may remain and weight lengths against published figures."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.physics.balance import (
    StaticCouple,
    centrifugal_force_n,
    permissible_residual_kg_m,
    quality_grade_mm_s,
    static_and_couple,
    weight_strip,
    wheel_omega_rad_s,
)

OZ_KG, IN_M, LB_KG, LBF_N = 0.028349523125, 0.0254, 0.45359237, 4.4482216152605


def polar(size: float, degrees: float) -> complex:
    return size * complex(math.cos(math.radians(degrees)), math.sin(math.radians(degrees)))


def rpm(speed: float) -> float:
    return speed * math.pi / 30


def test_permissible_residual_of_a_ten_kilogram_rotor():
    """ISO 21940-11 formula, example of an open engineering-calculation library (amarschn/tools,
    test_permissible_unbalance): 10 kg, 3000 r/min, G 2.5 -> 79.57 g mm (standard not read)."""
    assert permissible_residual_kg_m(2.5, 10, rpm(3000)) * 1e6 == pytest.approx(79.57, abs=0.01)


@pytest.mark.parametrize(
    ("speed", "per_plane"),
    [(150, 126.0), (500, 38.0), (1000, 19.0), (2000, 9.5), (3000, 6.3), (4000, 4.7), (5000, 3.8)],
)
def test_permissible_residual_of_a_thousand_pound_rotor(speed, per_plane):
    """Practical Application of ISO 1940/1, Technical Paper 1, p. 8: G 6.3, oz in per plane; the
    table is printed to two figures."""
    whole = permissible_residual_kg_m(6.3, 1000 * LB_KG, rpm(speed))
    assert whole / 2 / (OZ_KG * IN_M) == pytest.approx(per_plane, rel=0.01)


def test_grade_and_residual_are_inverse_and_refuse_standing_still():
    residual = permissible_residual_kg_m(40, 90, 58.0)
    assert quality_grade_mm_s(residual, 90, 58.0) == pytest.approx(40)
    with pytest.raises(ValueError, match="above zero"):
        permissible_residual_kg_m(40, 90, 0.0)
    with pytest.raises(ValueError, match="above zero"):
        permissible_residual_kg_m(40, 0.0, 58.0)
    with pytest.raises(ValueError, match="above zero"):
        quality_grade_mm_s(residual, 0.0, 58.0)


def test_small_parts_have_a_grade_too():
    """U = G m / w: 0.5 mm/s x 0.4 kg / 0.25 1/s = 0.0008 kg m."""
    assert permissible_residual_kg_m(0.5, 0.4, 0.25) == pytest.approx(0.0008)
    assert quality_grade_mm_s(0.0008, 0.4, 0.25) == pytest.approx(0.5)


def test_centrifugal_force_constant():
    """Technical Paper 1, p. 8: 1.77 lbf per oz in at 1000 r/min."""
    assert centrifugal_force_n(OZ_KG * IN_M, rpm(1000)) / LBF_N == pytest.approx(1.77, abs=0.006)


def test_road_speed_to_wheel_speed():
    """512 revolutions per mile (trade table, secondary): 65 mph is 9.24 turns a second."""
    omega = wheel_omega_rad_s(65 * 0.44704, 1609.344 / 512)
    assert omega / (2 * math.pi) == pytest.approx(65 * 512 / 3600)
    with pytest.raises(ValueError, match="positive"):
        wheel_omega_rad_s(20, 0)


@given(one=st.complex_numbers(max_magnitude=10), two=st.complex_numbers(max_magnitude=10))
def test_static_and_couple_go_there_and_back(one, two):
    back = static_and_couple(one, two).planes()
    assert back[0] == pytest.approx(one) and back[1] == pytest.approx(two)


def test_couple_moment_is_force_times_distance():
    split = static_and_couple(0.05 + 0j, -0.05 + 0j)
    assert split == StaticCouple(0j, 0.05 + 0j)
    force = centrifugal_force_n(0.05, 58.0)
    assert split.moment_n_m(0.21, 58.0) == pytest.approx(force * 0.21)


def test_lighter_metal_needs_the_longer_strip():
    """Volume ratios 1.59 (zinc) and 1.44 (steel) to lead: kg/m3 of the Density of Metals table,
    simetric.co.uk, undated."""
    lead, zinc, steel = (weight_strip(0.1, d, 1e-4, 0.29).length_m for d in (11340, 7135, 7850))
    assert (zinc / lead, steel / lead) == pytest.approx((1.59, 1.44), abs=0.006)
    assert lead == pytest.approx(0.1 / 11340 / 1e-4)


def test_a_long_strip_pulls_less_than_its_mass():
    strip = weight_strip(0.4, 7135, 1e-4, 0.29)
    n = 20_000
    arc = [strip.arc_rad * ((k + 0.5) / n - 0.5) for k in range(n)]
    assert strip.effect_share == pytest.approx(sum(map(math.cos, arc)) / n, rel=1e-6)
    # the arc is what the length covers of the circumference
    assert strip.arc_rad / (2 * math.pi) == pytest.approx(strip.length_m / (2 * math.pi * 0.29))
    assert weight_strip(0, 7135, 1e-4, 0.29).effect_share == 1.0
    with pytest.raises(ValueError, match="right round"):
        weight_strip(2.0, 7135, 1e-4, 0.29)
    for wrong in ((-0.1, 7135, 1e-4, 0.29), (0.1, 0, 1e-4, 0.29), (0.1, 7135, 0, 0.29),
                  (0.1, 7135, 1e-4, 0)):  # fmt: skip
        with pytest.raises(ValueError, match="above zero"):
            weight_strip(*wrong)
