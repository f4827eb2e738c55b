"""The drill: a worked case with the answer hidden, worksheets, and the trainer's summary."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from advisor.cli.ask import Answers
from advisor.cli.shared import FormatOption, OutputOption, RulesOption, chosen, load_pack, show
from advisor.errors import AdvisorError
from advisor.report.clean import clean

if TYPE_CHECKING:
    from advisor.drill.game import Drill
    from advisor.drill.score import Score
    from advisor.model.case import Case
    from advisor.model.pack import Pack


def drill(
    case: Annotated[
        str | None, typer.Argument(help="A worked case file, or its name; else one is drawn.")
    ] = None,
    family: Annotated[str | None, typer.Option(help="Draw from this family of causes.")] = None,
    vehicle: Annotated[str | None, typer.Option(help="Draw from this vehicle type.")] = None,
    difficulty: Annotated[str | None, typer.Option(help="easy, medium or hard.")] = None,
    seed: Annotated[int, typer.Option(help="Which case is drawn, and its unwritten results.")] = 0,
    cases: Annotated[Path | None, typer.Option("--cases", help="Folder of worked cases.")] = None,
    answers: Annotated[
        Path | None, typer.Option("--answers", help="Take answers from this file, one a line.")
    ] = None,
    worksheet: Annotated[
        bool, typer.Option("--worksheet", help="Print the case without its answer.")
    ] = False,
    key: Annotated[bool, typer.Option("--key", help="Print the answer key.")] = False,
    apprentice: Annotated[
        str | None, typer.Option("--apprentice", help="Whose progress file to add this drill to.")
    ] = None,
    class_: Annotated[
        Path | None,
        typer.Option("--class", help="Folder of progress files; alone: the trainer's summary."),
    ] = None,
    format: FormatOption = None,
    output: OutputOption = None,
    rules: RulesOption = None,
) -> None:
    """Play a worked case with the answer hidden and be scored; -o writes the debrief."""
    from advisor.drill.checklist import load_checklist
    from advisor.report.page import render_page

    pack = load_pack(rules)
    kind = str(chosen(format, output))
    if class_ is not None and apprentice is None:
        from advisor.drill.progress import class_summary

        show(render_page(class_summary(class_, pack), kind), output)
        return
    chosen_case = _case(case, cases, pack, seed, family, vehicle, difficulty)
    ids = load_checklist(pack, rules).ids
    if worksheet or key:
        _sheet(chosen_case, pack, ids, seed, worksheet, kind, output)
        return
    if apprentice is not None and class_ is None:
        raise AdvisorError("--apprentice needs --class FOLDER, where the progress files are")
    _play(chosen_case, pack, ids, seed, Answers(answers), kind, output, apprentice, class_)


def _case(
    name: str | None,
    folder: Path | None,
    pack: Pack,
    seed: int,
    family: str | None,
    vehicle: str | None,
    difficulty: str | None,
) -> Case:
    from advisor.drill.choose import (
        choose,
        default_cases_folder,
        not_one_of,
        playable,
        worked_cases,
    )
    from advisor.intake.case_file import read_case

    if name is not None and (Path(name).suffix or Path(name).exists()):
        read = read_case(name, pack)
        if not playable(read, pack):
            what = "it has no confirmed cause that the list knows and this vehicle can have"
            raise AdvisorError(f"{name}: this case cannot be played: {what}")
        return read
    every = worked_cases(folder or default_cases_folder(), pack)
    if name is not None:
        found = [c for c in every if c.id == name or c.id.split("-")[0] == name]
        if len(found) != 1:
            raise not_one_of(name, [c.id for c in every], "worked case")
        return found[0]
    return choose(every, pack, seed, family, vehicle, difficulty)


def _sheet(
    case: Case, pack: Pack, ids: list[str], seed: int, blank: bool, kind: str, output: Path | None
) -> None:
    from advisor.drill.sheets import answer_key, worksheet
    from advisor.report.page import render_page

    page = worksheet(case, pack) if blank else answer_key(case, pack, ids, seed)
    show(render_page(page, kind), output)


def _play(
    case: Case,
    pack: Pack,
    ids: list[str],
    seed: int,
    answers: Answers,
    kind: str,
    output: Path | None,
    apprentice: str | None,
    folder: Path | None,
) -> None:
    """Play to the end; the debrief goes to the screen as text, and to -o in its own format."""
    from advisor.drill.debrief import debrief
    from advisor.drill.game import Drill
    from advisor.drill.progress import add, done_of
    from advisor.drill.talk import greeting, respond
    from advisor.report.page import render_page

    game = Drill(case, pack, ids, seed)
    _say(greeting(game))
    score = _until_named(game, answers, respond)
    page = debrief(game, score)
    if apprentice is not None and folder is not None:
        _say([f"Noted in {add(folder, apprentice, done_of(game, score))}", ""])
    sys.stdout.write(render_page(page, "text"))
    if output is not None:
        show(render_page(page, kind), output)


def _until_named(game: Drill, answers: Answers, respond) -> Score:  # type: ignore[no-untyped-def]
    """Take lines until a cause is named. Raises AdvisorError when the lines end before that."""
    while (line := answers.next()) is not None:
        try:
            lines, score = respond(game, line)
        except AdvisorError as error:
            answers.refuse(error)
            continue
        _say(lines)
        if score is not None:
            return score
        if line.strip().lower() == "stop":
            break
    raise AdvisorError("the drill ended before a cause was named, so there is no score")


def _say(lines: list[str]) -> None:
    sys.stdout.writelines(clean(f"{line}\n") for line in lines)
