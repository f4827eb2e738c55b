"""A shop's own limits, minutes and priors on top of a pack that stays as it is."""

from __future__ import annotations

import hashlib
from pathlib import Path
from typing import Any, get_args

from advisor.errors import InputProblems, did_you_mean, one_of
from advisor.model.pack import Cause, Overlay, Pack, Prior
from advisor.model.terms import Duty
from advisor.model.worth import Worth
from advisor.yaml_marks import Document, read_document, validate

MOST_PROBABLE = 0.9


def apply_overlay(pack: Pack, path: str | Path) -> Pack:
    """The pack with a shop's overlay file applied; the report names the overlay by its hash."""
    document = read_document(path)
    overlay = validate(document, document.data, Overlay)
    _check_names(document, overlay, pack)
    limits = {
        id_: limit.model_copy(
            update={
                "value": overlay.limits[id_].value,
                "note": f"shop's own figure: {overlay.limits[id_].because}",
                "seen": "judgement",
            }
        )
        if id_ in overlay.limits
        else limit
        for id_, limit in pack.limits.items()
    }
    inspections = {
        id_: item.model_copy(update={"minutes": overlay.minutes[id_]})
        if id_ in overlay.minutes
        else item
        for id_, item in pack.inspections.items()
    }
    access = {
        id_: item.model_copy(update={"open_minutes": overlay.open_minutes[id_]})
        if id_ in overlay.open_minutes
        else item
        for id_, item in pack.access.items()
    }
    causes = {
        id_: cause.model_copy(update=_priors(cause, overlay.priors[id_]))
        if id_ in overlay.priors
        else cause
        for id_, cause in pack.causes.items()
    }
    stamp = hashlib.sha256(Path(path).read_bytes()).hexdigest()[:12]
    update: dict[str, Any] = {
        "limits": limits,
        "inspections": inspections,
        "access": access,
        "causes": causes,
    }
    update["worth"] = _worth(pack.worth, overlay)
    return pack.model_copy(update={**update, "overlay": f"{overlay.shop or 'shop'} {stamp}"})


def _priors(cause: Cause, new: Prior) -> dict[str, Any]:
    """A shop's prior replaces the general one; those of single vehicle types move by the same
    factor. What a vehicle cannot have stays impossible."""
    given = new.model_dump(exclude_none=True)
    factor = {
        where: value / old for where, value in given.items() if (old := getattr(cause.prior, where))
    }

    def moved(prior: Prior) -> Prior:
        values = prior.model_dump(exclude_none=True)
        scaled = {k: min(v * factor.get(k, 1.0), MOST_PROBABLE) for k, v in values.items()}
        return Prior(**scaled)

    general = cause.prior.model_copy(update=given)
    by_vehicle = {vehicle: moved(prior) for vehicle, prior in cause.prior_by_vehicle.items()}
    return {"prior": general, "prior_by_vehicle": by_vehicle}


def _worth(worth: Worth | None, overlay: Overlay) -> Worth | None:
    """A shop's own figures; one for all duties replaces the duties' own as well."""
    if worth is None or not overlay.worth:
        return worth
    figures = []
    for figure in worth.figures:
        changed = figure
        if figure.id in overlay.worth:
            changed = figure.model_copy(update={"range": overlay.worth[figure.id], "by_duty": {}})
        own = {
            key.partition(".")[2]: range_
            for key, range_ in overlay.worth.items()
            if key.startswith(f"{figure.id}.")
        }
        if own:
            changed = changed.model_copy(update={"by_duty": {**changed.by_duty, **own}})
        figures.append(changed)
    return worth.model_copy(update={"figures": figures})


def _worth_names(worth: Worth | None) -> list[str]:
    figures = worth.figures if worth else []
    return [name for f in figures for name in (f.id, *(f"{f.id}.{d}" for d in get_args(Duty)))]


def _check_names(document: Document, overlay: Overlay, pack: Pack) -> None:
    problems = []
    for key, names, pool, kind in (
        ("limits", overlay.limits, pack.limits, "limit"),
        ("minutes", overlay.minutes, pack.inspections, "inspection"),
        ("open_minutes", overlay.open_minutes, pack.access, "access state"),
        ("priors", overlay.priors, pack.causes, "cause"),
        ("worth", overlay.worth, _worth_names(pack.worth), "figure of worth"),
    ):
        for name in names:
            if name not in pool:
                what = f'"{name}" is not a known {kind}'
                near = did_you_mean(name, pool)
                problems.append(document.problem((key, name), what, one_of(pool), near))
    if problems:
        raise InputProblems(problems)
