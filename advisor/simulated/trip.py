"""How the recording of a simulated complaint is driven."""

from __future__ import annotations

from dataclasses import dataclass

from advisor.errors import AdvisorError, did_you_mean, one_of
from advisor.model.pack import VehicleInfo
from advisor.physics.forward import drive as driving
from advisor.physics.units import mph_to_m_s

DRIVES = ("run_up", "steady", "coast_down", "stop_and_go")


@dataclass(frozen=True)
class Trip:
    """How the recording is driven: one of DRIVES; rate_hz samples a second."""

    drive: str = "run_up"
    rate_hz: float = 200.0
    duration_s: float = 90.0
    low_mph: float = 40.0
    high_mph: float | None = None  # the vehicle's top speed


def drive_of(trip: Trip, info: VehicleInfo) -> driving.Drive:
    """Speeds over time; raises AdvisorError for values that cannot be driven."""
    if trip.drive not in DRIVES:
        hint = did_you_mean(trip.drive, DRIVES)
        raise AdvisorError(
            f'--drive: "{trip.drive}" is not known; allowed: {one_of(DRIVES)}'
            + (f"; {hint}" if hint else "")
        )
    high_mph = trip.high_mph or info.top_speed_mph
    between("--rate", trip.rate_hz, 50, 2000)
    between("--seconds", trip.duration_s, 20, 3600)
    between("--high", high_mph, 10, 90)
    between("--low", trip.low_mph, 3, high_mph)
    low, high = mph_to_m_s(trip.low_mph), mph_to_m_s(high_mph)
    if trip.drive == "steady":
        return driving.steady(high, trip.duration_s, trip.rate_hz)
    if trip.drive == "coast_down":
        return driving.coast_down(high, low, trip.duration_s, trip.rate_hz)
    if trip.drive == "stop_and_go":
        return driving.stop_and_go(high, 3, trip.duration_s / 3, trip.rate_hz)
    return driving.run_up(low, high, trip.duration_s, trip.rate_hz)


def between(option: str, value: float, low: float, high: float) -> None:
    """Refuse a number outside its bounds."""
    if not low <= value <= high:
        raise AdvisorError(f"{option}: {value:g} makes no sense; allowed: {low:g} to {high:g}")
