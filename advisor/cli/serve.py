"""The command that serves the page."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from advisor.cli.shared import OverlayOption, RulesOption
from advisor.errors import AdvisorError


def serve(
    host: Annotated[
        str, typer.Option(help="Address to listen on; any but the loopback needs --phrase-file.")
    ] = "127.0.0.1",
    port: Annotated[int, typer.Option(min=1, max=65535, help="Port to listen on.")] = 8420,
    cases: Annotated[Path, typer.Option("--cases", help="The shop's folder of case files.")] = Path(
        "cases"
    ),
    phrase_file: Annotated[
        Path | None, typer.Option("--phrase-file", help="File with the access phrase, one line.")
    ] = None,
    classroom: Annotated[
        Path | None, typer.Option("--class", help="Folder of drills and progress files.")
    ] = None,
    workers: Annotated[int, typer.Option(min=1, max=16, help="Processes; one a core.")] = 2,
    rules: RulesOption = None,
    overlay: OverlayOption = None,
) -> None:
    """Serve the page for tablets in the shop, from a folder of case files."""
    try:
        from advisor.web.serve import serve as serve_page
        from advisor.web.settings import Settings
    except ModuleNotFoundError as error:
        raise AdvisorError(
            f"the page needs the package {error.name}; install vibration-advisor[page]"
        ) from None
    settings = Settings(
        cases=str(cases),
        rules=str(rules or ""),
        overlay=str(overlay or ""),
        host=host,
        phrase_file=str(phrase_file or ""),
        classroom=str(classroom or ""),
    )
    serve_page(settings, port, workers)
