"""From a driver's vibration complaint to ranked causes and the next inspections."""

__version__ = "1.0.0"
