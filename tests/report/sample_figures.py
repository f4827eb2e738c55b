"""Orders, mode bands and readings of the sample diagnosis; every figure is invented."""

from __future__ import annotations

from typing import Any

ORDERS = [
    {
        "of": of,
        "order": n,
        "name": name,
        "hz_low": k * 58,
        "hz_high": k * 64,
        "mph_low": 58,
        "mph_high": 64,
        "note": note,
    }
    for of, n, name, k, note in [
        ("wheel", 1, "wheel order 1", 0.1422, ""),
        ("wheel", 2, "wheel order 2", 0.2844, ""),
        ("wheel", 3, "wheel order 3", 0.4266, ""),
        ("shaft", 1, "shaft order 1", 0.4864, "within 14 % of wheel order 3"),
        ("shaft", 2, "shaft order 2", 0.9729, ""),
    ]
]


def mode(ident: str, name: str, low: float, high: float, felt: str) -> dict[str, Any]:
    return {
        "mode": ident,
        "name": name,
        "low_hz": low,
        "high_hz": high,
        "mph_low": low / 0.1422,
        "mph_high": high / 0.1422,
        "felt": felt,
        "source": "own-memory",
        "seen": "memory",
    }


DIAGRAM = {
    "slopes": [(o["name"], o["hz_low"] / 58) for o in ORDERS],
    "modes": [
        mode("body", "body bounce", 1.2, 3.5, "slow heave"),
        mode("frame", "frame bending", 5.0, 9.0, "cab and seat shake"),
        mode("hop", "steer axle hop", 8.0, 12.0, "hop in the seat"),
        mode("shimmy", "steering shimmy", 4.0, 10.0, "steering wheel swings"),
    ],
    "band_mph": (58, 64),
    "max_mph": 75,
    "tire": "275/80R22.5",
    "circumference_m": 3.143,
    "tolerance_percent": 2.5,
}

RUNOUT_DATA: dict[str, object] = {
    "angles_deg": [30.0 * k for k in range(12)],
    "readings": [0.031, 0.046, 0.058, 0.066, 0.061, 0.049, 0.034, 0.018, 0.006, 0.0, 0.004, 0.017],
    "unit": "in",
    "mean": 0.0325,
    "amplitude": 0.0312,
    "high_deg": 93.0,
    "high_says": "high spot at 3 o'clock",
    "zero_at": "valve stem",
}

READING = {
    "kind": "runout",
    "title": "Radial runout at the tread, left steer",
    "lines": [
        "Total indicated runout 0.066 in; once-a-turn part 0.062 in.",
        "High spot at 3 o'clock from the valve stem.",
    ],
    "problems": ["The last reading is missing its repeat at the start."],
    "pictures": [{"kind": "polar_runout", "title": "Runout round the tire", "data": RUNOUT_DATA}],
}
