"""A recording's findings as plain JSON values for other programs."""

from __future__ import annotations

import math
from typing import Any

from advisor.model.recording import DriveFindings, Line


def recording_data(found: DriveFindings) -> dict[str, Any]:
    """Units stand in the names; amplitudes are peaks in `unit`; missing values are null."""
    drive, analysis = found.drive, found.analysis
    return {
        "schema": 1,
        "file": drive.path,
        "read": {
            "seconds": _round(drive.duration_s),
            "sample_rate_hz": _round(drive.samples.sample_rate_hz),
            "axes": list(drive.axes),
            "unit": drive.unit,
            "guessed": list(drive.guesses),
            "jitter_s": _round(drive.jitter_s, 6),
        },
        "speed": {
            "from": analysis.speed_from if analysis.speed_from == "ridge" else drive.speed_from,
            "low_mph": _round(found.speeds_mph[0]) if found.speeds_mph else None,
            "high_mph": _round(found.speeds_mph[1]) if found.speeds_mph else None,
        },
        "tire": {
            "says": found.roll.says,
            "circumference_m": _round(found.roll.circumference_m, 4),
            "tolerance_percent": found.roll.tolerance_percent,
        },
        "beware": [*drive.flaws, *analysis.notes, *found.looks],
        "not_counted": list(found.not_counted),
        "verdict": _verdict(found),
        "steady": [
            {
                "hz": _round(p.hz, 4),
                "hz_sd": _round(p.hz_sd, 4),
                "amplitude": _round(p.amplitude, 5),
                "amplitude_sd": _round(p.amplitude_sd, 5),
                "axis": p.axis,
                "may_be": list(p.may_be),
            }
            for p in found.steady
        ],
        "orders": [_line(line) for line in found.lines],
        "causes": [
            {"ids": list(s.causes), "orders": list(s.orders), "log10_ratio": _round(s.log10_ratio)}
            for s in found.speaks
        ],
        "evidence": [
            {"symptom": s.symptom, "lambda1": s.lambda1, "lambda0": s.lambda0, "says": s.words}
            for s in found.softs
        ],
        "lengths_s": dict(found.lengths),
        "weighted": _weighted(found),
    }


def _line(line: Line) -> dict[str, Any]:
    return {
        "of": line.sought.of,
        "order": line.sought.order,
        "name": line.sought.name,
        "per_wheel_turn": _round(line.sought.per_turn, 4),
        "hz_low": _round(line.hz_low),
        "hz_high": _round(line.hz_high),
        "amplitude": _round(line.amplitude, 5),
        "amplitude_sd": _round(line.amplitude_sd, 5),
        "noise": _round(line.noise, 5),
        "axis": line.axis,
        "felt_share": _round(line.felt),
        "times_usual": None if line.times_usual is None else _round(line.times_usual),
        "there": _round(line.there),
        "stands_out": _round(line.stands_out),
        "passes_hz": None if line.passes_hz is None else _round(line.passes_hz),
        "not_told_from": list(line.with_),
    }


def _verdict(found: DriveFindings) -> dict[str, Any] | None:
    verdict = found.analysis.verdict
    if verdict is None:
        return None
    line = verdict.line
    return {
        "kind": verdict.kind,
        "name": verdict.name,
        "order": _round(verdict.order, 4),
        "resonance_hz": _round(verdict.resonance_hz),
        "gain": _round(verdict.gain),
        "slope_hz_s_m": _round(line.slope_hz_s_m, 5),
        "slope_sd": _round(line.slope_sd, 5),
        "intercept_hz": _round(line.intercept_hz),
        "intercept_sd_hz": _round(line.intercept_sd_hz),
        "says": verdict.because,
    }


def _weighted(found: DriveFindings) -> dict[str, Any] | None:
    if not found.analysis.weighted:
        return None
    total = found.analysis.weighted_total_m_s2
    return {
        "total_m_s2": None if total is None else _round(total, 4),
        "axes": [
            {"axis": axis, "weighting": w.weighting, "rms_m_s2": _round(w.rms_m_s2, 4),
             "crest_factor": _round(w.crest_factor, 2)}
            for axis, w in zip(found.drive.axes, found.analysis.weighted, strict=True)
        ],
    }  # fmt: skip


def _round(value: float, digits: int = 3) -> float | None:
    return round(float(value), digits) if math.isfinite(value) else None
