"""Tire and order arithmetic against published figures; each test names its source.

`seen` words as in rules/sources.yaml: (published) the text was read, (secondary) read where it is
quoted, (from memory) not read, (own computation) from the formulas of mechanics.
"""

from __future__ import annotations

from math import cos, degrees, exp, pi, radians, sin

import numpy as np
import pytest
from scipy.optimize import brute

from advisor.compose_notes import bands_between, shaft_note
from advisor.model.choose import of_size
from advisor.orders import order_sheet, speed_range
from advisor.physics import tire
from advisor.physics.balance import centrifugal_force_n, static_and_couple, wheel_omega_rad_s
from advisor.physics.orders import (
    engine_lines,
    engine_orders,
    joint_peak_acceleration,
    joint_speed_ratio,
    near_order,
    paired_joint_acceleration,
    road_lines,
    wheel_hz_per_mph,
)
from advisor.physics.response import Band, band_agreement, felt_over_speed, magnification
from advisor.physics.units import (
    KG_PER_LB,
    KG_PER_OZ,
    M_PER_IN,
    M_PER_MILE,
    M_S_PER_MPH,
    N_PER_LBF,
    kmh_to_mph,
    mph_to_m_s,
)

C_295 = M_PER_MILE / 512  # 295/75R22.5: 512 turns a mile (trade table of revolutions per mile)


# Units


def test_conversions():
    """Naval SI table, Appendix B (published): 0.44704 m/s, 0.453592 kg, 28.3495 g, 4.44822 N;
    63,360 in a mile (tire definitions page, secondary)."""
    assert mph_to_m_s(1) == 0.44704 == M_S_PER_MPH
    assert pytest.approx(0.453592, abs=5e-7) == KG_PER_LB
    assert pytest.approx(0.0283495, abs=5e-8) == KG_PER_OZ
    assert pytest.approx(4.44822, abs=5e-6) == N_PER_LBF
    assert pytest.approx(63_360) == M_PER_MILE / M_PER_IN
    assert kmh_to_mph(1.609344) == pytest.approx(1)


# Tire sizes


@pytest.mark.parametrize(
    ("size", "mm", "within"),
    [
        ("275/80R22.5", 1011, 0.6),  # published worked example, 275 x 0.80 x 2 + 22.5 x 25.4
        ("295/75R22.5", 39.9 * 25.4, 1.3),  # 'Calculating tire speed from vibration' (published)
        ("205/65R15", 25.492 * 25.4, 0.02),  # 'Formula for calculating tire rotational speed'
        ("225/70R19.5", 31.93 * 25.4, 1.3),  # a tire engineer's answer (secondary)
        ("255/70R22.5", 36.8 * 25.4, 7),  # maker's figures in a forum (secondary)
        ("385/65R22.5", 1076, 5),  # maker's table copied in open-source code (secondary)
        ("295/80R22.5", 1044, 1),  # the same
        ("295/60R22.5", 926, 1),  # the same
    ],
)
def test_metric_sizes_against_published_diameters(size, mm, within):
    assert tire.parse_size(size).diameter_m * 1000 == pytest.approx(mm, abs=within)


def test_a_size_is_taken_apart():
    """By what the designations mean: millimeters or inches wide, rim in inches, flotation sizes
    with their diameter."""
    metric = tire.parse_size("295/75 r22.5")
    assert (metric.designation, metric.rim_in, metric.width_mm) == ("295/75R22.5", 22.5, 295)
    inch = tire.parse_size("11r22.5")
    assert (inch.designation, inch.rim_in, inch.diameter_m) == ("11R22.5", 22.5, None)
    assert inch.width_mm == pytest.approx(11 * 25.4)
    wide = tire.parse_size("35x12.50r20")
    assert (wide.designation, wide.rim_in) == ("35X12.50R20", 20)
    assert (wide.diameter_m, wide.width_mm) == pytest.approx((35 * M_PER_IN, 12.5 * 25.4))


def test_metric_sizes_in_the_pack_agree_with_the_formula(pack):
    """Overall diameter = rim + 2 x width x aspect, to what a table rounds away."""
    metric = [t for t in pack.tires.values() if "/" in t.size]
    assert len(metric) >= 30
    for entry in metric:
        computed = tire.parse_size(entry.size).diameter_m / M_PER_IN
        assert entry.overall_diameter_in == pytest.approx(computed, abs=0.011), entry.size


def test_inch_sizes_are_tabulated_and_never_computed(pack):
    """Aspect ratios of 0.84 to 0.98 are in use (two explanations of truck sizes, secondary)."""
    inch = [t for t in pack.tires.values() if "/" not in t.size]
    assert len(inch) >= 10
    for entry in inch:
        size = tire.parse_size(entry.size)
        assert size.diameter_m is None
        aspect = (entry.overall_diameter_in - size.rim_in) * M_PER_IN * 1000 / 2 / size.width_mm
        assert 0.82 < aspect < 1.1, entry.size


@pytest.mark.parametrize(
    ("size", "low", "high"),
    [
        ("11R22.5", 494, 501),  # size chart 494-500; state school bus chart 501 (secondary)
        ("295/75R22.5", 512, 524),  # trade table 512; size chart 515-524 (secondary)
        ("11R24.5", 471, 477),  # size chart (secondary)
        ("285/75R24.5", 488, 495),  # size chart (secondary)
        ("12R22.5", 486, 487),  # maker's sheet 486; state chart 487 (secondary)
        ("255/70R22.5", 567, 567),  # maker's figures in a forum (secondary)
        ("225/70R19.5", 644, 644),  # article (secondary)
        ("8R22.5", 563, 563),  # state school bus chart (secondary)
    ],
)
def test_revolutions_per_mile_of_the_pack_cover_the_published_range(pack, size, low, high):
    rolling = of_size(size, pack)
    turns = M_PER_MILE / rolling.circumference_m
    slack = rolling.tolerance_percent / 100
    assert turns * (1 - slack) <= low + 0.5
    assert turns * (1 + slack) >= high - 0.5


def test_unloaded_turns_are_20168_over_the_diameter():
    """'Calculating revs per mile' (secondary): 20,168 = 63,360/pi divides a DIAMETER.
    'Formula for calculating tire rotational speed' (published): 25.492 in -> 791.7 (printed with a
    diameter rounded on the way; 63,360 / (pi x 25.492) = 791.2)."""
    assert tire.free_revs_per_mile(1.0) == pytest.approx(20_168, abs=0.5)
    assert tire.free_revs_per_mile(25.492) == pytest.approx(791.7, rel=1e-3)


def test_a_loaded_tire_turns_two_to_three_percent_more_than_a_free_one():
    """Wheel rpm = 168 x mph / effective radius (hydraulics reference page, secondary)."""
    free = tire.free_revs_per_mile(41.35)
    loaded = M_PER_MILE / tire.circumference_from_diameter(41.35 * M_PER_IN)
    assert 1.02 < loaded / free < 1.03
    rpm = wheel_hz_per_mph(C_295) * 60
    assert rpm == pytest.approx(168.07 / (C_295 / (2 * pi) / M_PER_IN), rel=1e-4)


@pytest.mark.parametrize(
    ("written", "plain"),
    [("295/75r 22.5 (H)", "295/75R22.5"), ("11r22.5 LR G", "11R22.5"),
     ("315/80R22,5 156/150 L", "315/80R22.5"), ("LT 225/75R16", "LT225/75R16")],
)  # fmt: skip
def test_designations_as_people_write_them(written, plain):
    assert tire.normalize(written) == plain


@pytest.mark.parametrize("written", ["", "banana", "295", "295/75", "4000/90R22.5", "295/75R2.5"])
def test_what_is_no_designation(written):
    assert tire.parse_size(written) is None


def test_no_road_tire_is_four_meters_tall():
    assert not tire.is_plausible(4.0)
    assert not tire.is_plausible(tire.parse_size("999/99R99").diameter_m)
    assert all(tire.is_plausible(m) for m in (0.5, 1.0, 1.3))


# Orders


def test_wheel_orders_of_the_published_example():
    """'Formula for calculating tire rotational speed' (published): 205/65R15 -> 13.195 Hz at 60 mph
    and 16.49 at 75 (unloaded); shaft at ratio 2.78 -> 36.6 Hz at 60."""
    per_mph = wheel_hz_per_mph(M_PER_MILE / 791.7)
    assert per_mph * 60 == pytest.approx(13.195, abs=5e-3)
    assert per_mph * 75 == pytest.approx(16.49, abs=5e-3)
    assert per_mph * 60 * 2.78 == pytest.approx(36.6, abs=0.1)


def test_forty_mph_on_33_inch_tires():
    """Light-truck service texts of 2001 and 2010 (published): 420 rpm, 7 Hz; shaft at 3.08 22 Hz,
    second order 44 Hz. The chart uses the loaded radius."""
    circumference = tire.circumference_from_diameter(33 * M_PER_IN)
    lines = {(line.of, line.order): line.at(40) for line in road_lines(circumference, 3.08)}
    assert lines["wheel", 1] * 60 == pytest.approx(420, rel=0.01)
    assert lines["wheel", 1] == pytest.approx(7, abs=0.1)
    assert lines["shaft", 1] == pytest.approx(22, abs=0.6)  # 420 / 60 x 3.08 = 21.56
    assert lines["shaft", 2] == pytest.approx(44, abs=1.2)


def test_frequency_grows_in_proportion_to_speed():
    """'1.07 Hz for every 5 mph' -> 12.84 Hz at 60 (light-truck service text, published)."""
    lines = road_lines(M_S_PER_MPH * 5 / 1.07, None)
    assert [line.at(60) for line in lines] == pytest.approx([12.84 * n for n in (1, 2, 3, 4)])


def test_the_table_at_65_mph():
    """295/75R22.5 at 512 turns a mile (own computation): 9.24 Hz; shafts of four ratios."""
    for ratio, first, second in [(2.64, 24.4, 48.8), (3.36, 31.1, 62.1), (3.70, 34.2, 68.4),
                                 (4.10, 37.9, 75.8)]:  # fmt: skip
        lines = {(line.of, line.order): line.at(65) for line in road_lines(C_295, ratio)}
        assert lines["wheel", 1] == pytest.approx(9.24, abs=0.01)
        assert lines["shaft", 1] == pytest.approx(first, abs=0.06)
        assert lines["shaft", 2] == pytest.approx(second, abs=0.06)


def test_orders_meet_the_hop_band_where_the_trade_feels_them():
    """Order 1 passes 7 Hz at 49 mph and 10 Hz at 70; order 2 passes 10 Hz at 35 and order 3 at 23
    (own computation)."""
    turn = wheel_hz_per_mph(C_295)
    speeds = [7 / turn, 10 / turn, 10 / (2 * turn), 10 / (3 * turn)]
    assert [round(s) for s in speeds] == [49, 70, 35, 23]


@pytest.mark.parametrize(("cylinders", "order"), [(4, 2), (6, 3), (8, 4), (10, 5)])
def test_firing_orders(cylinders, order):
    """'Engine speed related vibrations', service text 2021 (published)."""
    assert engine_orders(cylinders)[order] == f"engine firing, order {order}"
    lines = engine_lines(C_295, 3.36, 0.73, cylinders)
    assert [(line.of, line.order) for line in lines] == [("engine", n) for n in (0.5, 1, order)]
    assert {line.order: line.name for line in lines} == engine_orders(cylinders)


def test_eight_cylinders_at_1200_rpm():
    """80 Hz (light-truck service text, published)."""
    assert max(engine_orders(8)) * 1200 / 60 == 80


def test_engine_follows_road_speed_through_the_gears():
    lines = {line.order: line.at(65) for line in engine_lines(C_295, 3.36, 0.73, 6)}
    rpm = 65 * 512 / 60 * 3.36 * 0.73
    assert lines[1.0] * 60 == pytest.approx(rpm)
    assert lines[3.0] == pytest.approx(3 * lines[1.0])


@pytest.mark.parametrize(
    ("ratio", "order", "percent"), [(3.08, 3, 2.6), (2.93, 3, -2.3), (4.10, 4, 2.5)]
)
def test_ratios_that_sit_on_a_wheel_order(ratio, order, percent):
    """3.08 sits 2.6 % from wheel order 3, 2.93 2.3 % below it, 4.10 2.5 % from order 4 (own
    computation)."""
    found = near_order(ratio)
    assert found[0] == order
    assert found[1] == pytest.approx(percent, abs=0.07)
    noted = shaft_note(bands_between(road_lines(C_295, ratio), _rolling(), 55, 65), ratio)
    assert [b.order for b in noted if "hard to tell apart" in b.note] == [1]


@pytest.mark.parametrize("ratio", [3.36, 3.55, 3.70, 2.64, 5.38, 3.11, 0.4])
def test_ratios_that_do_not(ratio):
    assert near_order(ratio) is None


def _rolling():
    from advisor.model.choose import Rolling

    return Rolling(C_295, 2.5, "test")


def test_the_order_sheet(pack):
    bands, diagram = order_sheet(pack, "linehaul_tractor", "295/75r22.5", "55-65", 3.36)
    wheel = bands[0]
    assert (wheel.of, wheel.order) == ("wheel", 1)
    assert wheel.hz_low == pytest.approx(7.82, abs=0.01)  # 55 mph, own computation
    assert wheel.hz_high == pytest.approx(9.24, abs=0.01)
    assert diagram.band_mph == (55, 65)
    assert {b.of for b in bands} == {"wheel", "shaft"}


def test_speeds_on_the_command_line():
    assert speed_range("62") == (62, 62)
    assert speed_range("55-65 mph") == (55, 65)
    assert speed_range("90 to 100 km/h") == pytest.approx((55.92, 62.14), abs=0.01)


# Universal joint


def test_joint_speeds_at_25_degrees():
    """25 deg at 100 rad/s: 110.3 and 90.6 rad/s (own computation from the speed ratio of the
    Mechanical Engineer's Data Handbook p. 72, published)."""
    ratios = [joint_speed_ratio(radians(25), t) for t in np.linspace(0, pi, 721)]
    assert 100 * max(ratios) == pytest.approx(110.3, abs=0.05)
    assert 100 * min(ratios) == pytest.approx(90.6, abs=0.05)
    assert max(ratios) == pytest.approx(1 / cos(radians(25)))


def test_joint_example_of_the_textbook():
    """Khurmi & Gupta, Theory of Machines (from memory): 20 deg, 1,500 rpm, 12 kg at a radius of
    gyration of 0.1 m: 3,090 rad/s2 and 371 N m with the approximate angle; exact 3,083 and 370."""
    peak = joint_peak_acceleration(radians(20), 1500 / 60 * 2 * pi)
    assert peak == pytest.approx(3090, rel=3e-3)
    assert peak * 12 * 0.1**2 == pytest.approx(371, rel=3e-3)


@pytest.mark.parametrize("angle", [0.5, 3, 8, 20, 25, 40])
def test_peak_acceleration_against_a_search(angle):
    """scipy.optimize.brute over one turn of the textbook expression."""
    b, w = radians(angle), 100.0

    def falling(t):
        return (
            -(w**2) * cos(b) * sin(b) ** 2 * np.sin(2 * t) / (1 - sin(b) ** 2 * np.cos(t) ** 2) ** 2
        )

    _, lowest, _, _ = brute(lambda t: falling(t[0]), ((0, pi),), Ns=2001, full_output=True)
    assert joint_peak_acceleration(b, w) == pytest.approx(-lowest, rel=1e-6)


def test_small_angles_at_2000_rpm():
    """13, 53, 120, 335 and 858 rad/s2 at 1, 2, 3, 5 and 8 deg (own computation)."""
    w = 2000 / 60 * 2 * pi
    found = [joint_peak_acceleration(radians(a), w) for a in (1, 2, 3, 5, 8)]
    assert found == pytest.approx([13, 53, 120, 335, 858], abs=0.6)
    assert found[0] == pytest.approx(w**2 * radians(1) ** 2, rel=1e-3)
    back = [degrees((limit / w**2) ** 0.5) for limit in (300, 400, 500)]
    assert back == pytest.approx([4.74, 5.47, 6.12], abs=0.005)


def test_two_joints_cancel_in_phase_and_add_out_of_it():
    """Second-order driveline vibration, light-truck service text 1999 (secondary)."""
    w, b = 200.0, radians(4)
    assert paired_joint_acceleration(b, b, w) == 0
    assert paired_joint_acceleration(b, b, w, in_phase=False) == pytest.approx(2 * w**2 * b**2)
    assert joint_peak_acceleration(0, w) == 0


# Forces (own computation from the formulas; the limits are those of RP 214C as reprinted)

SPEEDS_MPH = (40, 55, 65, 75)
RIM_M, TREAD_M, STIFFNESS_N_M = 0.292, 0.500, 850e3


@pytest.mark.parametrize(
    ("ounces", "radius", "newtons"),
    [
        (10, RIM_M, (106, 200, 279, 372)),
        (10, TREAD_M, (181, 342, 478, 637)),
        (14, RIM_M, (148, 280, 391, 521)),
        (14, TREAD_M, (254, 479, 670, 891)),
        (18, RIM_M, (190, 360, 503, 669)),
        (18, TREAD_M, (326, 616, 861, 1146)),
    ],
)
def test_force_of_imbalance(ounces, radius, newtons):
    found = [
        centrifugal_force_n(ounces * KG_PER_OZ * radius, wheel_omega_rad_s(mph_to_m_s(v), C_295))
        for v in SPEEDS_MPH
    ]
    assert found == pytest.approx(newtons, abs=0.6)


def test_force_constant_of_balancing_texts():
    """F (lbf) = 1.77 x (rpm/1000)^2 x U (oz in) (balancing paper p. 8, secondary; exact 1.775)."""
    force = centrifugal_force_n(KG_PER_OZ * M_PER_IN, 1000 / 60 * 2 * pi) / N_PER_LBF
    assert force == pytest.approx(1.77, abs=0.01)


@pytest.mark.parametrize(
    ("ounces", "radius", "mph"),
    [
        (10, RIM_M, (57, 80, 98, 127)),
        (10, TREAD_M, (43, 61, 75, 97)),
        (14, RIM_M, (48, 68, 83, 107)),
        (18, TREAD_M, (32, 46, 56, 72)),
    ],
)
def test_speed_at_which_imbalance_pulls_as_hard_as_runout_pushes(ounces, radius, mph):
    """Runout: force = stiffness x half the total indicated runout, whatever the speed."""
    for tir_mm, expected in zip((0.5, 1.0, 1.5, 2.5), mph, strict=True):
        force = STIFFNESS_N_M * tir_mm / 2000
        omega = (force / (ounces * KG_PER_OZ * radius)) ** 0.5
        assert omega * C_295 / (2 * pi) / M_S_PER_MPH == pytest.approx(expected, abs=0.6)


def test_at_the_limits_a_steer_assembly_has_more_runout_than_imbalance():
    """0.095 in against 14 oz at 65 mph: 2.6 times (own computation)."""
    omega = wheel_omega_rad_s(mph_to_m_s(65), C_295)
    runout = STIFFNESS_N_M * 0.095 * M_PER_IN / 2
    imbalance = centrifugal_force_n(14 * KG_PER_OZ * RIM_M, omega)
    assert runout / imbalance == pytest.approx(2.6, abs=0.05)
    one_thousandth = STIFFNESS_N_M * 0.001 * M_PER_IN / 2
    assert one_thousandth / centrifugal_force_n(KG_PER_OZ * RIM_M, omega) == pytest.approx(
        0.39, abs=0.005
    )


def test_couple_of_two_weights_opposed():
    """2 x 7 oz opposed, 0.21 m apart, at 65 mph: 41 N m (own computation)."""
    omega = wheel_omega_rad_s(mph_to_m_s(65), C_295)
    u = 7 * KG_PER_OZ * RIM_M
    split = static_and_couple(complex(u), complex(-u))
    assert abs(split.static_kg_m) == 0
    assert split.moment_n_m(0.21, omega) == pytest.approx(41, abs=0.5)


# Response: a quarter of a loaded truck, written out here once more from its equations

MASS_SPRUNG, MASS_UNSPRUNG, SPRING, DAMPER = 2000.0, 380.0, 230e3, 9e3
TABLE_MPH = np.array([50.0, 55, 60, 65, 70, 75])


def frame_acceleration(force_n, mph):
    """|acceleration| over the axle under a force on the unsprung mass."""
    found = []
    for push, v in zip(force_n, mph, strict=True):
        w = wheel_omega_rad_s(mph_to_m_s(v), C_295)
        coupling = SPRING + 1j * w * DAMPER
        matrix = [
            [coupling - MASS_SPRUNG * w**2, -coupling],
            [-coupling, coupling + STIFFNESS_N_M - MASS_UNSPRUNG * w**2],
        ]
        found.append(abs(np.linalg.solve(matrix, [0, push])[0]) * w**2)
    return np.array(found)


def imbalance_n(ounces, radius, mph):
    return [
        centrifugal_force_n(ounces * KG_PER_OZ * radius, wheel_omega_rad_s(mph_to_m_s(v), C_295))
        for v in mph
    ]


def test_the_quarter_model_itself():
    """Its table (own computation): m/s2 over the axle from one wheel."""
    runout = frame_acceleration([STIFFNESS_N_M * 0.095 * M_PER_IN / 2] * 6, TABLE_MPH)
    assert runout == pytest.approx([0.47, 0.54, 0.55, 0.50, 0.43, 0.37], abs=0.006)
    rim = frame_acceleration(imbalance_n(14, RIM_M, TABLE_MPH), TABLE_MPH)
    assert rim == pytest.approx([0.11, 0.15, 0.18, 0.19, 0.19, 0.19], abs=0.006)
    tread = frame_acceleration(imbalance_n(18, TREAD_M, TABLE_MPH), TABLE_MPH)
    assert tread == pytest.approx([0.23, 0.32, 0.39, 0.42, 0.42, 0.41], abs=0.006)


@pytest.mark.parametrize("force", ["constant", "speed_squared"])
def test_the_one_mode_shape_follows_the_quarter_model(force):
    """8.41 Hz at 0.24 of critical damping: within 2 % of the two-mass model over 50-75 mph."""
    band = [Band(8.41, 8.41, 0.24)]
    shape = felt_over_speed(TABLE_MPH, wheel_hz_per_mph(C_295), force, band)
    push = [1.0] * 6 if force == "constant" else imbalance_n(1, 1, TABLE_MPH)
    full = frame_acceleration(push, TABLE_MPH)
    assert shape == pytest.approx(full / full.max(), abs=0.02)


def test_runout_peaks_and_fades_while_imbalance_holds():
    """Runout falls by 31 % from 55 to 75 mph, imbalance rises by 29 % (own computation)."""
    band, turn = [Band(8.41, 8.41, 0.24)], wheel_hz_per_mph(C_295)
    runout = felt_over_speed(TABLE_MPH, turn, "constant", band)
    imbalance = felt_over_speed(TABLE_MPH, turn, "speed_squared", band)
    assert TABLE_MPH[runout.argmax()] == 60
    assert runout[-1] / runout[1] == pytest.approx(1 - 0.31, abs=0.02)
    assert imbalance[-1] / imbalance[1] == pytest.approx(1.29, abs=0.03)


def test_magnification_of_one_mode():
    """1 at rest, 1/(2 zeta) at resonance, falling as 1/r^2 far above (any vibration text)."""
    f = np.array([1e-6, 10.0, 1000.0])
    assert magnification(f, 10.0, 0.1) == pytest.approx([1.0, 5.0, 1e-4], rel=2e-3)


def test_without_a_known_mode_the_force_alone_shapes_the_response():
    speeds = np.array([20.0, 40.0, 80.0])
    shape = felt_over_speed(speeds, 0.14, "speed_squared", [], corner_hz=1e9)
    assert shape == pytest.approx([1 / 16, 1 / 4, 1.0])


def test_the_largest_response_is_one_however_small_the_force():
    shape = felt_over_speed(np.array([20.0, 40.0]), 0.001, "speed_squared", [], corner_hz=1e9)
    assert shape == pytest.approx([1 / 4, 1.0])


def test_agreement_of_a_band_by_hand():
    """At the edge a speed is half inside; one blur further in, 1 / (1 + 1/e) of it is."""
    speeds, felt, step = np.array([50.0, 53.0]), np.array([0.0, 1.0]), 1 / (1 + exp(-1))
    expected = step / (0.5 + step) * (1 - (1 - step) / (0.5 + 1 - step))
    assert band_agreement(speeds, felt, 50, 500, blur_mph=3.0) == pytest.approx(expected)
    falling = band_agreement(-speeds, felt, -500, -50, blur_mph=3.0)  # the upper edge alike
    assert falling == pytest.approx(expected)
    assert band_agreement(speeds, np.ones(2), 50, 500) == pytest.approx(0.0)


def test_agreement_of_a_band_is_best_where_the_curve_is():
    speeds = np.arange(10.0, 80.0)
    curve = np.exp(-(((speeds - 60) / 4) ** 2))
    right = band_agreement(speeds, curve, 55, 65)
    assert right > 0.4
    assert right > band_agreement(speeds, curve, 40, 50) + 0.35
    assert right > band_agreement(speeds, curve, 20, 75)
