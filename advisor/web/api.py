"""The JSON interface for a shop's own system; its description is at /api/openapi.json."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Annotated, Any

import yaml
from fastapi import APIRouter, Body, Header, Query, Request, Response
from pydantic import BaseModel, Field

from advisor import __version__
from advisor.errors import AdvisorError, Problem
from advisor.intake.case_file import read_case_bytes
from advisor.intake.merge_write_up import reader_of
from advisor.intake.raw_case import RawCase
from advisor.model.diagnosis import Diagnosis
from advisor.pipeline import rank
from advisor.report.as_json import render_json
from advisor.web.answering import Given, answer, open_case
from advisor.web.asked import done
from advisor.web.folder import CaseFile, version_of
from advisor.web.pages_cases import search
from advisor.web.shop import Shop, read_case_text
from advisor.yaml_marks import parse


class ProblemRow(BaseModel):
    """One thing wrong in one place; line and column count from 1, 0 where there is no place."""

    path: str = ""
    line: int = 0
    column: int = 0
    field: str = ""
    what: str
    allowed: str = ""
    hint: str = ""


class Problems(BaseModel):
    """Everything that is wrong with a request."""

    problems: list[ProblemRow]


WRONG: dict[int | str, dict[str, Any]] = {
    422: {"model": Problems, "description": "What is wrong with the request."}
}
router = APIRouter(prefix="/api", responses=WRONG)
CaseBody = Annotated[dict[str, Any], Body(description="A case with the keys of a case file.")]


class WriteUp(BaseModel):
    """A driver's own words."""

    text: Annotated[str, Field(max_length=20_000)]


class AnswerBody(BaseModel):
    """One answer. was: how this tablet last saw it; another answer since then is a conflict."""

    symptom: str
    state: Annotated[str, Field(pattern="^(yes|no|skip|)$")]
    was: str = ""


class CaseRow(BaseModel):
    """A case at a glance."""

    id: str
    title: str
    unit: str
    reported: str
    vehicle: str
    tire: str
    state: str
    problem: str


class Held(BaseModel):
    """A case as it stands. version: send it back in If-Match to replace the case."""

    case: dict[str, Any]
    version: str


class About(BaseModel):
    """What answers here."""

    advisor: str
    rules: str
    sha256: str


@router.get("/about")
async def about(request: Request) -> About:
    """Versions of program and rules."""
    pack = _shop(request).pack
    return About(advisor=__version__, rules=pack.info.version, sha256=pack.sha256)


@router.post("/read")
async def read(request: Request, body: WriteUp) -> dict[str, Any]:
    """What a write-up says, with the stretch of text each statement came from."""
    pack = _shop(request).pack
    return await done(request, lambda: reader_of(pack).read(body.text).to_json_dict())


@router.post("/rank", response_model=Diagnosis)
async def rank_case(request: Request, body: CaseBody) -> Response:
    """Rank a case that is not kept: the document of `advisor rank --format json`."""
    pack = _shop(request).pack

    def work() -> str:
        return render_json(rank(read_case_bytes(_as_yaml(body).encode(), pack, "case"), pack))

    return Response(await done(request, work), media_type="application/json")


@router.get("/cases")
async def list_cases(
    request: Request,
    q: Annotated[str, Query(description="Words that must all be in the case.")] = "",
    state: Annotated[str, Query(description="open, closed or broken; empty for all.")] = "",
) -> list[CaseRow]:
    """The cases of the shop's folder, newest change first."""
    folder = _shop(request).folder
    found = await done(request, lambda: search(folder.entries(), q, state))
    return [CaseRow(**{k: getattr(e, k) for k in CaseRow.model_fields}) for e in found]


@router.post("/cases", status_code=201)
async def make_case(request: Request, body: CaseBody) -> Held:
    """Keep a new case; 409 when there is one of this name."""
    shop = _shop(request)

    def work() -> CaseFile:
        text = _as_yaml(body)
        name = str(body.get("case", ""))
        read_case_text(text, shop.folder.root / "case", shop.pack)
        return shop.folder.create(name, text)

    return _held(await done(request, work))


@router.get("/cases/{id}")
async def one_case(request: Request, id: str) -> Held:
    """A case as it stands."""
    return _held(await done(request, _shop(request).folder.read, id))


@router.put("/cases/{id}")
async def replace_case(
    request: Request, id: str, body: CaseBody, if_match: Annotated[str, Header()]
) -> Held:
    """Replace a case; 409 when it is not in the version of If-Match any more."""
    shop = _shop(request)

    def work() -> CaseFile:
        if str(body.get("case", "")) != id:
            raise AdvisorError(f'the case calls itself "{body.get("case", "")}", not "{id}"')
        text = _as_yaml(body)
        read_case_text(text, shop.folder.path(id), shop.pack)
        return shop.folder.save_as_it_was(id, if_match.strip('"'), text)

    return _held(await done(request, work))


@router.get("/cases/{id}/rank", response_model=Diagnosis)
async def rank_kept(request: Request, id: str) -> Response:
    """Rank a case of the folder."""
    shop = _shop(request)
    text = await done(request, lambda: render_json(shop.diagnosis(shop.folder.read(id))))
    return Response(text, media_type="application/json")


@router.post("/cases/{id}/answers")
async def answer_case(request: Request, id: str, body: AnswerBody) -> Held:
    """Answer one question of an open case."""
    shop = _shop(request)

    def work() -> CaseFile:
        open_case(shop.folder.read(id), shop)
        return answer(id, Given(body.symptom, body.state, body.was), shop)

    return _held(await done(request, work))


def _shop(request: Request) -> Shop:
    return request.app.state.shop


def _held(file: CaseFile) -> Held:
    return Held(case=parse(file.text, str(file.path)).data, version=version_of(file.text))


def _as_yaml(body: dict[str, Any]) -> str:
    """JSON values as a case file a person can read on."""
    order = list(RawCase.model_fields)
    ordered = dict(sorted(body.items(), key=lambda i: order.index(i[0]) if i[0] in order else 99))
    return str(yaml.safe_dump(_plain(ordered), sort_keys=False, allow_unicode=True, width=100))


def _plain(value: Any) -> Any:
    """JSON's true, false and numbers as the words and figures a case file holds."""
    if isinstance(value, dict):
        return {str(k): _plain(v) for k, v in value.items() if v is not None}
    if isinstance(value, list):
        return [_plain(v) for v in value]
    return {True: "yes", False: "no"}.get(value, value) if isinstance(value, bool) else value


def problem_rows(lines: Iterable[str], problems: Any) -> list[dict[str, Any]]:
    """Problems as JSON: with line and field where they have one."""
    rows = [p.__dict__ for p in problems if isinstance(p, Problem)]
    return rows or [ProblemRow(what=line).model_dump() for line in lines]
