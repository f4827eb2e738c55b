"""The walk through the inspections on the tablet."""

from __future__ import annotations

from typing import Any
from urllib.parse import quote, unquote

from starlette.responses import Response

from advisor.bench.said import understand
from advisor.bench.session import BenchSession
from advisor.bench.storage import ChangedMeanwhile
from advisor.compose import caution_notes
from advisor.errors import AdvisorError
from advisor.evidence.network import groups_of
from advisor.model.place import parse_place
from advisor.web.asked import Asked
from advisor.web.bench_form import REASONS, form_of, line_of
from advisor.web.case_text import with_item
from advisor.web.folder import TRIES, CaseFile
from advisor.web.render import go, page, wants_part
from advisor.web.shop import read_case_text

BY = "advisor_by"
STRICT = ("back", "lowered", "more")  # these act on what was seen, so it must still be so


def session_of(asked: Asked, file: CaseFile) -> BenchSession:
    """The walk of a case, with who is at the truck."""
    by = unquote(asked.request.cookies.get(BY, ""))[:60]
    return BenchSession(file.text, asked.shop.pack, str(file.path), by, asked.shop.today)


def show_bench(asked: Asked) -> Response:
    """The next step."""
    file = asked.shop.folder.read(asked.id)
    if asked.shop.case(file).confirmed is not None:
        return go(f"/cases/{asked.id}")
    return _step(asked, file, session_of(asked, file))


def _step(
    asked: Asked,
    file: CaseFile,
    session: BenchSession,
    status: int = 200,
    **more: Any,
) -> Response:
    shop, step = asked.shop, session.step
    groups = tuple(groups_of(shop.pack, session.case.vehicle))
    form = form_of(step, shop.pack, groups) if step.inspection is not None else None
    held = [c for finding in step.safety.findings for c in finding.cautions]
    values: dict[str, Any] = {"says": (), "problems": [], "meanwhile": None}
    return page(
        "parts/step.j2" if wants_part(asked.request) else "bench.html.j2", asked.request, status,
        shop=shop, file=file, s=step, form=form, reasons=REASONS, by=session.by,
        verdict_cautions=caution_notes(shop.pack, held),
        names={c.id: c.name for c in shop.pack.causes.values()}, log=_log(asked, session),
        undo=bool(session.record.log), **{**values, **more},
    )  # fmt: skip


def _log(asked: Asked, session: BenchSession) -> list[tuple[str, str]]:
    """What was done so far, newest first."""
    pack = asked.shop.pack
    made: list[tuple[str, str]] = []
    for step in session.record.log:
        id_, _, place = step.step.partition("@")
        kind, symptom = pack.inspections.get(id_), pack.symptoms.get(id_)
        name = kind.name if kind else symptom.name if symptom else id_
        if step.answer != "ready":
            made.append((f"{name}, {place.replace('_', ' ')}" if place else name, step.answer))
    return made[::-1]


def take_step(asked: Asked) -> Response:
    """One answer to the step that was shown."""
    line, seen = line_of(asked), asked.text("version")
    for _ in range(TRIES):
        file = asked.shop.folder.read(asked.id)
        session = session_of(asked, file)
        moved = session.step.id != asked.text("step") or asked.text("word") in STRICT
        if file.version != seen and moved:
            return _step(asked, file, session, 409, meanwhile=_mine(asked, line))
        try:
            reply = session.say(line)
            saved = asked.shop.folder.save_as_it_was(asked.id, file.version, session.text)
        except ChangedMeanwhile:
            continue
        except AdvisorError as error:
            return _step(asked, file, session, 422, problems=str(error).splitlines())
        return _taken(asked, saved, session, reply.says)
    raise AdvisorError("others keep changing this case; nothing was saved, please try again")


def _taken(asked: Asked, file: CaseFile, session: BenchSession, says: tuple[str, ...]) -> Response:
    if wants_part(asked.request):
        return _step(asked, file, session, says=says)
    return go(f"/cases/{asked.id}/bench")


def _mine(asked: Asked, line: str) -> dict[str, str]:
    """What was about to be said, to be put in question."""
    id_, _, place = asked.text("step").partition("@")
    kind = asked.shop.pack.inspections.get(id_)
    result = kind is not None and line.split(" ")[0] not in ("skip", "ready", *STRICT)
    name = kind.name if kind else id_.replace("_", " ")
    return {
        "step": asked.text("step"),
        "name": f"{name}, {place.replace('_', ' ')}" if place else name,
        "line": line,
        "again": "yes" if result else "",
    }


def take_result(asked: Asked) -> Response:
    """A result beside the walk: of a step that somebody else passed meanwhile."""
    id_, _, place = asked.text("step").partition("@")
    pack = asked.shop.pack
    kind = pack.inspections.get(id_)
    if kind is None:
        raise AdvisorError(f'"{id_[:60]}" is not an inspection')
    said = understand(asked.text("line"), kind, place)
    where = list(said.values) if said.word == "measured" else list(said.places)
    if not where and said.word == "found":
        here = parse_place(place) if place else None
        if kind.at != "vehicle" and (here is None or not here.side):
            raise AdvisorError("found where? enter it at the step, with its place")
    entries = []
    for one in where or [p.strip() for p in place.split(",")]:
        entry: dict[str, object] = {"id": id_}
        entry |= {"place": one} if one else {}
        numbers = {k: f"{v:.6g}" for k, v in said.values.get(one, {}).items()}
        entry["result"] = numbers or said.word
        entries.append(entry | {"date": asked.shop.today})

    def change(file: CaseFile) -> str:
        text = file.text
        for entry in entries:
            text = with_item(text, "inspections", entry, str(file.path))
        read_case_text(text, file.path, pack)
        return text

    asked.shop.folder.change(asked.id, change)
    return go(f"/cases/{asked.id}/bench")


def show_bench_why(asked: Asked) -> Response:
    """Why this step comes now."""
    file = asked.shop.folder.read(asked.id)
    session = session_of(asked, file)
    return _step(asked, file, session, says=session.say("why").says)


def take_who(asked: Asked) -> Response:
    """Remember on this tablet who is at the truck."""
    made = go(f"/cases/{asked.id}/bench")
    _remember(made, asked.text("by"))
    return made


def _remember(reply: Response, by: str) -> None:
    reply.set_cookie(BY, quote(by[:60]), max_age=30 * 24 * 3600, httponly=True, samesite="strict")
