"""advisor triage: a stack of write-ups -> the day's list."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from advisor.cli.shared import (
    STOP_FINDING,
    OutputOption,
    OverlayOption,
    PersonalOption,
    RulesOption,
    load_pack,
    show,
)
from advisor.cli.triage_input import read_stack
from advisor.cli.triage_options import (
    ENDINGS,
    BoardFormat,
    BoardFormatOption,
    ClusterOption,
    ColumnOption,
    DayFirstOption,
    DelimiterOption,
    EncodingOption,
    FileArgument,
    FullOption,
    ProcessesOption,
    RejectsOption,
    SheetOption,
    TopOption,
    VehicleOption,
)
from advisor.errors import AdvisorError, did_you_mean, one_of
from advisor.files import write_whole

if TYPE_CHECKING:
    from advisor.model.pack import Pack
    from advisor.triage.board import Board


def triage(
    file: FileArgument,
    column: ColumnOption = None,
    vehicle: VehicleOption = "linehaul_tractor",
    encoding: EncodingOption = None,
    delimiter: DelimiterOption = None,
    day_first: DayFirstOption = False,
    top: TopOption = None,
    full: FullOption = False,
    sheet: SheetOption = None,
    rejects: RejectsOption = None,
    processes: ProcessesOption = 2,
    cluster: ClusterOption = None,
    format: BoardFormatOption = None,
    output: OutputOption = None,
    show_personal: PersonalOption = False,
    rules: RulesOption = None,
    overlay: OverlayOption = None,
) -> None:
    """Sort a stack of write-ups: what must not roll, which unit first, what to ask and book."""
    from advisor.triage.board import make_board
    from advisor.triage.work import Options

    pack = load_pack(rules, overlay)
    if vehicle not in pack.vehicles:
        near = did_you_mean(vehicle, pack.vehicles)
        raise AdvisorError(
            f'--vehicle "{vehicle}" is not known; allowed: {one_of(pack.vehicles)}; {near}'
        )
    if sheet and output is None:
        raise AdvisorError("--sheet writes files beside the board; name the board with -o")
    stack = read_stack(file, column or [], encoding, delimiter, pack)
    options = Options(vehicle, day_first, show_personal)
    with _Bar() as bar:
        board = make_board(stack, pack, options, processes, bar.tell, cluster)
    kind = format or (ENDINGS.get(output.suffix.lower()) if output else None) or BoardFormat.text
    sheets = _sheets(board, sheet or [], output, pack)
    show(_render(board, pack, kind, top, full, sheets), output)
    _note_rejects(board, rejects, output)
    if board.must_stop:
        raise typer.Exit(STOP_FINDING)


def _render(
    board: Board,
    pack: Pack,
    kind: BoardFormat,
    top: int | None,
    full: bool,
    sheets: dict[str, str],
) -> str:
    from advisor.report.page import render_page
    from advisor.triage import pages, tables

    if kind is BoardFormat.json:
        return tables.board_json(board, pack)
    if kind is BoardFormat.csv:
        return tables.board_csv(board, pack)
    if kind is BoardFormat.html:
        from advisor.triage.html import board_html, driver_questions

        return board_html(board, pack, driver_questions(board, pack), sheets, top)
    return render_page(pages.board_page(board, pack, top, full), str(kind))


def _sheets(board: Board, units: list[str], output: Path | None, pack: Pack) -> dict[str, str]:
    """Bench sheets beside the board; file name by unit."""
    from advisor.report.html import render_html
    from advisor.triage.sheet import file_name, line_of, unit_sheet

    lines = [line_of(board, unit) for unit in units]
    made: dict[str, str] = {}
    for line in lines:
        assert output is not None
        path = output.with_name(f"{output.stem}-{file_name(line.unit.name)}.html")
        write_whole(path, render_html(unit_sheet(line, pack)))
        made[line.unit.name] = path.name
    return made


def _note_rejects(board: Board, rejects: Path | None, output: Path | None) -> None:
    """Write what was set aside beside the output, and say so."""
    from advisor.triage.tables import rejects_csv

    if not board.rejects:
        return
    if rejects is None and output is not None:
        rejects = output.with_name(f"{output.stem}-rejects.csv")
    where = "with --rejects FILE they are kept"
    if rejects is not None:
        write_whole(rejects, rejects_csv(board.rejects))
        where = f"see {rejects}"
    sys.stderr.write(f"{len(board.rejects)} of {board.rows} rows set aside: {where}\n")


class _Bar:
    """Progress on standard error, only where somebody looks at it."""

    def __init__(self) -> None:
        self._shown = sys.stderr is not None and sys.stderr.isatty()

    def __enter__(self) -> _Bar:
        return self

    def __exit__(self, *_: object) -> None:
        if self._shown:
            sys.stderr.write("\r\033[K")

    def tell(self, what: str, done: int, of: int) -> None:
        """Show how far the work is."""
        if self._shown and of:
            filled = 30 * done // of
            sys.stderr.write(f"\r{what:9} [{'#' * filled}{' ' * (30 - filled)}] {done} of {of}")
            sys.stderr.flush()
