"""What each fault puts on the axle, against figures worked out apart and its own physics."""

from __future__ import annotations

from math import pi, sqrt

import numpy as np
import pytest

from advisor.physics.forward.frame_sources import (
    BentJoint,
    EngineShake,
    FrameMode,
    LoosePart,
    Ringing,
    Running,
    ShaftImbalance,
)
from advisor.physics.forward.pattern import Pattern
from advisor.physics.forward.shimmy import Shimmy
from advisor.physics.forward.sources import Imbalance, OffCenter, OutOfRound, Swing
from advisor.physics.forward.unsteady_sources import Dip, DrumRunout, LooseFit
from advisor.physics.forward.wheel_end import Turning, Wheel

TURN_M = 1609.344 / 512
SPIN_65 = 65 * 0.44704 / TURN_M * 2 * pi
OUNCE_KG = 0.45359237 / 16
WHEEL = Wheel(0.5, 850e3, 21.6, 100.0)


def rolling(turns: int = 8, spin: float = SPIN_65, braking: float = 0.0) -> Turning:
    """Whole turns at a steady speed, 256 samples a turn."""
    n = 256 * turns
    angle = 2 * pi * np.arange(n) / 256
    return Turning(
        angle, np.full(n, spin), angle * 0.5, np.zeros(n, dtype=np.int64), np.full(n, braking), 1.0
    )


def line(values: np.ndarray, order: float, turns: int = 8) -> complex:
    """V of |V| cos(order x turn - arg V), from whole turns."""
    angle = 2 * pi * np.arange(len(values)) / (len(values) / turns)
    return complex(np.conj(2 * np.mean(values * np.exp(-1j * order * angle))))


def random() -> np.random.Generator:
    return np.random.default_rng(4)


def test_fourteen_ounces_at_65_mph_pull_391_newtons():
    """391 N (88 lbf) at a rim radius of 0.292 m: worked by hand from F = m r w^2."""
    up = Imbalance(14 * OUNCE_KG * 0.292).loads(rolling(), WHEEL, random()).up_n
    assert abs(line(up, 1)) == pytest.approx(391, abs=0.5)
    assert up[0] < 0  # the heavy spot is at the road and pulls down


def test_one_millimeter_of_runout_pushes_425_newtons_at_any_speed():
    """k e with TIR = 2 e, by hand."""
    for spin in (20.0, SPIN_65):
        up = OutOfRound(Pattern((0.0005,))).loads(rolling(spin=spin), WHEEL, random()).up_n
        assert line(up, 1) == pytest.approx(425.0, abs=1e-6)


def test_out_of_round_tire_tugs_fore_and_aft():
    """146 N per mm of TIR at 65 mph from I w^2 e / R^2, I = 21.6, by hand."""
    forward = OutOfRound(Pattern((0.0005,))).loads(rolling(), WHEEL, random()).forward_n
    assert abs(line(forward, 1)) == pytest.approx(146, abs=0.5)


def test_off_center_wheel_lifts_less_than_its_runout_and_tugs_more():
    """337 of 850 N/mm cancel at 65 mph for 100 kg, all of it at w = sqrt(k/M): notes section 2."""
    whole = OffCenter(0.001 + 0j, 100.0)
    net = line(whole.loads(rolling(), WHEEL, random()).up_n, 1)
    assert net == pytest.approx(850 - 337, abs=1)
    silent = rolling(spin=sqrt(850e3 / 100.0))
    assert abs(line(whole.loads(silent, WHEEL, random()).up_n, 1)) < 1e-6
    shape = OutOfRound(Pattern((0.001,))).loads(rolling(), WHEEL, random()).forward_n
    both = whole.loads(rolling(), WHEEL, random()).forward_n
    assert abs(line(both, 1)) > abs(line(shape, 1)) + 300


def test_a_short_dip_makes_many_orders_nearly_alike():
    """8 % of the turn: 1 : 0.99 : 0.97 : 0.94 : 0.90 : 0.86, each 0.080 of the depth: notes 2."""
    up = Dip(0.001, 1.0).loads(rolling(), WHEEL, random()).up_n
    orders = np.array([abs(line(up, n)) for n in range(1, 7)])
    assert orders[0] / 850 == pytest.approx(0.080, abs=0.0005)
    assert orders / orders[0] == pytest.approx([1, 0.99, 0.97, 0.94, 0.90, 0.86], abs=0.006)


FAULTS = [
    Imbalance(0.1 * np.exp(0.7j)),
    OutOfRound(Pattern((0.001j, 0.0004, 0.0002 - 0.0001j))),
    OffCenter(0.0007 - 0.0004j, 90.0),
    Dip(0.002, 2.0),
]


@pytest.mark.parametrize("fault", FAULTS, ids=lambda f: type(f).__name__)
def test_the_sum_of_orders_is_the_force_over_time(fault):
    up = fault.loads(rolling(), WHEEL, random()).up_n
    for order, force in fault.lifts(SPIN_65, WHEEL).items():
        assert line(up, order) == pytest.approx(force, abs=0.02 * np.max(np.abs(up)) + 1e-9)


def test_a_part_turned_on_its_carrier_carries_its_shape_along():
    shape, angle = Pattern((0.001j, 0.0004)), np.linspace(0, 6, 50)
    assert shape.turned(0.8).height(angle) == pytest.approx(shape.height(angle - 0.8))
    step = 1e-6
    rise = (shape.height(angle + step) - shape.height(angle - step)) / (2 * step)
    assert shape.slope(angle) == pytest.approx(rise, abs=1e-9)


def test_lateral_runout_rolls_and_steers_but_does_not_lift():
    loads = Swing(Pattern((0.0012,))).loads(rolling(), WHEEL, random())
    assert not loads.up_n.any()
    assert abs(line(loads.roll_n_m, 1)) > 50
    assert abs(line(loads.steer_n_m, 1)) > 10


def test_flat_from_standing_fades_and_a_separation_grows():
    fading = Dip(0.001, 0.0, fades=((0.6, 2000.0), (0.4, 8000.0)))
    assert fading.depth(np.array([0.0, 2000.0])) == pytest.approx(
        [0.001, 0.001 * (0.3 + 0.4 * 0.5**0.25)]
    )
    growing = Dip(0.001, 0.0, grows_per_km=0.02)
    assert growing.depth(np.array([50_000.0])) == pytest.approx([0.002])


def test_a_clumped_medium_lies_elsewhere_after_each_stop():
    turning = rolling(turns=6)
    run = np.repeat([0, 1, 2], len(turning.run) // 3)
    stops = Turning(
        turning.angle_rad, turning.spin_rad_s, turning.distance_m, run, turning.braking, 1.0
    )
    up = Imbalance(0.1 + 0j, wanders=True).loads(stops, WHEEL, random()).up_n
    vectors = [line(part, 1, turns=2) for part in np.split(up, 3)]
    assert np.abs(vectors) == pytest.approx(0.1 * SPIN_65**2)
    apart = [abs(a - b) / abs(a) for a, b in ((vectors[0], vectors[1]), (vectors[1], vectors[2]))]
    assert min(apart) > 0.1


def test_a_loose_wheel_moves_and_stays_within_its_clearance():
    n = 256 * 4000
    angle = 2 * pi * np.arange(n) / 256
    turning = Turning(
        angle, np.full(n, 0.01), angle * 0.5, np.zeros(n, dtype=np.int64), np.zeros(n), 1.0
    )
    up = LooseFit(0.001, 100.0).loads(turning, WHEEL, random()).up_n / 850e3
    assert np.abs(up).max() <= 0.0005 * 1.31
    by_turn = np.abs(np.fft.rfft(up.reshape(-1, 256), axis=1)[:, 1]) / 128
    assert by_turn.max() - by_turn.min() > 0.0001


def test_a_drum_out_of_round_shakes_only_under_the_brake():
    drum = DrumRunout((0.0003 + 0j, 0.0001j))
    assert not drum.loads(rolling(), WHEEL, random()).forward_n.any()
    light, firm = (
        abs(line(drum.loads(rolling(braking=b), WHEEL, random()).forward_n, 1)) for b in (0.2, 0.4)
    )
    assert firm == pytest.approx(2 * light)
    assert light > 10


def running(shaft_hz: float = 30.0, power: float = 1.0, seconds: int = 20) -> Running:
    rate, n = 400.0, 400 * seconds
    angle = 2 * pi * shaft_hz * np.arange(n) / rate
    return Running(
        angle, np.full(n, 2 * pi * shaft_hz), 0.8 * angle, np.full(n, power),
        np.ones(n, dtype=bool), np.random.default_rng(1).normal(size=n), rate,
    )  # fmt: skip


def strongest_hz(values: np.ndarray, rate: float = 400.0) -> float:
    from scipy.signal import welch

    hz, power = welch(values, rate, nperseg=2048)
    return float(hz[power.argmax()])


def test_a_shaft_out_of_balance_shakes_once_a_turn_with_speed_squared():
    slow, fast = (ShaftImbalance(0.01).acceleration(running(hz), random()) for hz in (15.0, 30.0))
    assert strongest_hz(fast) == pytest.approx(30.0, abs=0.2)
    assert fast.std() == pytest.approx(4 * slow.std(), rel=1e-2)


def test_a_bent_joint_shakes_twice_a_turn_and_only_under_torque():
    pulling = BentJoint(0.12).acceleration(running(), random())
    assert strongest_hz(pulling) == pytest.approx(60.0, abs=0.2)
    assert not BentJoint(0.12).acceleration(running(power=0.0), random()).any()


@pytest.mark.parametrize(("power", "share"), [(1.0, 1.0), (0.5, 0.8), (-1.0, 0.6)])
def test_an_engine_shakes_at_its_orders_and_less_when_it_coasts(power, share):
    """Shaft 30 Hz, engine 24: order 3 at 72 Hz. 0.6 of it at no power (assumed), all at full."""
    shaken = EngineShake({3: 0.2, 0.5: 0.01}).acceleration(running(power=power), random())
    assert strongest_hz(shaken) == pytest.approx(72.0, abs=0.2)
    assert shaken.std() == pytest.approx(share * np.hypot(0.2, 0.01) / sqrt(2), rel=1e-3)


@pytest.mark.parametrize("shaft_hz", [12.0, 30.0])
def test_ringing_keeps_its_pitch_at_any_speed(shaft_hz):
    rung = Ringing(65.0, 0.02, 0.3).acceleration(running(shaft_hz), random())
    assert strongest_hz(rung) == pytest.approx(65.0, abs=1.5)
    assert np.sqrt(np.mean(rung**2)) == pytest.approx(0.3)


def test_a_frame_mode_adds_most_at_its_own_frequency():
    assert strongest_hz(FrameMode(7.0, 0.04, 3.0).acceleration(running(), random())) == (
        pytest.approx(7.0, abs=0.5)
    )
    with pytest.raises(ValueError, match="samples a second"):
        FrameMode(300.0, 0.04, 3.0).acceleration(running(), random())


def test_a_loose_part_rattles_in_bursts():
    rattle = LoosePart(0.5).acceleration(running(), random())
    quiet = np.mean(rattle == 0)
    assert 0.5 < quiet < 0.99


def test_shimmy_waits_for_a_bump_and_stops_on_slowing():
    rate = 100.0
    speed = np.concatenate([np.full(3000, 28.0), np.full(2000, 15.0)])
    angle = Shimmy(6.0, 0.02, 19.0, bumps_at_s=(10.0,)).steer_rad(speed, rate)
    assert not angle[:1000].any()
    assert np.abs(angle[2500:3000]).max() == pytest.approx(0.02, rel=0.02)
    assert np.abs(angle[4500:]).max() < 1e-3
    small = Shimmy(6.0, 0.02, 30.0, bumps_at_s=(10.0,)).steer_rad(speed, rate)
    assert np.abs(small[2000:]).max() < 1e-3  # below the onset speed a bump dies out
