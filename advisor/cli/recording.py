"""The command about one road recording."""

from __future__ import annotations

from typing import Annotated

import typer

from advisor.cli.shared import (
    FormatOption,
    OutputOption,
    RulesOption,
    chosen,
    load_pack,
    show,
)

Number = float | None


def recording(
    file: Annotated[str, typer.Argument(help="A recording: CSV text or WAV.")],
    tire: Annotated[str | None, typer.Option(help="Tire size, such as 295/75R22.5.")] = None,
    revs_per_mile: Annotated[Number, typer.Option(help="Measured, instead of --tire.")] = None,
    axle_ratio: Annotated[Number, typer.Option(help="Axle ratio, for shaft orders.")] = None,
    gear_ratio: Annotated[Number, typer.Option(help="Ratio of the gear driven in.")] = None,
    cylinders: Annotated[int | None, typer.Option(help="Engine cylinders.")] = None,
    rpm: Annotated[Number, typer.Option(help="Engine speed, at a steady road speed.")] = None,
    vehicle: Annotated[str, typer.Option(help="Vehicle type.")] = "linehaul_tractor",
    speed: Annotated[
        str, typer.Option(help="Road speed: 62mph, 100km/h, or from-ridge to find it.")
    ] = "",
    speed_file: Annotated[str, typer.Option(help="A speed log: time and speed columns.")] = "",
    time: Annotated[str, typer.Option(help="Time column, by name or number from 1.")] = "",
    axes: Annotated[str, typer.Option(help="Acceleration columns, with commas between.")] = "",
    speed_column: Annotated[str, typer.Option(help="Road speed column.")] = "",
    time_unit: Annotated[str, typer.Option(help="s, ms, us or ns.")] = "",
    unit: Annotated[str, typer.Option(help="Acceleration in g, mg or m/s2.")] = "",
    speed_unit: Annotated[str, typer.Option(help="Speed in mph, km/h, m/s or kn.")] = "",
    rate: Annotated[Number, typer.Option(help="Samples a second, without a time column.")] = None,
    full_scale: Annotated[str, typer.Option(help="WAV: acceleration at full scale, 4g.")] = "",
    format: FormatOption = None,
    output: OutputOption = None,
    rules: RulesOption = None,
) -> None:
    """Read a road recording: which order or fixed frequency shakes, and how bad it is."""
    from advisor.intake.recording_columns import Columns
    from advisor.intake.recording_drive import Said, said_units
    from advisor.orders import named_vehicle
    from advisor.recordings.sheet import recording_sheet
    from advisor.report.recording import render_recording

    pack = load_pack(rules)
    named = named_vehicle(
        pack, vehicle, tire, axle_ratio, revs_per_mile, rpm, gear_ratio, cylinders
    )
    said_units(time_unit=time_unit, unit=unit, speed_unit=speed_unit, rate=rate)
    columns = Columns(
        time=time,
        axes=tuple(name.strip() for name in axes.split(",") if name.strip()),
        speed=speed_column,
        time_unit=time_unit,
        acceleration_unit=unit,
        speed_unit=speed_unit,
        sample_rate_hz=rate,
    )
    log = Columns(speed_unit=speed_unit)
    said = Said(columns, speed, speed_file, log, full_scale, rpm)
    sheet = recording_sheet(file, said, named, pack)
    show(render_recording(sheet, str(chosen(format, output))), output)
