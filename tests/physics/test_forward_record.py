"""Recordings: repeatable, linear, and in agreement with complex responses and the road given."""

from __future__ import annotations

from dataclasses import replace
from math import pi

import numpy as np
import pytest
from scipy.signal import welch

from advisor.physics.forward import drive as driving
from advisor.physics.forward.felt import end_amplitudes, seat_rms
from advisor.physics.forward.pattern import Pattern
from advisor.physics.forward.quarter_car import Corner
from advisor.physics.forward.record import record
from advisor.physics.forward.rig import Axle, Rig, WheelEnd
from advisor.physics.forward.shimmy import Shimmy
from advisor.physics.forward.sources import Imbalance, OutOfRound
from advisor.physics.forward.steer_axle import SteerAxle
from advisor.physics.forward.wheel_end import Wheel

TURN_M = 1609.344 / 512
CORNER = Corner(2000.0, 380.0, 850e3, 230e3, 9e3)
STEER = SteerAxle(380.0, 850e3, 230e3, 9e3, 1.02, 0.42, 456.0, 21.6, 130e3, 23.2)
WHEEL = Wheel(TURN_M / (2 * pi), 850e3, 21.6, 90.0)


def rig(*faults, **changes) -> Rig:
    left = WheelEnd("steer", "left", WHEEL, TURN_M, tuple(faults))
    right = WheelEnd("steer", "right", WHEEL, TURN_M * 1.002)
    made = Rig({"steer": Axle("steer", CORNER, steer=STEER)}, (left, right))
    return replace(made, **changes)


def smooth(*faults) -> Rig:
    """No road and no sensor noise."""
    return rig(*faults, roughness_m3=0.0, sensor_m_s2=0.0)


DRIVE = driving.run_up(20.0, 30.0, 20.0, 200.0)
RUNOUT = OutOfRound(Pattern((0.0012,)))


def test_same_seed_same_bytes_another_seed_another_road():
    first, again, other = (record(rig(RUNOUT), DRIVE, seed) for seed in (3, 3, 4))
    for name in ("up", "sideways", "forward", "rim", "gps_speed_m_s"):
        assert getattr(first, name).tobytes() == getattr(again, name).tobytes()
        assert getattr(first, name).tobytes() != getattr(other, name).tobytes()


def test_faults_add_up_and_leave_the_road_alone():
    mass = Imbalance(0.1j)
    none, one, two, both = (
        record(rig(*f), DRIVE, 3).up for f in ((), (RUNOUT,), (mass,), (RUNOUT, mass))
    )
    assert both - none == pytest.approx((one - none) + (two - none), abs=1e-9)


@pytest.mark.parametrize("mph", [45, 58, 70])
def test_steady_recording_shows_what_the_complex_response_says(mph):
    speed = mph * 0.44704
    drive = replace(driving.steady(speed, 30.0, 400.0), speed_m_s=np.full(12000, speed))
    up = record(smooth(RUNOUT), drive, 1).up[4000:]
    turns = np.arange(4000, 12000) / 400.0 * speed / TURN_M
    found = abs(2 * np.mean((up - up.mean()) * np.exp(-2j * pi * turns)))
    expected = end_amplitudes(smooth(RUNOUT), smooth(RUNOUT).ends[0], np.array([speed]))[1.0][0]
    assert found == pytest.approx(expected, rel=0.01)
    assert seat_rms(smooth(RUNOUT), np.array([speed]))[0] == pytest.approx(expected / 2**0.5)


def test_runout_of_one_wheel_reaches_steering_and_sides():
    still, moved = (record(smooth(*f), DRIVE, 1) for f in ((), (RUNOUT,)))
    assert still.rim.std() < 1e-12
    assert moved.rim.std() > 0.02
    assert moved.sideways.std() > 0.02


def test_shimmy_swings_the_rim_and_the_seat_sideways_and_lifts_nothing():
    """A swing of 0.02 rad at 6 Hz: 0.02 (2 pi 6)^2 = 28.4 rad/s2, times the radius of the rim."""
    swings = replace(smooth(), shimmy=Shimmy(6.0, 0.02, 15.0, bumps_at_s=(1.0,)))
    found = record(swings, DRIVE, 1)
    size = 0.02 * (2 * pi * 6) ** 2
    settled = slice(2000, None)
    assert np.abs(found.rim[settled]).max() == pytest.approx(swings.rim_m_per_rad * size, rel=0.02)
    assert np.abs(found.sideways[settled]).max() == pytest.approx(0.02 * size, rel=0.02)
    assert found.up.std() < 1e-12


def test_road_has_the_density_it_was_asked_for():
    """ISO 8608 form (from memory): G_d(n) = G_0 (n / 0.1)^-2, so vertical speed is white."""
    speed, rough = 25.0, 16e-6
    drive = driving.Drive(
        400.0, np.full(80_000, speed), np.zeros(80_000), np.zeros(80_000), np.ones(80_000, bool)
    )
    height = driving.road_height(drive, np.random.default_rng(0), rough)
    hz, density = welch(height, 400.0, nperseg=4000)
    band = (hz > 2) & (hz < 20)
    expected = rough * (hz[band] / speed / 0.1) ** -2 / speed
    assert np.mean(density[band] / expected) == pytest.approx(1.0, abs=0.05)


def test_gps_logs_once_a_second_with_the_noise_given():
    drive = driving.steady(25.0, 600.0, 50.0)
    time, speed = driving.gps_log(drive, np.random.default_rng(2), noise_m_s=0.1)
    assert np.diff(time) == pytest.approx(1.0)
    assert np.std(speed - drive.speed_m_s[::50]) == pytest.approx(0.1, rel=0.1)


def test_stop_and_go_stops_brakes_and_starts_anew():
    drive = driving.stop_and_go(15.0, 3, 40.0, 50.0)
    assert drive.run[-1] == 3  # one start a leg
    assert (np.diff(drive.run)[drive.speed_m_s[1:] > 1.0] == 0).all()
    assert drive.speed_m_s.min() == 0
    slowing = np.gradient(drive.speed_m_s) < -0.01
    assert (drive.braking[slowing] > 0).mean() > 0.95
    assert driving.coast_down(25.0, 10.0, 30.0, 50.0).engaged.any() == np.False_
    with pytest.raises(ValueError, match="below zero"):
        driving.run_up(-1.0, 10.0, 5.0, 50.0)
