"""The document of `advisor recording`: what one recording says, in parts any report can show."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from advisor.model.diagnosis import PackStamp, Picture


@dataclass(frozen=True)
class Grid:
    """Headings and rows of short texts."""

    headings: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Part:
    """A heading with paragraphs, a list, a table and pictures, each of which may be missing."""

    heading: str
    text: tuple[str, ...] = ()
    items: tuple[str, ...] = ()
    grid: Grid | None = None
    pictures: tuple[Picture, ...] = ()


@dataclass(frozen=True)
class RecordingSheet:
    """lead: the answer in a sentence or two; cautions: in full; data: the same as plain JSON
    values."""

    title: str
    lead: tuple[str, ...]
    parts: tuple[Part, ...]
    cautions: tuple[str, ...]
    data: Mapping[str, Any]
    pack: PackStamp
