"""advisor triage: a stack of write-ups -> the day's list."""

from __future__ import annotations

import sys
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

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
from advisor.errors import AdvisorError, did_you_mean, one_of
from advisor.files import write_whole

if TYPE_CHECKING:
    from advisor.model.pack import Pack
    from advisor.model.stack import Stack
    from advisor.triage.board import Board


class BoardFormat(StrEnum):
    """How the day's list is shown."""

    text = "text"
    json = "json"
    csv = "csv"
    markdown = "markdown"
    html = "html"


ENDINGS = {
    ".json": BoardFormat.json,
    ".csv": BoardFormat.csv,
    ".md": BoardFormat.markdown,
    ".html": BoardFormat.html,
    ".htm": BoardFormat.html,
}


def triage(
    file: Annotated[
        str,
        typer.Argument(help="CSV, JSON Lines, a folder of case files, or - for standard input."),
    ],
    column: Annotated[
        list[str] | None,
        typer.Option("--column", help="Which column is what, as text=Complaint; repeatable."),
    ] = None,
    vehicle: Annotated[
        str, typer.Option("--vehicle", help="Vehicle type where a row names none.")
    ] = "linehaul_tractor",
    encoding: Annotated[str | None, typer.Option(help="Of the file; guessed if not given.")] = None,
    delimiter: Annotated[
        str | None, typer.Option(help="Between columns; guessed if not given.")
    ] = None,
    day_first: Annotated[
        bool, typer.Option("--day-first", help="Read 3/4/2031 as the third of April.")
    ] = False,
    top: Annotated[
        int | None, typer.Option("--top", min=1, help="Show so many units (text, HTML).")
    ] = None,
    full: Annotated[bool, typer.Option("--full", help="With write-ups, equipment, money.")] = False,
    sheet: Annotated[
        list[str] | None,
        typer.Option("--sheet", help="Write a bench sheet for this unit; repeatable, needs -o."),
    ] = None,
    rejects: Annotated[
        Path | None, typer.Option("--rejects", help="Write what could not be read to this file.")
    ] = None,
    processes: Annotated[int, typer.Option("--processes", min=1, max=64)] = 2,
    cluster: Annotated[
        str | None, typer.Option(help="Address of a Dask cluster that does the work.")
    ] = None,
    format: Annotated[BoardFormat | None, typer.Option("--format", "-f")] = None,
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
    stack = _stack(file, column or [], encoding, delimiter, pack)
    options = Options(vehicle, day_first, show_personal)
    with _Bar() as bar:
        board = make_board(stack, pack, options, processes, bar.tell, cluster)
    kind = format or (ENDINGS.get(output.suffix.lower()) if output else None) or BoardFormat.text
    sheets = _sheets(board, sheet or [], output, pack)
    show(_render(board, pack, kind, top, full, sheets), output)
    _note_rejects(board, rejects, output)
    if board.must_stop:
        raise typer.Exit(STOP_FINDING)


def _stack(
    file: str, columns: list[str], encoding: str | None, delimiter: str | None, pack: Pack
) -> Stack:
    """Whatever was named, as rows."""
    import codecs

    from advisor.intake.stack_columns import asked_columns
    from advisor.intake.stack_lines import read_folder, read_lines
    from advisor.intake.stack_table import read_table

    asked = asked_columns(columns)
    if file != "-" and Path(file).is_dir():
        return read_folder(Path(file), pack)
    try:
        encoding = codecs.lookup(encoding).name if encoding else None
    except LookupError:
        raise AdvisorError(
            f'--encoding "{encoding}" is not known; utf-8, cp1252 and utf-16 are usual'
        ) from None
    if delimiter is not None:
        delimiter = {"tab": "\t", "\\t": "\t"}.get(delimiter, delimiter)
        if len(delimiter) != 1 or delimiter in '"\r\n':
            raise AdvisorError('--delimiter is one character, such as ";" or tab')
    raw = _bytes(file)
    if raw.lstrip(b"\xef\xbb\xbf \t\r\n")[:1] == b"{" or file.lower().endswith(
        (".jsonl", ".ndjson")
    ):
        return read_lines(raw, file, pack.columns, asked, encoding)
    return read_table(raw, file, pack.columns, asked, encoding, delimiter)


def _bytes(file: str) -> bytes:
    if file == "-":
        if sys.stdin is None or sys.stdin.isatty():
            raise AdvisorError("-: nothing was piped in; give a file or pipe one into it")
        return sys.stdin.buffer.read()
    try:
        return Path(file).read_bytes()
    except OSError as error:
        folder = Path(file).parent
        names = [entry.name for entry in folder.iterdir()] if folder.is_dir() else []
        near = did_you_mean(Path(file).name, names)
        reason = (error.strerror or "").lower()
        raise AdvisorError(f"{file}: cannot read it: {reason}; {near}".rstrip("; ")) from None


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
