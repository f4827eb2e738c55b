"""The order table of `advisor orders`: from a tire, a speed and ratios, without a case."""

from __future__ import annotations

import re

from advisor.compose_notes import bands_between, engine_bands, mode_note, shaft_note
from advisor.errors import AdvisorError, did_you_mean, one_of
from advisor.model.case import Vehicle
from advisor.model.choose import Rolling, rolling
from advisor.model.diagnosis import Diagram, OrderBand
from advisor.model.pack import Pack
from advisor.physics import tire as tires
from advisor.physics.orders import Line, engine_lines, road_lines
from advisor.physics.units import kmh_to_mph

FASTEST_MPH = 120.0
_RANGE = re.compile(
    r"^\s*(\d+(?:\.\d+)?)\s*(?:(?:-|to|\.\.)\s*(\d+(?:\.\d+)?))?\s*(mph|km/h|kmh|kph)?\s*$", re.I
)


def order_sheet(
    pack: Pack,
    vehicle: str,
    tire: str | None,
    speed: str,
    axle_ratio: float | None = None,
    revs_per_mile: float | None = None,
    rpm: float | None = None,
    gear_ratio: float | None = None,
    cylinders: int | None = None,
) -> tuple[list[OrderBand], Diagram]:
    """Orders over a speed or range, and the diagram. Raises AdvisorError on bad values."""
    named = named_vehicle(
        pack, vehicle, tire, axle_ratio, revs_per_mile, rpm, gear_ratio, cylinders
    )
    low, high = speed_range(speed)
    roll = rolling(named, pack)
    lines = road_lines(roll.circumference_m, axle_ratio)
    if axle_ratio and gear_ratio and cylinders:
        lines += engine_lines(roll.circumference_m, axle_ratio, gear_ratio, cylinders)
    bands = shaft_note(bands_between(lines, roll, low, high), axle_ratio)
    if rpm and cylinders:
        bands += engine_bands(rpm, cylinders, low, high)
    return bands, _diagram(pack, vehicle, lines, roll, low, high)


def named_vehicle(
    pack: Pack,
    vehicle: str,
    tire: str | None,
    axle_ratio: float | None = None,
    revs_per_mile: float | None = None,
    rpm: float | None = None,
    gear_ratio: float | None = None,
    cylinders: int | None = None,
) -> Vehicle:
    """A vehicle from options of the command line. Raises AdvisorError on bad values."""
    if vehicle not in pack.vehicles:
        hint = did_you_mean(vehicle, pack.vehicles)
        raise AdvisorError(
            f'--vehicle: "{vehicle}" is not a vehicle type; '
            f"allowed: {one_of(pack.vehicles)}; {hint}"
        )
    _bounds("--axle-ratio", axle_ratio, 1.2, 20)
    _bounds("--revs-per-mile", revs_per_mile, 300, 1200)
    _bounds("--rpm", rpm, 200, 6000)
    _bounds("--gear-ratio", gear_ratio, 0.3, 30)
    _bounds("--cylinders", cylinders, 2, 16)
    return Vehicle(
        type=vehicle,
        tire=known_tire(pack, tire) if tire else None,
        axle_ratio=axle_ratio,
        revs_per_mile=revs_per_mile,
        cylinders=cylinders,
        gear_ratio=gear_ratio,
        engine_rpm=rpm,
    )


def _bounds(option: str, value: float | None, low: float, high: float) -> None:
    if value is not None and not low <= value <= high:
        raise AdvisorError(
            f"{option}: {value:g} is outside what is possible; allowed: {low:g} to {high:g}"
        )


def known_tire(pack: Pack, designation: str) -> str:
    """A designation that can be used, or an error that says what could."""
    name = tires.normalize(designation)
    size = tires.parse_size(name)
    known = name in pack.tires
    if known or (size and size.diameter_m and tires.is_plausible(size.diameter_m)):
        return name
    hint = did_you_mean(name, pack.tires) or "give --revs-per-mile instead"
    raise AdvisorError(
        f'--tire: "{designation}" is not a tire size in the table or one that can be computed; '
        f"allowed: {one_of(pack.tires, 6)}; {hint}"
    )


def speed_range(text: str) -> tuple[float, float]:
    """'62', '55-65', '90 km/h' -> low and high in mph."""
    match = _RANGE.match(text)
    if match is None:
        raise AdvisorError(f'--speed: "{text}" is not a speed; allowed: 62, 55-65, 90 km/h')
    low = float(match[1])
    high = float(match[2]) if match[2] else low
    if match[3] and match[3].lower() != "mph":
        low, high = kmh_to_mph(low), kmh_to_mph(high)
    if low > high:
        raise AdvisorError(f"--speed: {text}: the low speed is above the high one; exchange them?")
    if not 0 < high <= FASTEST_MPH:
        raise AdvisorError(
            f"--speed: {text} is outside what is possible; allowed: above 0, to {FASTEST_MPH:g} mph"
        )
    return low, high


def _diagram(
    pack: Pack, vehicle: str, lines: list[Line], roll: Rolling, low: float, high: float
) -> Diagram:
    info = pack.vehicles[vehicle]
    top = max(info.top_speed_mph, high)
    return Diagram(
        slopes=[(line.name, round(line.slope_hz_per_mph, 6)) for line in lines],
        modes=[mode_note(mode, lines[0], top) for mode in info.modes],
        band_mph=(low, high) if high > low else (max(0.0, low - 1), high + 1),
        max_mph=top,
        tire=roll.says,
        circumference_m=round(roll.circumference_m, 4),
        tolerance_percent=roll.tolerance_percent,
    )
