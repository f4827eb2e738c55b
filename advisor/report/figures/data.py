"""The plain data of a picture, read with a clear error where something is missing."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from advisor.errors import AdvisorError


class UnfitPicture(AdvisorError):
    """A picture whose data cannot be drawn; says which kind and which key."""


def numbers(kind: str, data: Mapping[str, Any], key: str) -> list[float]:
    """A list of numbers; a missing point (None) becomes not-a-number, which is left out."""
    values = data.get(key)
    try:
        found = [math.nan if v is None else float(v) for v in values]  # type: ignore[union-attr]
    except (TypeError, ValueError) as error:
        raise UnfitPicture(f"picture {kind}: {key} must be a list of numbers") from error
    if not found:
        raise UnfitPicture(f"picture {kind}: {key} is empty")
    return found


def number(kind: str, data: Mapping[str, Any], key: str) -> float:
    """One finite number."""
    try:
        found = float(data[key])
    except (KeyError, TypeError, ValueError) as error:
        raise UnfitPicture(f"picture {kind}: {key} must be a number") from error
    if not math.isfinite(found):
        raise UnfitPicture(f"picture {kind}: {key} must be finite")
    return found


def entries(kind: str, data: Mapping[str, Any], key: str) -> list[Mapping[str, Any]]:
    """A list of mappings; an absent key is an empty list."""
    found = data.get(key) or []
    if not isinstance(found, list | tuple) or not all(isinstance(e, Mapping) for e in found):
        raise UnfitPicture(f"picture {kind}: {key} must be a list of mappings")
    return list(found)


def same_length(kind: str, data: Mapping[str, Any], *keys: str) -> None:
    """Refuse lists of different length."""
    sizes = {key: len(numbers(kind, data, key)) for key in keys}
    if len(set(sizes.values())) > 1:
        said = ", ".join(f"{key} has {size}" for key, size in sizes.items())
        raise UnfitPicture(f"picture {kind}: lists differ in length: {said}")
