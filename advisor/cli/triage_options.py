"""Options of advisor triage."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer


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

FileArgument = Annotated[
    str,
    typer.Argument(
        help="CSV, JSON Lines, a JSON array, a folder of case files, or - for standard input."
    ),
]
ColumnOption = Annotated[
    list[str] | None,
    typer.Option("--column", help="Which column is what, as text=Complaint; repeatable."),
]
VehicleOption = Annotated[str, typer.Option(help="Vehicle type where a row names none.")]
EncodingOption = Annotated[str | None, typer.Option(help="Of the file; guessed if not given.")]
DelimiterOption = Annotated[str | None, typer.Option(help="Between columns; guessed likewise.")]
DayFirstOption = Annotated[
    bool, typer.Option("--day-first", help="Read 3/4/2031 as the third of April.")
]
TopOption = Annotated[int | None, typer.Option(min=1, help="Show so many units (text, HTML).")]
FullOption = Annotated[bool, typer.Option("--full", help="With write-ups, equipment, money.")]
SheetOption = Annotated[
    list[str] | None,
    typer.Option(help="Write a bench sheet for this unit; repeatable, needs -o."),
]
RejectsOption = Annotated[
    Path | None, typer.Option(help="Write what could not be read to this file.")
]
ProcessesOption = Annotated[int, typer.Option(min=1, max=64, help="How many work at once.")]
ClusterOption = Annotated[
    str | None, typer.Option(help="Address of a Dask cluster that does the work.")
]
BoardFormatOption = Annotated[
    BoardFormat | None,
    typer.Option(
        "--format", "-f", help="How to show it; taken from the ending of -o if not given."
    ),
]
