"""The coupled steer axle: closed forms, conservation, and scipy as the reference in time."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from advisor.physics.forward.steer_axle import SteerAxle, axle_modes, axle_response, shake_axle

AXLE = SteerAxle(380.0, 850e3, 230e3, 9e3, 1.02, 0.42, 456.0, 21.6, 130e3, 23.2)
SPIN_65_MPH = 65 * 0.44704 / (1609.344 / 512) * 2 * pi


def undamped(axle: SteerAxle) -> SteerAxle:
    fields = {**axle.__dict__, "damper_n_s_per_m": 0.0, "steering_damping_ratio": 0.0}
    return SteerAxle(**fields)


def test_modes_at_rest_and_at_speed():
    """8.48 hop, 10.14 tramp, 11.92 shimmy at rest; 8.48, 9.07, 13.33 at 65 mph: worked
    out by another program from the same assumed stiffness (own figures, not published)."""
    assert [m.hz for m in axle_modes(AXLE)] == pytest.approx([8.48, 10.14, 11.92], abs=0.01)
    at_speed = [m.hz for m in axle_modes(AXLE, SPIN_65_MPH)]
    assert at_speed == pytest.approx([8.48, 9.07, 13.33], abs=0.015)


@given(st.floats(0, 90))
def test_spin_parts_tramp_and_shimmy_by_the_gyroscopic_law(spin):
    """Two undamped modes with coupling h: w1^2 w2^2 is unchanged, w1^2 + w2^2 grows by
    h^2 / (I1 I2) (characteristic equation of a gyroscopic pair)."""
    axle = undamped(AXLE)
    roll, steer = axle.stiffness()[1, 1] / 456.0, 130e3 / 23.2
    squares = sorted((2 * pi * m.hz) ** 2 for m in axle_modes(axle, spin))
    hop = 2 * (850e3 + 230e3) / 760.0
    squares.remove(min(squares, key=lambda w: abs(w - hop)))
    h = 2 * 21.6 * spin
    assert squares[0] * squares[1] == pytest.approx(roll * steer, rel=1e-6)
    assert sum(squares) == pytest.approx(roll + steer + h**2 / (456.0 * 23.2), rel=1e-6)


def test_gyroscopic_coupling_does_no_work():
    coupling = undamped(AXLE).damping(SPIN_65_MPH)
    assert np.array_equal(coupling, -coupling.T)
    assert coupling[1, 2] == pytest.approx(2 * 21.6 * SPIN_65_MPH)


def test_time_steps_follow_scipy_while_the_spin_changes():
    """scipy.integrate.solve_ivp with the spin running up from 30 to 60 rad/s."""
    rate, n = 500.0, 2000
    time = np.arange(n) / rate
    spin = np.linspace(30.0, 60.0, n)
    load = np.column_stack(
        [300 * np.cos(50 * time), 200 * np.cos(57 * time), 30 * np.sin(60 * time)]
    )
    inverse = np.linalg.inv(AXLE.mass())

    def rates(t, y):
        now = [np.interp(t, time, load[:, k]) for k in range(3)]
        push = now - AXLE.stiffness() @ y[:3] - AXLE.damping(np.interp(t, time, spin)) @ y[3:]
        return np.concatenate([y[3:], inverse @ push])

    out = solve_ivp(rates, (0, time[-1]), np.zeros(6), t_eval=time, rtol=1e-7, atol=1e-9)
    expected = np.array([rates(t, y)[3:] for t, y in zip(time, out.y.T, strict=True)])
    found = shake_axle(AXLE, load, spin, rate)
    for k in range(3):
        error = np.sqrt(np.mean((found[:, k] - expected[:, k]) ** 2))
        assert error < 0.05 * np.std(expected[:, k])


def test_time_steps_settle_at_the_complex_response():
    rate, hz = 500.0, 9.0
    time = np.arange(6000) / rate
    load = np.outer(np.cos(2 * pi * hz * time), [100.0, 80.0, 20.0])
    found = shake_axle(AXLE, load, np.full(6000, SPIN_65_MPH), rate)[4000:]
    wave = np.exp(-2j * pi * hz * time[4000:])
    moved = axle_response(AXLE, hz, SPIN_65_MPH, np.array([100.0, 80.0, 20.0]))
    expected = -((2 * pi * hz) ** 2) * moved
    assert 2 * np.mean(found * wave[:, None], axis=0) == pytest.approx(expected, rel=0.02)
