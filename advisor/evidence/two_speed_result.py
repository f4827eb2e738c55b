"""The weight that quiets a wheel at two or more speeds: imbalance or runout?"""

from __future__ import annotations

import math

import numpy as np

from advisor.evidence.balance_words import radius_m, say_sign
from advisor.evidence.reading_result import Said, Shop
from advisor.evidence.reading_words import chance, flaw, force, mass, mass_in, spot
from advisor.model.choose import rolling
from advisor.model.diagnosis import Picture
from advisor.model.reading import ZERO_WORDS, Balance, NullingRun
from advisor.physics.balance import wheel_omega_rad_s
from advisor.physics.problem import Flaw, PhysicsError
from advisor.physics.twospeed import TwoSpeed, fit_two_speed
from advisor.physics.units import KG_PER_OZ, m_s_to_mph, mph_to_m_s

CHECK = "two-speed-weights"
# Past this misfit (3 sd, natural log) neither imbalance alone nor runout alone will do.
REJECTED = 4.5
# Slower than this nobody feels a wheel shake (judgement).
SLOWEST_M_S = mph_to_m_s(1.0)


def say_two_speed(said: Said, reading: Balance, shop: Shop) -> None:
    """Verdict, both parts with errors, the picture, and the evidence."""
    say_sign(said, reading)
    runs = [run for run in reading.nulling if run.speed_m_s >= SLOWEST_M_S]
    if len(runs) < len(reading.nulling):
        said.problems.append(
            flaw(
                Flaw(
                    "zero_speed",
                    "a speed is zero, or slower than a walk, where nothing can be nulled",
                    "what the runs at the other speeds give",
                    "the run without a speed",
                )
            )
        )
    circumference = rolling(shop.vehicle, shop.pack).circumference_m
    radius, _ = radius_m(reading, shop)
    for run in runs:
        at = f" at {spot(np.angle(run.add_kg), ZERO_WORDS[reading.counted_from])}"
        place = at if reading.nulling_has_angle else ""
        speed = f"{m_s_to_mph(run.speed_m_s):.0f} mph"
        said.lines.append(f"At {speed} it takes {mass(abs(run.add_kg), reading.unit)}{place}.")
    omega = np.array([wheel_omega_rad_s(run.speed_m_s, circumference) for run in runs])
    masses = np.array([run.add_kg for run in runs])
    sd = np.array([_sd(run, reading, shop) for run in runs])
    values = masses if reading.nulling_has_angle else np.abs(masses)
    try:
        fit = fit_two_speed(omega, values, sd, radius)
    except PhysicsError as failure:
        said.problems.append(flaw(failure))
        return
    p = probability_runout(fit, float(np.sqrt(np.mean(omega**2))))
    _say_fit(said, reading, fit, omega, p)
    said.pictures.append(_picture(reading, runs, sd, fit, circumference, radius))
    said.find(CHECK, p, f"Weights at {len(runs)} speeds: {chance(p)} that runout is behind", shop)


def _sd(run: NullingRun, reading: Balance, shop: Shop) -> float:
    usual = shop.measure(CHECK, "balance_oz").repeatability * KG_PER_OZ
    return run.sd_kg or reading.reading_sd_kg or usual


def probability_runout(fit: TwoSpeed, omega_rad_s: float) -> float:
    """Chance that runout is behind: from the likelihoods of either alone, or, where neither alone
    fits, runout's share of the force at the middle of the speeds (judgement)."""
    both = fit.ln_likelihood["both"]
    if all(fit.ln_likelihood[k] < both - REJECTED for k in ("imbalance", "runout")):
        return fit.runout_share(omega_rad_s)
    return 1 / (1 + math.exp(min(max(fit.ln_ratio, -50.0), 50.0)))


def _say_fit(said: Said, reading: Balance, fit: TwoSpeed, omega: np.ndarray, p: float) -> None:
    middle = float(np.sqrt(np.mean(omega**2)))
    share = fit.runout_share(middle)
    verdict = (
        "the weight falls as speed rises, so runout is behind it: a weight only hides it"
        if p > 0.9
        else "the same weight at every speed, so imbalance is behind it"
        if p < 0.1
        else "both may be in it; a third speed, 10 mph further, settles it"
    )
    said.lines.append(f"Two-speed test: {verdict} ({chance(p)} for runout).")
    imbalance, runout = fit.imbalance_add, fit.runout_force
    said.lines.append(
        f"Fitted together: imbalance worth {mass(imbalance.magnitude, reading.unit)} (+/- "
        f"{mass(imbalance.magnitude_sd, reading.unit)}), runout pushing {force(runout.magnitude)} "
        f"(+/- {force(runout.magnitude_sd)}) at any speed, which is {share:.0%} of both at the "
        "middle speed."
    )
    said.numbers |= {
        f"imbalance_{reading.unit}": mass_in(imbalance.magnitude, reading.unit),
        "runout_force_n": round(runout.magnitude, 1),
        "runout_share": round(share, 4),
        "probability_runout": round(p, 4),
    }


def _picture(
    reading: Balance,
    runs: list[NullingRun],
    sd: np.ndarray,
    fit: TwoSpeed,
    circumference_m: float,
    radius: float,
) -> Picture:
    """Weights against speed with the three fits."""
    points = [
        {
            "mph": round(m_s_to_mph(run.speed_m_s), 2),
            "amount": mass_in(abs(run.add_kg), reading.unit),
            "error": mass_in(float(s), reading.unit),
        }
        for run, s in zip(runs, sd, strict=True)
    ]
    low, high = min(p["mph"] for p in points), max(p["mph"] for p in points)
    mph = np.linspace(max(low - 5, 5), high + 5, 40)
    fall = _fall(np.array([mph_to_m_s(float(v)) for v in mph]), circumference_m, radius)
    weight = 1.0 / sd**2
    size = np.array([abs(run.add_kg) for run in runs])
    column = _fall(np.array([run.speed_m_s for run in runs]), circumference_m, radius)
    constant = float(np.sum(weight * size) / np.sum(weight))
    falling = float(np.sum(weight * size * column) / np.sum(weight * column**2))
    curves = {
        "imbalance alone": np.full_like(mph, constant),
        "runout alone": falling * fall,
        "both": np.abs(fit.imbalance_add.value + fit.runout_force.value * fall),
    }
    return Picture(
        kind="two_speed",
        title="Weight that quiets it, against speed",
        data={"points": points, "curves": _curves(curves, mph, reading), "unit": reading.unit},
    )


def _fall(speed_m_s: np.ndarray, circumference_m: float, radius_m: float) -> np.ndarray:
    """Mass per newton of runout force, which falls with speed squared."""
    omega = np.array([wheel_omega_rad_s(float(v), circumference_m) for v in speed_m_s])
    return 1.0 / (radius_m * omega**2)


def _curves(
    curves: dict[str, np.ndarray], mph: np.ndarray, reading: Balance
) -> list[dict[str, object]]:
    return [
        {
            "name": name,
            "mph": [round(float(v), 2) for v in mph],
            "amount": [mass_in(float(a), reading.unit) for a in amount],
        }
        for name, amount in curves.items()
    ]
