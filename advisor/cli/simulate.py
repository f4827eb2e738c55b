"""The simulate command."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from advisor.cli.shared import RulesOption, load_pack


def simulate(
    output: Annotated[
        Path, typer.Option("-o", "--output", help="A new folder for the files.", show_default=False)
    ],
    vehicle: Annotated[str, typer.Option(help="Vehicle type.")] = "linehaul_tractor",
    cause: Annotated[
        list[str] | None,
        typer.Option(
            help="A planted cause, cause@place:severity, such as imbalance@steer_left:14oz; "
            "several may be given, and without one the vehicle is sound."
        ),
    ] = None,
    seed: Annotated[int, typer.Option(help="The same seed gives the same files.")] = 1,
    tire: Annotated[str | None, typer.Option(help="Tire size, such as 295/75R22.5.")] = None,
    axle_ratio: Annotated[float | None, typer.Option(help="Axle ratio.")] = None,
    drive: Annotated[
        str, typer.Option(help="run_up, steady, coast_down or stop_and_go.")
    ] = "run_up",
    low: Annotated[float, typer.Option(help="Lowest speed of the drive, mph.")] = 40.0,
    high: Annotated[
        float | None, typer.Option(help="Highest speed, mph; the vehicle's own if left out.")
    ] = None,
    seconds: Annotated[float, typer.Option(help="Length of the recording.")] = 90.0,
    rate: Annotated[float, typer.Option(help="Samples a second.")] = 200.0,
    wav: Annotated[bool, typer.Option("--wav", help="Recording as WAV instead of CSV.")] = False,
    results: Annotated[
        bool, typer.Option("--results", help="Put the result of every inspection into the case.")
    ] = False,
    chatter: Annotated[
        float, typer.Option(help="How much the driver says that has other reasons, 0 to 1.")
    ] = 0.3,
    rules: RulesOption = None,
) -> None:
    """Simulate a complaint from planted causes: case, recording, dial and balance readings."""
    from advisor.simulate import Trip, simulate_files
    from advisor.simulated.files import write_folder

    files = simulate_files(
        load_pack(rules),
        vehicle,
        cause or [],
        seed,
        tire=tire,
        axle_ratio=axle_ratio,
        trip=Trip(drive, rate, seconds, low, high),
        wav=wav,
        with_results=results,
        chatter=chatter,
        rules=rules,
    )
    write_folder(output, files)
    for name, content in files.items():
        sys.stdout.write(f"{output / name}: {len(content):,} bytes\n")
