"""A shop's own limits, minutes and priors on top of a pack that stays as it is."""

from __future__ import annotations

import hashlib
from pathlib import Path
from typing import Any

from advisor.errors import InputProblems, did_you_mean, one_of
from advisor.model.pack import Overlay, Pack
from advisor.yaml_marks import Document, read_document, validate


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
        id_: cause.model_copy(update=_prior(cause.prior, overlay, id_))
        if id_ in overlay.priors
        else cause
        for id_, cause in pack.causes.items()
    }
    stamp = hashlib.sha256(Path(path).read_bytes()).hexdigest()[:12]
    update = {"limits": limits, "inspections": inspections, "access": access, "causes": causes}
    return pack.model_copy(update={**update, "overlay": f"{overlay.shop or 'shop'} {stamp}"})


def _prior(old: Any, overlay: Overlay, id_: str) -> dict[str, Any]:
    """A shop's prior holds for all its vehicles: what it does not name stays."""
    new = overlay.priors[id_]
    merged = old.model_copy(update=new.model_dump(exclude_none=True))
    return {"prior": merged, "prior_by_vehicle": {}}


def _check_names(document: Document, overlay: Overlay, pack: Pack) -> None:
    problems = []
    for key, names, pool, kind in (
        ("limits", overlay.limits, pack.limits, "limit"),
        ("minutes", overlay.minutes, pack.inspections, "inspection"),
        ("open_minutes", overlay.open_minutes, pack.access, "access state"),
        ("priors", overlay.priors, pack.causes, "cause"),
    ):
        for name in names:
            if name not in pool:
                what = f'"{name}" is not a known {kind}'
                near = did_you_mean(name, pool)
                problems.append(document.problem((key, name), what, one_of(pool), near))
    if problems:
        raise InputProblems(problems)
