"""What the values themselves give away: clipping, unit, vertical axis, dead columns."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence

import numpy as np

from advisor.intake.recording_finding import Finding
from advisor.intake.recording_layout import problem
from advisor.intake.recording_time import EvenSamples
from advisor.intake.recording_units import ACCELERATION_UNITS, unit_in
from advisor.physics.sampling import MIN_SAMPLE_RATE_HZ, jitter_noise_db
from advisor.physics.units import STANDARD_GRAVITY_M_S2

LARGEST_M_S2 = 500.0  # beyond any cab or frame reading on the road; source: own choice
CLIP_RUN, CLIP_RUNS = 3, 3
_VERTICAL = re.compile(r"vertical|z(?![a-z])", re.I)


def clipped_samples(values: np.ndarray) -> int:
    """How many samples of (n,) sit in runs of three or more at the largest or smallest value.

    Zero when there are fewer than three such runs, or when the steps of the recorder are so coarse
    (20 or fewer in all) that equal extremes prove nothing. Own rule.
    """
    total = 0
    for extreme in (values.max(), values.min()):
        at = values == extreme
        if at.sum() < CLIP_RUN * CLIP_RUNS:
            continue
        edges = np.flatnonzero(np.diff(np.concatenate([[False], at, [False]]).astype(np.int8)))
        runs = edges[1::2] - edges[::2]
        long = runs[runs >= CLIP_RUN]
        if len(long) >= CLIP_RUNS:
            total += int(long.sum())
    if total and len(np.unique(values[:: max(1, len(values) // 5000)])) <= 20:
        return 0
    return total


def clipping_findings(names: Sequence[str], values: np.ndarray) -> list[Finding]:
    """A finding for every clipped axis of values (axes, n)."""
    found = []
    for name, axis in zip(names, values, strict=True):
        count = clipped_samples(axis)
        if count:
            found.append(
                Finding(
                    f'"{name}" is clipped: {count} samples stand at the end of the range',
                    "frequencies of the strongest lines stand; amplitudes read low and false "
                    "multiples of strong lines appear",
                    "record again with a wider range or a softer mounting",
                )
            )
    return found


def guess_unit(mean_vector: np.ndarray) -> str:
    """ "g" or "m/s2" when the mean of the axes shows gravity, else ""."""
    size = float(np.linalg.norm(mean_vector))
    for unit in ("g", "m/s2"):
        if abs(size * ACCELERATION_UNITS[unit] / STANDARD_GRAVITY_M_S2 - 1) < 0.1:
            return unit
    return ""


def vertical_axis(mean_m_s2: np.ndarray, names: Sequence[str]) -> tuple[int, list[Finding]]:
    """Axis along gravity, else one whose name says so, else -1; and a finding when tilted."""
    size = float(np.linalg.norm(mean_m_s2))
    if abs(size / STANDARD_GRAVITY_M_S2 - 1) < 0.15:
        axis = int(np.argmax(np.abs(mean_m_s2)))
        tilt_deg = math.degrees(math.acos(min(1.0, abs(mean_m_s2[axis]) / size)))
        if tilt_deg <= 20:
            return axis, []
        return axis, [
            Finding(
                f'the recorder is tilted {tilt_deg:.0f} degrees, "{names[axis]}" is nearest to '
                "vertical",
                "frequencies and orders stand; vertical and lateral are mixed",
                "fix the recorder flat and square to the vehicle",
            )
        ]
    named = [k for k, name in enumerate(names) if _VERTICAL.search(name)]
    return (named[0] if len(named) == 1 else -1), []


def sampling_findings(sample_rate_hz: float, jitter_s: float) -> list[Finding]:
    """Sampling too slow, time stamps too uneven."""
    found = []
    if sample_rate_hz < 0.99 * MIN_SAMPLE_RATE_HZ:
        found.append(
            Finding(
                f"{sample_rate_hz:.1f} samples a second: whatever is faster than "
                f"{sample_rate_hz / 2:.1f} Hz folds down and may look like a wheel order",
                "a line that moves with road speed in two gears alike stands",
                f"record at {MIN_SAMPLE_RATE_HZ:.0f} a second or more, or again at another rate: "
                "a true line does not move",
            )
        )
    if jitter_s > 0 and jitter_noise_db(30.0, jitter_s) > -20:
        found.append(
            Finding(
                f"time stamps scatter by {jitter_s * 1000:.1f} ms",
                f"noise {-jitter_noise_db(10.0, jitter_s):.0f} dB below a 10 Hz line, "
                f"{max(0.0, -jitter_noise_db(30.0, jitter_s)):.0f} dB below one at 30 Hz",
                "close other applications on the recorder",
            )
        )
    return found


def live_axes(
    path: str, names: tuple[str, ...], even: EvenSamples, findings: list[Finding]
) -> tuple[tuple[str, ...], EvenSamples]:
    """Leave out axes that never change; nothing left is an error."""
    sound = even.values if even.valid is None else even.values[:, even.valid]
    moving = [k for k, axis in enumerate(sound) if np.ptp(axis) > 0]
    if len(moving) == len(names):
        return names, even
    dead = ", ".join(f'"{n}"' for k, n in enumerate(names) if k not in moving)
    if not moving:
        raise problem(
            path, f"{dead} never changes: wrong column or dead sensor", field="axes",
            hint="name the acceleration columns",
        )  # fmt: skip
    findings.append(Finding(f"{dead} never changes", "the other axes stand", "check the sensor"))
    kept = EvenSamples(
        even.values[moving], even.valid, even.start_s, even.sample_rate_hz, even.jitter_s, ()
    )
    return tuple(names[k] for k in moving), kept


def calibrate(
    even: EvenSamples,
    names: tuple[str, ...],
    said: str,
    guesses: list[str],
    findings: list[Finding],
) -> tuple[str, np.ndarray]:
    """Scale to m/s2 in place: (unit, mean vector)."""
    sound = even.values if even.valid is None else even.values[:, even.valid]
    mean = sound.mean(axis=1)
    unit = said or unit_in(names[0])
    if unit not in ACCELERATION_UNITS:
        unit = guess_unit(mean)
        if not unit:
            findings.append(
                Finding(
                    "the acceleration says no unit and shows no gravity",
                    "frequencies and orders stand; amplitudes only compare within this file",
                    "give the acceleration unit",
                )
            )
            return "unknown", mean
        guesses.append(f"acceleration taken to be in {unit}: gravity shows")
    scale = ACCELERATION_UNITS[unit]
    even.values[...] *= scale
    largest = float(max(even.values.max(), -even.values.min()))
    if largest > LARGEST_M_S2:
        findings.append(
            Finding(
                f"acceleration up to {largest:.0f} m/s2: wrong unit, wrong column or a knock",
                "frequencies stand; amplitudes are doubtful",
                "check unit and column",
            )
        )
    return "m/s2", mean * scale
