"""Every refusal says what is wrong, what is still known, and what to measure again."""

from __future__ import annotations

import math

import numpy as np
import pytest

from advisor.physics.influence import balance_planes, single_plane
from advisor.physics.nophase import trial_runs, two_trial_runs
from advisor.physics.problem import PhysicsError
from advisor.physics.reindex import separate
from advisor.physics.runout import fit_runout, pooled_reading_sd_m
from advisor.physics.twospeed import fit_two_speed

THIRDS = np.radians([0, 120, 240])
CLOCK = np.radians(np.arange(0, 360, 45))
WHERE = {
    "alike runs": lambda: trial_runs(10, THIRDS, [12, 12, 12], 50),
    "close angles": lambda: trial_runs(10, np.radians([0, 5, 10]), [9, 9.2, 9.4], 50),
    "no effect fits": lambda: two_trial_runs(10, (0.0, math.pi), (2.0, 3.0), 1.0),
    "no trial effect": lambda: single_plane(5 + 0j, 5.05 + 0j, 1 + 0j),
    "planes alike": lambda: balance_planes([1, 1], [[2, 3], [3, 5.001]], [1, 2]),
    "nothing read": lambda: separate([]),
    "few positions": lambda: fit_runout(CLOCK[:4], np.zeros(4)),
    "not a number": lambda: fit_runout(CLOCK, [math.nan, *np.zeros(7)]),
    "a wide gap": lambda: fit_runout(CLOCK / 9, np.zeros(8)),
    "no spare readings": lambda: pooled_reading_sd_m([]),
    "many harmonics": lambda: fit_runout(CLOCK, np.zeros(8), highest_order=4),
    "no speed": lambda: fit_two_speed([0.0, 50.0], [0.3, 0.4], 0.02, 0.3),
    "speeds alike": lambda: fit_two_speed([50.0, 51.0], [0.3, 0.4], 0.02, 0.3),
}


@pytest.mark.parametrize("name", WHERE)
def test_a_refusal_is_complete(name):
    with pytest.raises(PhysicsError) as caught:
        WHERE[name]()
    for part in (caught.value.what, caught.value.still, caught.value.remeasure):
        assert (isinstance(part, str) and len(part.split()) > 1) or part == "nothing"
        assert part in str(caught.value)


def test_every_flaw_is_complete():
    found = [
        trial_runs(10, THIRDS, [5, 12, 19], 50),
        trial_runs(10, THIRDS, np.abs(10j + 0.5 * np.exp(1j * THIRDS)), 50),
    ]
    for flaw in (flaw for result in found for flaw in result.flaws):
        assert all(len(t.split()) > 2 for t in (flaw.what, flaw.still, flaw.remeasure)), flaw
