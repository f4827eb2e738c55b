"""Which lines to look for in a recording of one vehicle, and which of them a recorder may fake."""

from __future__ import annotations

from advisor.model.case import Vehicle
from advisor.model.choose import Rolling
from advisor.model.recording import Sought
from advisor.physics.orders import engine_lines, engine_orders, road_lines, wheel_hz_per_mph
from advisor.physics.sampling import MIN_SAMPLE_RATE_HZ, lines_folding_onto_wheel_orders

# With one engine speed given, orders above this cannot be laid over the road speed.
FASTEST_FOLDING_HZ = 400.0


def sought_lines(vehicle: Vehicle, roll: Rolling) -> tuple[Sought, ...]:
    """Wheel orders 1 to 4; shaft orders with an axle ratio; engine orders with a gear as well."""
    wheel_hz = wheel_hz_per_mph(roll.circumference_m)
    lines = road_lines(roll.circumference_m, vehicle.axle_ratio)
    if vehicle.axle_ratio and vehicle.gear_ratio and vehicle.cylinders:
        lines += engine_lines(
            roll.circumference_m, vehicle.axle_ratio, vehicle.gear_ratio, vehicle.cylinders
        )
    return tuple(
        Sought(line.name, line.of, line.order, line.slope_hz_per_mph / wheel_hz)  # type: ignore[arg-type]
        for line in lines
    )


def engine_lines_at(vehicle: Vehicle, rpm: float | None) -> tuple[Sought, ...]:
    """Engine orders at one engine speed, when no gear ties the engine to the road speed."""
    if not (rpm and vehicle.cylinders) or (vehicle.axle_ratio and vehicle.gear_ratio):
        return ()
    return tuple(
        Sought(name, "engine", order, float("nan"), order * rpm / 60)
        for order, name in engine_orders(vehicle.cylinders).items()
    )


def folded_onto_wheel_orders(
    sought: tuple[Sought, ...],
    speeds_mph: tuple[float, float],
    wheel_hz_per_mph: float,
    sample_rate_hz: float,
) -> tuple[frozenset[int], list[str]]:
    """Wheel orders that a line too fast for the recorder may pose as somewhere between these
    speeds, and the same in words. Empty from MIN_SAMPLE_RATE_HZ on or when nothing folds."""
    if sample_rate_hz >= 0.99 * MIN_SAMPLE_RATE_HZ:
        return frozenset(), []
    covered: set[int] = set()
    said: dict[str, str] = {}
    low, high = speeds_mph
    for step in range(9):
        mph = low + (high - low) * step / 8
        lines = {
            s.name: s.hz if s.hz is not None else s.per_turn * wheel_hz_per_mph * mph
            for s in sought
            if s.of != "wheel"
        }
        lines = {name: hz for name, hz in lines.items() if hz < FASTEST_FOLDING_HZ}
        for fold in lines_folding_onto_wheel_orders(lines, wheel_hz_per_mph * mph, sample_rate_hz):
            covered.add(fold.wheel_order)
            said.setdefault(
                fold.name,
                f"{fold.name} ({fold.true_hz:.1f} Hz at {mph:.0f} mph) is too fast for "
                f"{sample_rate_hz:.0f} samples a second and shows up at {fold.seen_hz:.1f} Hz, on "
                f"wheel order {fold.wheel_order}: repeat at another sampling rate or in another "
                "gear; a true wheel order does not move",
            )
    return frozenset(covered), list(said.values())
