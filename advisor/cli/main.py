"""Entry point: commands are put together here, errors become one clear message and exit code 2."""

from __future__ import annotations

import os
import sys
from contextlib import suppress

import typer

from advisor import __version__
from advisor.cli import (
    bench,
    cases,
    drill,
    read,
    readings,
    recording,
    rules,
    serve,
    simulate,
    triage,
    trust,
)
from advisor.errors import AdvisorError, InputProblems
from advisor.report.clean import clean

app = typer.Typer(
    name="advisor",
    help="From a driver's vibration complaint to ranked causes and the next inspections.",
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
)
app.command()(cases.rank)
app.command()(cases.why)
app.command()(cases.orders)
app.command()(read.read)
app.command()(triage.triage)
app.command()(readings.runout)
app.command()(readings.balance)
app.command()(recording.recording)
app.command()(bench.bench)
app.command()(bench.close)
app.command()(drill.drill)
app.command()(simulate.simulate)
app.command()(serve.serve)
app.command()(trust.score)
app.command()(trust.learn)
rules.app.command()(trust.compare)
rules.app.command()(trust.release)
app.add_typer(rules.app, name="rules")


def _version(value: bool) -> None:
    if value:
        sys.stdout.write(f"advisor {__version__}\n")
        raise typer.Exit


@app.callback()
def _main(
    version: bool = typer.Option(
        False, "--version", callback=_version, is_eager=True, help="Show the version."
    ),
) -> None:
    pass


def run() -> None:
    """Run the command line; no traceback reaches a user. Raises SystemExit with the exit code."""
    sys.exit(_run())


def start() -> None:
    """Run the command line as a process of its own, and leave it."""
    code = _run()
    for stream in (sys.stdout, sys.stderr):
        if stream is not None:
            with suppress(OSError, ValueError):
                stream.flush()
    # everything is written and closed; taking a hundred thousand objects apart would only take time
    os._exit(code)


def _run() -> int:
    """Run a command and return the exit code."""
    try:
        app()
    except SystemExit as end:
        return end.code if isinstance(end.code, int) else int(end.code is not None)
    except AdvisorError as error:
        sys.stderr.write(f"{clean(str(error))}\n")  # it quotes what stood in the input
        if isinstance(error, InputProblems) and len(error.problems) > 1:
            sys.stderr.write(f"{len(error.problems)} problems\n")
        return 2
    except BrokenPipeError:
        # the reader went away (| head); send the rest nowhere so that exit stays quiet
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except KeyboardInterrupt:
        sys.stderr.write("stopped\n")
        return 130
    except Exception as error:
        if os.environ.get("ADVISOR_TRACE"):
            raise
        what = clean(f"{type(error).__name__}: {error}")
        sys.stderr.write(
            f"a fault of the program itself, not of your input: {what}\n"
            "nothing was half-written; ADVISOR_TRACE=1 shows where, for a report to its makers\n"
        )
        return 1
    return 0
