"""The printable board: the day's list, a page of questions for each driver."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from jinja2 import FileSystemLoader

from advisor.model.pack import Pack
from advisor.model.stack import where
from advisor.report import words
from advisor.report.html import _environment
from advisor.triage import say
from advisor.triage.board import Board
from advisor.triage.pages import SHOWN_REJECTS, about_money

MOST_LINES, MOST_DRIVERS, MOST_APART = 400, 40, 200
QUESTIONS = 5


def board_html(
    board: Board,
    pack: Pack,
    drivers: Mapping[int, list[str]],
    sheets: Mapping[str, str],
    most: int | None = None,
) -> str:
    """One self-contained page. drivers: questions by place in the list; sheets: file of the bench
    sheet by unit; most: units listed."""
    shown = board.first(MOST_LINES if most is None else most)
    environment = _environment().overlay(
        loader=FileSystemLoader(
            [Path(__file__).parent / "templates", Path(__file__).parent.parent / "report/templates"]
        )
    )
    return environment.get_template("board.html.j2").render(
        board=board,
        pack=pack,
        say=say,
        words=words,
        where=where,
        lines=list(enumerate(shown, 1)),
        left=len(board.lines) - len(shown),
        cautions=say.cautions(shown, pack),
        drivers=drivers,
        sheets=sheets,
        urgent=[row for row in board.apart if row.level != "none"],
        calm=[row for row in board.apart if row.level == "none"][:MOST_APART],
        calm_left=max(0, sum(r.level == "none" for r in board.apart) - MOST_APART),
        rejects=board.rejects[:SHOWN_REJECTS],
        foot=[words.DEFER, *about_money(pack)],
    )


def driver_questions(board: Board, pack: Pack, most: int = MOST_DRIVERS) -> dict[int, list[str]]:
    """The questions worth asking about each of the first units, by place in the list."""
    from advisor.errors import ClashingEvidence
    from advisor.pipeline import assess, safety_of
    from advisor.plan.questions import questions

    made: dict[int, list[str]] = {}
    for order, line in enumerate(board.lines[:most], 1):
        try:
            assessed = assess(line.unit.told.as_case(), pack)
        except ClashingEvidence:
            made[order] = [f"These cannot all be so, which is it? {line.glance.quick.clash}"]
            continue
        may_drive = safety_of(assessed).level != "stop"
        asked = questions(pack, assessed, most=QUESTIONS, may_drive=may_drive)
        made[order] = [q.ask for q in asked]
    return made
