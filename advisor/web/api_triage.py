"""The day's list for a shop's own system: rows in, the document of `advisor triage` out."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Query, Request, Response
from pydantic import BaseModel, Field

from advisor.errors import AdvisorError
from advisor.intake.stack_columns import asked_columns
from advisor.model.diagnosis import PackStamp
from advisor.web.api import WRONG
from advisor.web.board_work import DEFAULT_VEHICLE, told_of, worked_out
from advisor.web.later import Later
from advisor.web.shop import Shop

router = APIRouter(prefix="/api", responses=WRONG)
Rows = list[dict[str, Any]]

# by content type: how the body is called in messages, and its form in the description
BODIES: dict[str, tuple[str, dict[str, Any]]] = {
    "application/json": ("rows.json", {"type": "array", "items": {"type": "object"}}),
    "application/x-ndjson": ("rows.jsonl", {"type": "string"}),
    "text/csv": ("rows.csv", {"type": "string"}),
}
BODY = {
    "requestBody": {
        "description": "An array of rows, one row a line, or an export with a heading line.",
        "required": True,
        "content": {kind: {"schema": schema} for kind, (_, schema) in BODIES.items()},
    }
}
BUSY: dict[int | str, dict[str, Any]] = {503: {"description": "Another list is worked out now."}}


class Counts(BaseModel):
    """Every row is in one of these."""

    rows: int
    vibration: int
    not_vibration: int
    rejects: int
    units: int


class ListSource(BaseModel):
    """What the rows came in, and how they were understood."""

    name: str
    read_as: list[str]


class DaysList(BaseModel):
    """The document of `advisor triage --format json`: units in the order in which they are to be
    dealt with, what must not roll first."""

    schema_: Annotated[int, Field(alias="schema")]
    pack: PackStamp
    source: ListSource
    counts: Counts
    units: Rows
    rows: Rows
    not_vibration: Rows
    patterns: Rows
    rejects: Rows


@router.post("/triage", response_model=DaysList, openapi_extra=BODY, responses=BUSY)
async def triage(
    request: Request,
    vehicle: Annotated[str, Query(description="Type, where a row names none.")] = DEFAULT_VEHICLE,
    day_first: Annotated[bool, Query(description="3/4/2031 is the third of April.")] = False,
    column: Annotated[
        list[str], Query(description="Heading over a field, as in text=Complaint; repeatable.")
    ] = [],  # noqa: B006 - never changed
) -> Response:
    """Sort rows; nothing is kept, and the list on the board stays."""
    shop: Shop = request.app.state.shop
    raw = await request.body()
    kind = request.headers.get("content-type", "").partition(";")[0].strip().lower()
    named, _ = BODIES.get(kind, BODIES["text/csv"])

    def work() -> Response:
        told = told_of(vehicle, day_first, asked_columns(column), shop.pack)
        if not raw.strip():
            raise AdvisorError("the body is empty; send rows")
        data, _ = worked_out([(named, raw)], told, shop.settings)
        return Response(data, media_type="application/json")

    return Later(work)
