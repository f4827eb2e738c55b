"""Units of recorded columns, and how loggers write them in a column's name."""

from __future__ import annotations

import re

from advisor.physics.units import M_S_PER_MPH, STANDARD_GRAVITY_M_S2

ACCELERATION_UNITS = {
    "g": STANDARD_GRAVITY_M_S2,
    "mg": STANDARD_GRAVITY_M_S2 / 1000,
    "m/s2": 1.0,
}
KNOT_M_S = 1852 / 3600  # international nautical mile, exact; from memory
SPEED_UNITS = {"m/s": 1.0, "km/h": 1 / 3.6, "mph": M_S_PER_MPH, "kn": KNOT_M_S}
EPOCH_S = 1e8  # larger times in seconds count from 1970, so they are a clock
TIME_UNITS = {"s": 1.0, "ms": 1e-3, "us": 1e-6, "ns": 1e-9}
_WRITTEN = {
    "m/s2": r"m/s\^?2|m/s²|m_s2|ms-?2|m/s/s|mps2",
    "km/h": r"km/?h|kph|km_h|kmh",
    "mph": r"mph|mi/h",
    "m/s": r"m/s|m_s|mps",
    "kn": r"kn|knots?|kts?",
    "mg": r"mg|milli-?g",
    "ms": r"ms|msec|millis|milliseconds?",
    "us": r"us|µs|micros|microseconds?",
    "ns": r"ns|nanos|nanoseconds?",
    "s": r"s|sec|secs|seconds?",
    "g": r"g|g0|gn",
}
_AT_END = {u: re.compile(rf"(?:^|[\s_(\[])(?:{w})[\])]?$", re.I) for u, w in _WRITTEN.items()}


def unit_in(name: str) -> str:
    """The unit a column name ends in, or "": `acc_z (m/s^2)`, `speed_mph`, `time [ms]`."""
    return next((u for u, pattern in _AT_END.items() if pattern.search(name.strip())), "")


def epoch_unit(stamp: float) -> str:
    """Unit of a time counted from 1970 by its size, or "" when it is too small to be one."""
    sizes = (("ns", 1e17), ("us", 1e14), ("ms", 1e11), ("s", EPOCH_S))
    return next((unit for unit, least in sizes if stamp > least), "")
