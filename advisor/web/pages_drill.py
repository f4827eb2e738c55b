"""The drill: an apprentice plays a worked case; a trainer sees the class."""

from __future__ import annotations

from starlette.responses import Response

from advisor.drill.driver import WORK, topics
from advisor.drill.paths import axles
from advisor.drill.progress import ENDING, class_summary
from advisor.drill.rate import rate
from advisor.drill.sheets import vehicle_words
from advisor.errors import AdvisorError
from advisor.intake.checker import places_of
from advisor.model.pack import Inspection
from advisor.plan.inspections import room_words
from advisor.web import plays
from advisor.web.asked import Asked
from advisor.web.plays import Shown
from advisor.web.render import go, page
from advisor.web.sections import show_page


def show_drills(asked: Asked) -> Response:
    """The cases that can be played."""
    return _drills(asked)


def _drills(asked: Asked, problem: str = "", status: int = 200) -> Response:
    shop = asked.shop
    rows = [
        (number, vehicle_words(case, shop.pack), case.write_up, _level(asked, number))
        for number, case in plays.cases_to_play(shop).items()
    ]
    return page(
        "drills.html.j2", asked.request, status, shop=shop, rows=sorted(rows),
        problems=problem.splitlines(), apprentice=asked.text("apprentice"),
    )  # fmt: skip


def _level(asked: Asked, number: str) -> str:
    shop = asked.shop
    case = plays.cases_to_play(shop)[number]
    level: str = shop.kept(("level", number), lambda: rate(case, shop.pack).level)
    return level


def begin_drill(asked: Asked) -> Response:
    """Start playing a case."""
    try:
        token = plays.begin(asked.text("number"), asked.text("apprentice"), asked.shop)
    except AdvisorError as error:
        return _drills(asked, str(error), 422)
    return go(f"/drill/{token}")


def show_drill(asked: Asked) -> Response:
    """A drill as it stands; the debrief when it is over."""
    shown = plays.show(asked.id, asked.shop)
    if shown.play.score is not None:
        made = plays.debriefed(asked.id, shown, asked.shop)
        return show_page(asked, made, back="/drill")
    return _drill(asked, shown)


def _drill(asked: Asked, shown: Shown, problem: str = "", status: int = 200) -> Response:
    drill, pack = shown.drill, asked.shop.pack
    here = pack.vehicles[drill.case.vehicle.type]
    return page(
        "drill.html.j2", asked.request, status, shop=asked.shop, token=asked.id, shown=shown,
        vehicle=vehicle_words(drill.case, pack), topics=topics(pack), work=WORK,
        checks=_checks(shown, asked), causes=pack.causes, problems=problem.splitlines(),
        places=[p for p in places_of(here) if "_" in p],
        opened=[room_words(pack, r) for r in sorted(drill.walk.opened)],
    )  # fmt: skip


def _checks(shown: Shown, asked: Asked) -> list[tuple[str, list[tuple[Inspection, list[str]]]]]:
    """Checks of this vehicle by state of access, each with the axles it can be done at."""
    drill, pack = shown.drill, asked.shop.pack
    made = []
    for state in pack.access.values():
        kinds = [
            (kind, axles(drill.world, kind))
            for kind in pack.inspections.values()
            if kind.access == state.id
        ]
        if kinds := [(kind, places) for kind, places in kinds if places]:
            made.append((state.name, kinds))
    return made


def take_drill(asked: Asked) -> Response:
    """One move."""
    count = int(asked.text("count")) if asked.text("count").isdigit() else -1
    try:
        plays.move(asked.id, _line(asked), count, asked.shop)
    except AdvisorError as error:
        return _drill(asked, plays.show(asked.id, asked.shop), str(error), 422)
    return go(f"/drill/{asked.id}#told")


def _line(asked: Asked) -> str:
    """A form as the line that is typed at a terminal."""
    if asked.text("ask"):
        return f"ask {asked.text('ask')}"
    if asked.text("check"):
        check, _, place = asked.text("check").partition("@")
        return f"do {check} {place}".strip()
    place = asked.text("place") or "-"
    return f"name {asked.text('cause')} {place} {asked.text('sure')}"


def show_class(asked: Asked) -> Response:
    """The trainer's summary."""
    folder = plays.classroom(asked.shop)
    if not list(folder.glob(f"*{ENDING}")):
        return _drills(asked, "Nobody has finished a drill under a name yet.")
    return show_page(asked, class_summary(folder, asked.shop.pack), back="/drill")
