"""Uneven time stamps, gaps, doubled and unsorted lines brought to one even grid."""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np

from advisor.intake.recording_finding import Finding
from advisor.intake.recording_layout import problem
from advisor.physics.sampling import timing_jitter_s

LONGEST_GAP_S = 60.0  # longer breaks end the recording; source: own choice
EVEN_WITHIN = 0.02  # share of a sample step a stamp may miss before samples are interpolated
GAP_STEPS = 3.0
FEWEST_SAMPLES = 16
CLOSEST = 0.25  # of a sample step


@dataclass(frozen=True)
class EvenSamples:
    """values (axes, n) on an even grid, the mean in gaps; valid (n,) or None without a gap.

    start_s: stamp of the first sample; jitter_s: scatter of the stamps.
    """

    values: np.ndarray
    valid: np.ndarray | None
    start_s: float
    sample_rate_hz: float
    jitter_s: float
    findings: tuple[Finding, ...]


def even_samples(path: str, time_s: np.ndarray, values: np.ndarray, first_line: int) -> EvenSamples:
    """Bring samples (axes, n) with stamps (n,) to an even grid.

    Rows with NaN count as missing. Cubic splines where stamps are uneven (scipy). Raises
    InputProblems when the stamps do not rise or fewer than 16 samples remain.
    """
    findings: list[Finding] = []
    time_s, values = _sorted_rows(path, time_s, values, first_line, findings)
    _refuse_few(path, time_s)
    time_s, values = _distinct_rows(path, time_s, values, findings)
    _refuse_few(path, time_s)
    step_s = float(np.median(np.diff(time_s)))
    pieces = _pieces(time_s, step_s, findings)
    first, stop = pieces[0][0], pieces[-1][1]
    time_s, values = time_s[first:stop], values[:, first:stop]
    pieces = [(a - first, b - first) for a, b in pieces]
    rate_hz, jitter_s = _clock_rate(time_s, pieces)
    place = (time_s - time_s[0]) * rate_hz
    if len(pieces) == 1 and np.abs(place - np.arange(len(place))).max() < EVEN_WITHIN:
        return EvenSamples(values, None, float(time_s[0]), rate_hz, jitter_s, tuple(findings))
    even, valid = _interpolate(place, values, pieces)
    whole = None if valid.all() else valid
    return EvenSamples(even, whole, float(time_s[0]), rate_hz, jitter_s, tuple(findings))


def _refuse_few(path: str, time_s: np.ndarray) -> None:
    if len(time_s) < FEWEST_SAMPLES:
        raise problem(
            path,
            f"{len(time_s)} usable samples",
            allowed=f"at least {FEWEST_SAMPLES}",
            hint="record at least 10 s; nothing can be said",
        )


def _clock_rate(time_s: np.ndarray, pieces: list[tuple[int, int]]) -> tuple[float, float]:
    """Sample rate over all pieces, and scatter of the stamps in the longest."""
    steps = np.diff(time_s)
    step_s = float(np.median(steps))
    # A single lost sample is a double step; in badly scattered stamps it can't be told.
    even = float(np.median(np.abs(steps - step_s))) < 0.1 * step_s
    counts = np.maximum(1, np.round(steps / step_s)) if even else np.ones(len(steps))
    inside = np.concatenate([np.arange(a, b - 1) for a, b in pieces])
    rate_hz = float(counts[inside].sum() / steps[inside].sum())
    a, b = max(pieces, key=lambda p: p[1] - p[0])
    index = np.concatenate([[0.0], np.cumsum(counts[a : b - 1])])
    return rate_hz, timing_jitter_s(time_s[a:b], index)


def _sorted_rows(
    path: str, time_s: np.ndarray, values: np.ndarray, first_line: int, findings: list[Finding]
) -> tuple[np.ndarray, np.ndarray]:
    sound = np.isfinite(time_s)
    for axis in values:
        sound &= np.isfinite(axis)
    if not sound.all():
        missing, first = int((~sound).sum()), int(np.argmin(sound))
        findings.append(
            Finding(
                f"{missing} of {len(sound)} lines hold no number",
                "they are treated as gaps; the rest stands",
                "export again if there are many",
                line=first_line + first,
            )
        )
        time_s, values = time_s[sound], values[:, sound]
    back = np.diff(time_s) < 0
    if back.mean() > 0.3 if len(back) else False:
        raise problem(
            path,
            "the time column does not rise: wrong column?",
            line=first_line + int(np.argmax(back)) + 1,
            field="time",
            hint="name the time column",
        )
    if back.any():
        findings.append(
            Finding(
                f"time runs backward in {int(back.sum())} places",
                "lines were sorted by time; frequencies stand if the stamps are right",
                "check the export for joined or shuffled pieces",
                line=first_line + int(np.argmax(back)) + 1,
            )
        )
        order = np.argsort(time_s, kind="stable")
        time_s, values = time_s[order], values[:, order]
    return time_s, values


def _distinct_rows(
    path: str, time_s: np.ndarray, values: np.ndarray, findings: list[Finding]
) -> tuple[np.ndarray, np.ndarray]:
    """Spread coarse stamps evenly; drop lines that repeat a time."""
    steps = np.diff(time_s)
    if not (steps > 0).any():
        raise problem(path, "the time never changes", field="time", hint="name the time column")
    equal = float((steps <= 0).mean())
    if equal > 0.4:
        changes = np.flatnonzero(steps > 0) + 1
        findings.append(
            Finding(
                f"time is written in steps of {float(np.median(steps[steps > 0])):g} s, "
                f"{float(np.median(np.diff(changes))):.0f} lines each",
                "lines are spread evenly between steps; frequencies stand, timing is less exact",
                "export with finer time if the logger can",
            )
        )
        # Lines before the first and after the last step belong to incomplete steps.
        return np.interp(np.arange(len(time_s)), changes, time_s[changes])[
            changes[0] : changes[-1] + 1
        ], values[:, changes[0] : changes[-1] + 1]
    repeated = np.concatenate([[False], steps <= 0])
    if repeated.any():
        findings.append(
            Finding(
                f"lines that repeat the time of the line before: {int(repeated.sum())}",
                "the first of each was kept; the rest stands",
                "check the export for doubled lines",
            )
        )
        time_s, values = time_s[~repeated], values[:, ~repeated]
    return time_s, values


def _pieces(time_s: np.ndarray, step_s: float, findings: list[Finding]) -> list[tuple[int, int]]:
    """Stretches without a gap, as (first, stop) rows; only those between long breaks."""
    steps = np.diff(time_s)
    breaks = np.flatnonzero(steps > GAP_STEPS * step_s)
    edges = [0, *(breaks + 1).tolist(), len(time_s)]
    pieces = [(a, b) for a, b in itertools.pairwise(edges) if b - a >= 8]
    if not pieces:
        pieces = [(0, len(time_s))]
    runs: list[list[tuple[int, int]]] = [[]]
    for piece in pieces:
        if runs[-1] and time_s[piece[0]] - time_s[runs[-1][-1][1] - 1] > LONGEST_GAP_S:
            runs.append([])
        runs[-1].append(piece)
    kept = max(runs, key=lambda run: sum(b - a for a, b in run))
    if len(breaks):
        lost = "" if len(runs) == 1 else f"; only the longest of {len(runs)} parts is used"
        findings.append(
            Finding(
                f"gaps: {len(breaks)}, {float(steps[breaks].sum()):.2f} s in all{lost}",
                "stretches between gaps stand; nothing is made up inside a gap",
                "record again without switching applications on the recorder",
            )
        )
    return kept


def _interpolate(
    place: np.ndarray, values: np.ndarray, pieces: list[tuple[int, int]], block: int = 50_000
) -> tuple[np.ndarray, np.ndarray]:
    """Cubic splines from uneven places (in samples) to whole numbers, in bounded pieces."""
    from scipy.interpolate import CubicSpline

    count = int(np.floor(place[-1] + 1e-9)) + 1
    even, valid = np.zeros((len(values), count)), np.zeros(count, bool)
    for first, stop in pieces:
        for start in range(first, stop, block):
            a, b = max(first, start - 20), min(stop, start + block + 20)
            low = int(np.ceil(place[start] - 1e-9))
            end = place[min(start + block, stop - 1)] if start + block < stop else place[stop - 1]
            high = min(int(np.floor(end + 1e-9)) + 1, count)
            spline = CubicSpline(*_apart(place[a:b], values[:, a:b]), axis=1)
            even[:, low:high] = spline(np.arange(low, high))
            valid[low:high] = True
    # The mean, not zero: gravity would ring through every filter at the edge of a gap.
    even[:, ~valid] = even[:, valid].mean(axis=1, keepdims=True)
    return even, valid


def _apart(place: np.ndarray, values: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Without samples stamped so close to the one before that a spline would swing wildly."""
    kept = np.concatenate([[True], np.diff(place) >= CLOSEST])
    return place[kept], values[:, kept]
