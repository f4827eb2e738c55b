"""Pictures of a recording as plain data, thinned so that an hour draws no larger than a minute."""

from __future__ import annotations

import math

import numpy as np

from advisor.model.diagnosis import Picture
from advisor.model.recording import DriveFindings
from advisor.physics.orders import wheel_hz_per_mph
from advisor.physics.units import m_s_to_mph

MOST_SPEEDS, MOST_FREQUENCIES, MOST_ORDERS = 30, 200, 500
LEAST_SPEEDS = 3
ROOM = 1.25  # beyond the fastest order, for its name


def pictures_of(found: DriveFindings) -> tuple[Picture, ...]:
    """Waterfall (of a drive whose speed changes) and order spectrum, where there are orders."""
    made = (_waterfall(found), _order_spectrum(found))
    return tuple(picture for picture in made if picture is not None)


def _waterfall(found: DriveFindings) -> Picture | None:
    picture = found.analysis.waterfall
    if picture is None or int((picture.frames > 0).sum()) < LEAST_SPEEDS:
        return None
    driven = picture.frames > 0
    slope = wheel_hz_per_mph(found.roll.circumference_m)
    speeds = [m_s_to_mph(float(v)) for v in picture.speed_m_s[driven]]
    lines = [line.sought for line in found.lines if line.sought.hz is None]
    top_hz = ROOM * max([4.0, *(s.per_turn for s in lines)]) * slope * max(speeds)
    inside = (picture.frequency_hz >= 1.0) & (picture.frequency_hz <= top_hz)
    level = _strongest(picture.amplitude[driven][:, inside].T, MOST_FREQUENCIES)
    level = _strongest(level.T, MOST_SPEEDS)
    axis = found.drive.axes[found.analysis.main_axis]
    return Picture(
        kind="waterfall",
        title=f"Road speed against frequency, {axis}",
        data={
            "speed_mph": _rounded(_first(np.array(speeds), MOST_SPEEDS)),
            "hz": _rounded(_first(picture.frequency_hz[inside], MOST_FREQUENCIES)),
            "level": [_rounded(row, 3) for row in level],
            "unit": found.drive.unit,
            "orders": [{"name": s.name, "hz_per_mph": round(s.per_turn * slope, 6)} for s in lines],
        },
    )


def _order_spectrum(found: DriveFindings) -> Picture | None:
    spectra, axis = found.analysis.order_spectra, found.analysis.main_axis
    if not spectra:
        return None
    spectrum = spectra[axis]
    inside = spectrum.order >= 0.3  # below it stands the slow drift of the recorder
    named = [line.sought for line in found.lines if line.sought.hz is None]
    return Picture(
        kind="order_spectrum",
        title=f"Strength by order, {found.drive.axes[axis]}",
        data={
            "orders": _rounded(_first(spectrum.order[inside], MOST_ORDERS)),
            "amplitudes": _rounded(_strongest(spectrum.amplitude[inside], MOST_ORDERS)),
            "unit": found.drive.unit,
            "named": [{"order": round(s.per_turn, 4), "name": s.name} for s in named],
        },
    )


def _strongest(values: np.ndarray, most: int) -> np.ndarray:
    """At most `most` rows, each the largest of one stretch."""
    every = math.ceil(len(values) / most)
    return np.maximum.reduceat(values, np.arange(0, len(values), every), axis=0)


def _first(values: np.ndarray, most: int) -> np.ndarray:
    """The middle of each stretch that `_strongest` takes together."""
    every = math.ceil(len(values) / most)
    starts = np.arange(0, len(values), every)
    return np.add.reduceat(values, starts) / np.diff([*starts, len(values)])


def _rounded(values: np.ndarray, digits: int = 4) -> list[float]:
    """As many significant digits as a picture can show; short as text."""
    return [float(f"{v:.{digits}g}") for v in values]
