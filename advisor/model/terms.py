"""Names and word lists that several files of a rule pack share."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

Slug = Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9_.-]*$")]
Duty = Literal["line_haul", "regional", "urban", "on_off_road", "refuse", "coach", "private"]
Seen = Literal[
    "published", "secondary", "common practice", "memory", "invented", "computed", "judgement"
]
