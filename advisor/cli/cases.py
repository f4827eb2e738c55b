"""Commands about one case: rank, why, orders."""

from __future__ import annotations

from typing import Annotated

import typer

from advisor.cli.shared import (
    STOP_FINDING,
    Format,
    FormatOption,
    OutputOption,
    OverlayOption,
    PersonalOption,
    RulesOption,
    chosen,
    load_case,
    load_pack,
    show,
)

CaseArgument = Annotated[str, typer.Argument(help="A case file, or - for standard input.")]


def rank(
    case: CaseArgument,
    format: FormatOption = None,
    output: OutputOption = None,
    full: Annotated[bool, typer.Option("--full", help="Show everything, not one screen.")] = False,
    show_personal: PersonalOption = False,
    rules: RulesOption = None,
    overlay: OverlayOption = None,
) -> None:
    """Rank the likely causes of one complaint and list the next inspections."""
    from advisor.pipeline import rank as rank_case

    pack = load_pack(rules, overlay)
    diagnosis = rank_case(load_case(case, pack), pack, show_personal=show_personal)
    kind = chosen(format, output)
    if kind is Format.json:
        from advisor.report.as_json import render_json as render
    elif kind is Format.html:
        from advisor.report.html import render_html as render
    elif kind is Format.markdown:
        from advisor.report.markdown import render_markdown as render
    else:
        from advisor.report.terminal import render_text

        show(render_text(diagnosis, full=full), output)
        raise typer.Exit(STOP_FINDING if diagnosis.safety.level == "stop" else 0)
    show(render(diagnosis), output)
    if diagnosis.safety.level == "stop":
        raise typer.Exit(STOP_FINDING)


def why(
    case: CaseArgument,
    cause: Annotated[str, typer.Argument(help="The cause to explain, by its id.")],
    format: FormatOption = None,
    output: OutputOption = None,
    rules: RulesOption = None,
    overlay: OverlayOption = None,
) -> None:
    """Explain one cause: what speaks for it, what against, and what would change it."""
    from advisor.explain import explain
    from advisor.report.why import render_why

    pack = load_pack(rules, overlay)
    told = explain(load_case(case, pack), cause, pack)
    show(render_why(told, str(chosen(format, output))), output)


def orders(
    tire: Annotated[str | None, typer.Option(help="Tire size, such as 295/75R22.5.")] = None,
    speed: Annotated[
        str, typer.Option(help="Road speed or range in mph (or with km/h): 62, 55-65.")
    ] = "65",
    axle_ratio: Annotated[float | None, typer.Option(help="Axle ratio.")] = None,
    revs_per_mile: Annotated[
        float | None, typer.Option(help="Measured, instead of --tire.")
    ] = None,
    rpm: Annotated[float | None, typer.Option(help="Engine speed.")] = None,
    gear_ratio: Annotated[float | None, typer.Option(help="Ratio of the gear used.")] = None,
    cylinders: Annotated[int | None, typer.Option(help="Engine cylinders.")] = None,
    vehicle: Annotated[
        str, typer.Option(help="Vehicle type, for its mode bands.")
    ] = "linehaul_tractor",
    format: FormatOption = None,
    output: OutputOption = None,
    rules: RulesOption = None,
) -> None:
    """Show which frequency every turning part makes at a speed, with the mode bands it meets."""
    from advisor.orders import order_sheet

    pack = load_pack(rules)
    bands, diagram = order_sheet(
        pack, vehicle, tire, speed, axle_ratio, revs_per_mile, rpm, gear_ratio, cylinders
    )
    kind = chosen(format, output)
    if kind is Format.html:
        from advisor.report.html import orders_html as render
    elif kind is Format.markdown:
        from advisor.report.markdown import orders_markdown as render
    elif kind is Format.json:
        from advisor.report.orders import orders_json as render
    else:
        from advisor.report.orders import orders_text as render
    show(render(bands, diagram), output)
