"""advisor read: what a driver's words say."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from advisor.cli.shared import (
    STOP_FINDING,
    FormatOption,
    OutputOption,
    PersonalOption,
    RulesOption,
    chosen,
    load_pack,
    show,
)
from advisor.errors import AdvisorError

LONGEST_NAME = 250


def read(
    text: Annotated[
        str, typer.Argument(help="The write-up itself, a text file, or - for standard input.")
    ],
    item: Annotated[
        str, typer.Option("--item", help="The inspection-report item it stands beside.")
    ] = "",
    format: FormatOption = None,
    output: OutputOption = None,
    show_personal: PersonalOption = False,
    rules: RulesOption = None,
) -> None:
    """Read a write-up: symptoms, places, speeds, work done, denials, and what must not wait."""
    from advisor.intake.merge_write_up import masked
    from advisor.model.stack import StackRow
    from advisor.plan.safety import gate_of
    from advisor.report.read_sheet import render_read
    from advisor.triage.rows import RowReader

    pack = load_pack(rules)
    said = _said(text)
    reader = RowReader(pack, next(iter(pack.vehicles)))
    found = reader.read_text(StackRow(1, said, item=item))
    seen = {a.symptom: a.symptom for a in found.answers if a.state == "yes"}
    level = gate_of(pack, seen, {}).level if found.safety else "none"
    shown = said if show_personal else masked(said, found.personal)
    show(render_read(found, pack, shown, str(chosen(format, output)), level), output)
    if level == "stop":
        raise typer.Exit(STOP_FINDING)


def _said(text: str) -> str:
    """The write-up: from standard input, from a file if there is one of that name, or as given."""
    from advisor.yaml_marks import decode

    if text == "-":
        if sys.stdin is None or sys.stdin.isatty():
            raise AdvisorError("-: nothing was piped in; give a write-up or pipe one into it")
        return _some(decode(sys.stdin.buffer.read(), "-"), "-")
    if len(text) <= LONGEST_NAME and "\n" not in text and Path(text).is_file():
        return _some(decode(Path(text).read_bytes(), text), text)
    return _some(text, "TEXT")


def _some(text: str, name: str) -> str:
    if not text.strip():
        raise AdvisorError(f"{name}: there is no write-up in it")
    return text.strip("\ufeff\r\n")
