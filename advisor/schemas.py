"""JSON Schemas of the files people write, for editors."""

from __future__ import annotations

import json

from pydantic import TypeAdapter

from advisor.errors import AdvisorError, did_you_mean
from advisor.intake.raw_case import RawCase
from advisor.model.pack import Overlay, PackInfo
from advisor.rulebook.load import TABLES


def schema_text(kind: str) -> str:
    """The schema of `case`, `overlay`, `pack`, or a kind of rule file, as indented JSON."""
    if kind == "case":
        schema = RawCase.model_json_schema()
    elif kind == "overlay":
        schema = Overlay.model_json_schema()
    elif kind == "pack":
        schema = PackInfo.model_json_schema()
    elif kind in TABLES:
        schema = TypeAdapter(list[TABLES[kind][0]]).json_schema()  # type: ignore[arg-type,misc]
    else:
        kinds = ["case", "overlay", "pack", *TABLES]
        raise AdvisorError(
            f'"{kind}" is not a kind of file; allowed: {", ".join(kinds)}; '
            f"{did_you_mean(kind, kinds)}"
        )
    schema["$schema"] = "https://json-schema.org/draft/2020-12/schema"
    return json.dumps(schema, indent=2, sort_keys=True) + "\n"
