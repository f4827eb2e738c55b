"""The walk at the truck for a shop's own system: a step out, an answer in."""

from __future__ import annotations

from dataclasses import fields
from pathlib import Path
from typing import Annotated, Any

from fastapi import APIRouter, Request
from fastapi.responses import JSONResponse
from pydantic import BaseModel, ConfigDict, Field, TypeAdapter

from advisor.bench.session import BenchSession, help_lines
from advisor.bench.step import Lead, Remedy
from advisor.bench.storage import ChangedMeanwhile
from advisor.model.diagnosis import CautionNote, PlannedInspection, Question, Safety, StopRule
from advisor.report.as_json import rounded
from advisor.web.answering import open_case
from advisor.web.api import WRONG
from advisor.web.asked import done
from advisor.web.folder import CaseFile
from advisor.web.shop import Shop

router = APIRouter(prefix="/api/cases/{id}/bench", responses=WRONG)


class BenchAnswer(BaseModel):
    """What was said at a step, as it is typed at `advisor bench`. version: of the step it answers;
    by: who is at the truck."""

    model_config = ConfigDict(extra="forbid")
    say: Annotated[str, Field(max_length=500, examples=["ready", "found left", "left 0.034 in"])]
    version: str
    by: Annotated[str, Field(max_length=60)] = ""


class BenchStep(BaseModel):
    """What comes next. confirm: the cautions are to be confirmed with `ready` first."""

    model_config = ConfigDict(from_attributes=True)
    kind: str
    id: str
    number: int
    inspection: PlannedInspection | None
    question: Question | None
    cautions: list[CautionNote]
    confirm: bool
    open_now: list[str]
    closes: list[str]
    remedies: list[Remedy]
    skipped_safety: list[str]


class BenchState(BaseModel):
    """Where a walk stands. version: to be sent with the answer; changed: what the last answer did;
    ranking: the first causes (all of them: the rank of the case); may_say: answers to this step."""

    case: str
    version: str
    changed: list[str]
    verdict: Safety
    ranking: list[Lead]
    stop: StopRule
    step: BenchStep
    may_say: list[str]


@router.get("", response_model=BenchState)
async def show_step(request: Request, id: str) -> JSONResponse:
    """The step a walk has come to."""
    shop: Shop = request.app.state.shop

    def work() -> dict[str, Any]:
        file = shop.folder.read(id)
        return _state(file, _session(file, shop))

    return JSONResponse(await done(request, work))


@router.post("", response_model=BenchState, responses={409: WRONG[422]})
async def answer_step(request: Request, id: str, body: BenchAnswer) -> JSONResponse:
    """Answer the step that was shown; 409, and nothing written, when the case is not in that
    version any more."""
    shop: Shop = request.app.state.shop

    def work() -> dict[str, Any]:
        file = shop.folder.read(id)
        if file.version != body.version:
            raise ChangedMeanwhile(Path(file.path.name))
        session = _session(file, shop, body.by)
        reply = session.say(body.say)
        if reply.changed:
            file = shop.folder.save_as_it_was(id, file.version, session.text)
        return _state(file, session, reply.says)

    return JSONResponse(await done(request, work))


def _session(file: CaseFile, shop: Shop, by: str = "") -> BenchSession:
    open_case(file, shop)
    return BenchSession(file.text, shop.pack, str(file.path), by, shop.today)


def _state(file: CaseFile, session: BenchSession, says: tuple[str, ...] = ()) -> dict[str, Any]:
    step = session.step
    held = {f.name: getattr(step, f.name) for f in fields(step)}
    made = BenchState(
        case=file.id,
        version=file.version,
        changed=list(says),
        verdict=step.safety,
        ranking=list(step.leads),
        stop=step.stop,
        step=BenchStep.model_validate({k: held[k] for k in BenchStep.model_fields}),
        may_say=list(help_lines(step)),
    )
    plain = rounded(TypeAdapter(BenchState).dump_python(made, mode="json"))
    assert isinstance(plain, dict)
    return plain
