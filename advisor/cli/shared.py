"""What every command shares: options, reading input, showing output."""

from __future__ import annotations

import sys
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from advisor.errors import AdvisorError
from advisor.files import write_whole
from advisor.report.clean import clean

if TYPE_CHECKING:
    from advisor.model.case import Case
    from advisor.model.pack import Pack

DONE, BAD_INPUT, STOP_FINDING = 0, 2, 3


class Format(StrEnum):
    """How a result is shown."""

    text = "text"
    json = "json"
    markdown = "markdown"
    html = "html"


FormatOption = Annotated[
    Format | None,
    typer.Option(
        "--format", "-f", help="How to show it; taken from the ending of -o if not given."
    ),
]
OutputOption = Annotated[
    Path | None, typer.Option("-o", "--output", help="Write to this file instead of the screen.")
]
RulesOption = Annotated[
    Path | None, typer.Option("--rules", help="Use the rule pack in this folder.")
]
OverlayOption = Annotated[
    Path | None, typer.Option("--overlay", help="A shop's own limits, minutes and priors.")
]

PersonalOption = Annotated[
    bool,
    typer.Option("--show-personal", help="Leave names, phone numbers and mail addresses readable."),
]

ENDINGS = {
    ".json": Format.json,
    ".md": Format.markdown,
    ".markdown": Format.markdown,
    ".html": Format.html,
    ".htm": Format.html,
    ".txt": Format.text,
}


def chosen(format_: Format | None, output: Path | None) -> Format:
    """The format asked for, or the one the file's ending means."""
    if format_ is not None:
        return format_
    return ENDINGS.get(output.suffix.lower(), Format.text) if output else Format.text


def show(text: str, output: Path | None) -> None:
    """Print, or write the file whole."""
    if output is not None and str(output) != "-":
        write_whole(output, text if text.endswith("\n") else text + "\n")
        return
    # the renderers clean what they show; this stands behind all of them
    sys.stdout.write(clean(text if text.endswith("\n") else text + "\n"))


def load_pack(rules: Path | None, overlay: Path | None = None) -> Pack:
    """The rule pack, with a shop's overlay where one is given."""
    from advisor.rulebook.cache import load_pack as load_kept
    from advisor.rulebook.overlay import apply_overlay

    pack = load_kept(rules)
    return apply_overlay(pack, overlay) if overlay is not None else pack


def load_case(path: str, pack: Pack) -> Case:
    """A case from a file, or from standard input for '-'."""
    from advisor.intake.case_file import read_case, read_case_bytes

    if path != "-":
        return read_case(path, pack)
    if sys.stdin is None or sys.stdin.isatty():
        raise AdvisorError("-: nothing was piped in; give a case file or pipe one into it")
    return read_case_bytes(sys.stdin.buffer.read(), pack)
