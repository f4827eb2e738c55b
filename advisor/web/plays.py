"""Drills being played: one small file each, saved after every move, so a tablet may go dark."""

from __future__ import annotations

import re
import secrets
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from advisor.drill.checklist import load_checklist
from advisor.drill.choose import default_cases_folder, worked_cases
from advisor.drill.debrief import debrief
from advisor.drill.game import Drill
from advisor.drill.progress import NAME, add, done_of
from advisor.drill.score import Score
from advisor.drill.sheets import sheet_number
from advisor.drill.talk import WIDTH, respond
from advisor.errors import AdvisorError
from advisor.files import write_whole
from advisor.model.base import Record
from advisor.model.case import Case
from advisor.report.page import Page
from advisor.web.shop import Shop

TOKEN = re.compile(r"^[a-f0-9]{12}$")
FOLDER = ".drills"


class Play(Record):
    """moves: lines as they are typed at `advisor drill`, oldest first; score: once it is over."""

    case: str
    seed: int
    apprentice: str = ""
    moves: tuple[str, ...] = ()
    score: Score | None = None


@dataclass(frozen=True)
class Shown:
    """A play as it stands, and what each move brought."""

    play: Play
    drill: Drill
    told: tuple[tuple[str, tuple[str, ...]], ...]


def classroom(shop: Shop) -> Path:
    """Where plays and progress files are; made where it is missing."""
    folder = Path(shop.settings.classroom or shop.folder.root / FOLDER)
    try:
        folder.mkdir(exist_ok=True)
    except OSError as error:
        reason = (error.strerror or "").lower()
        raise AdvisorError(f"{folder}: cannot make the folder of drills: {reason}") from None
    return folder


def cases_to_play(shop: Shop) -> dict[str, Case]:
    """Worked cases by a number that does not give them away: those that came with the program."""
    made: dict[str, Case] = shop.kept(
        "cases to play",
        lambda: {sheet_number(c): c for c in worked_cases(default_cases_folder(), shop.pack)},
    )
    return made


def begin(number: str, apprentice: str, shop: Shop) -> str:
    """Start a play; returns its token."""
    if number not in cases_to_play(shop):
        raise AdvisorError("choose one of the cases of the list")
    if apprentice and not NAME.match(apprentice):
        raise AdvisorError("your name: letters, digits, dash and underscore, at most 40")
    token = secrets.token_hex(6)
    play = Play(case=number, seed=secrets.randbelow(10_000), apprentice=apprentice)
    _save(token, play, shop)
    return token


def move(token: str, line: str, count: int, shop: Shop) -> Shown:
    """Make one more move. count: how many the tablet had seen, so that none is made twice."""
    shown = show(token, shop)
    if shown.play.score is not None:
        raise AdvisorError("this drill is over")
    if len(shown.play.moves) != count:
        raise AdvisorError("this drill went on meanwhile; look at it once more")
    _, score = respond(shown.drill, line)
    play = shown.play.model_copy(update={"moves": (*shown.play.moves, line), "score": score})
    _save(token, play, shop)
    if score is not None and play.apprentice:
        add(classroom(shop), play.apprentice, done_of(shown.drill, score))
    return show(token, shop)


def show(token: str, shop: Shop) -> Shown:
    """Play the moves once more; the same moves always bring the same."""
    play = _read(token, shop)
    case = cases_to_play(shop).get(play.case)
    if case is None:
        raise AdvisorError("the case of this drill is not there any more")
    ids = load_checklist(shop.pack, Path(shop.settings.rules) if shop.settings.rules else None).ids
    drill = Drill(case, shop.pack, ids, play.seed)
    told = []
    # scoring plays the planner and the checklist through as well, so it is done once and kept
    for line in play.moves[:-1] if play.score else play.moves:
        lines, _ = respond(drill, line)
        told.append((line, unwrapped(lines)))
    return Shown(play, drill, tuple(told))


def unwrapped(lines: Sequence[str]) -> tuple[str, ...]:
    """Lines wrapped for a terminal, made whole again: one goes on where its next word would not
    have fitted."""
    made: list[str] = []
    room = 0
    for line in lines:
        first = (line.split() or [""])[0]
        if made and len(first) + 1 > room:
            made[-1] += f" {line.strip()}"
        else:
            made.append(line.strip())
        room = WIDTH - len(line)
    return tuple(made)


def debriefed(token: str, shown: Shown, shop: Shop) -> Page:
    """The debrief of a finished play."""
    assert shown.play.score is not None
    score = shown.play.score
    made: Page = shop.kept(("debrief", token), lambda: debrief(shown.drill, score))
    return made


def _file(token: str, shop: Shop) -> Path:
    if not TOKEN.match(token):
        raise AdvisorError("there is no such drill")
    return classroom(shop) / f"{token}.json"


def _read(token: str, shop: Shop) -> Play:
    file = _file(token, shop)
    if not file.is_file():
        raise AdvisorError("there is no such drill")
    try:
        return Play.model_validate_json(file.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        raise AdvisorError("the file of this drill was changed and cannot be read") from None


def _save(token: str, play: Play, shop: Shop) -> None:
    write_whole(_file(token, shop), play.model_dump_json(indent=1) + "\n")
