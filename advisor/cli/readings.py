"""Commands about numbers from the bay: runout, balance."""

from __future__ import annotations

import sys
from typing import Annotated

import typer

from advisor.cli.shared import (
    FormatOption,
    OutputOption,
    OverlayOption,
    RulesOption,
    chosen,
    load_pack,
    show,
)
from advisor.errors import AdvisorError

FileArgument = Annotated[
    str, typer.Argument(help="A YAML or CSV file of readings, or - for standard input.")
]
WhereOption = Annotated[
    str | None, typer.Option(help="Where it was read, such as steer_left, if the file is silent.")
]
VehicleOption = Annotated[str, typer.Option(help="Vehicle type, which decides the limits.")]
TireOption = Annotated[str | None, typer.Option(help="Tire size, such as 295/75R22.5.")]
DutyOption = Annotated[str | None, typer.Option(help="Duty; the vehicle's usual one if left out.")]
WheelOption = Annotated[str | None, typer.Option(help="Kind of wheel, such as steel_disc.")]


def runout(
    file: FileArgument,
    place: WhereOption = None,
    vehicle: VehicleOption = "linehaul_tractor",
    tire: TireOption = None,
    duty: DutyOption = None,
    wheel: WheelOption = None,
    format: FormatOption = None,
    output: OutputOption = None,
    rules: RulesOption = None,
    overlay: OverlayOption = None,
) -> None:
    """Say what dial readings show: total, high spot, part or mounting, where to turn the tire."""
    from advisor.reading_sheet import reading_sheet
    from advisor.report.readings import render_readings

    sheet = reading_sheet(
        file, _piped(file), "runout", load_pack(rules, overlay),
        place=place, vehicle=vehicle, tire=tire, duty=duty, wheel=wheel,
    )  # fmt: skip
    show(render_readings(sheet, str(chosen(format, output))), output)


def balance(
    file: FileArgument,
    place: WhereOption = None,
    vehicle: VehicleOption = "linehaul_tractor",
    tire: TireOption = None,
    duty: DutyOption = None,
    wheel: WheelOption = None,
    format: FormatOption = None,
    output: OutputOption = None,
    rules: RulesOption = None,
    overlay: OverlayOption = None,
) -> None:
    """Say what balance readings show: against the limits, what it pulls, where to add weight."""
    from advisor.reading_sheet import reading_sheet
    from advisor.report.readings import render_readings

    sheet = reading_sheet(
        file, _piped(file), "balance", load_pack(rules, overlay),
        place=place, vehicle=vehicle, tire=tire, duty=duty, wheel=wheel,
    )  # fmt: skip
    show(render_readings(sheet, str(chosen(format, output))), output)


def _piped(file: str) -> bytes | None:
    """Standard input for '-', else nothing."""
    if file != "-":
        return None
    if sys.stdin is None or sys.stdin.isatty():
        raise AdvisorError("-: nothing was piped in; give a file of readings or pipe one into it")
    return sys.stdin.buffer.read()
