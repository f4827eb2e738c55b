"""The strict, frozen record every file-backed type is built on."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict


class Record(BaseModel):
    """Immutable; unknown keys are refused; text from a file is coerced to the declared type."""

    model_config = ConfigDict(
        frozen=True,
        extra="forbid",
        str_strip_whitespace=True,
        defer_build=True,  # a class that is not used costs nothing at start
    )
