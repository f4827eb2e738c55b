"""The report of rotation orders for a tire, speeds and ratios, with no case behind it."""

from __future__ import annotations

import json
from collections.abc import Sequence

from advisor.model.diagnosis import Diagram, OrderBand
from advisor.report import words
from advisor.report.as_json import rounded
from advisor.report.lines import NARROWEST, wrap
from advisor.report.terminal_steps import table


def basis(diagram: Diagram) -> str:
    """What the frequencies were worked out from."""
    return (
        f"Tire {diagram.tire}, rolling circumference {diagram.circumference_m:.3f} m, "
        f"give or take {words.figure(diagram.tolerance_percent)} %."
    )


def mode_lines(diagram: Diagram) -> list[tuple[str, str, str, str, str]]:
    """(name, Hz, mph at wheel order 1, felt as, how the figure was seen) of each mode band."""
    return [
        (
            mode.name,
            words.hz(mode.low_hz, mode.high_hz),
            crossing(mode.mph_low, mode.mph_high),
            mode.felt,
            words.seen(mode.seen),
        )
        for mode in diagram.modes
    ]


def crossing(low: float | None, high: float | None) -> str:
    """The speeds at which wheel order 1 lies in a mode band."""
    if low is None or high is None:
        return "not within its speeds"
    return words.mph(low, high)


def orders_text(orders: Sequence[OrderBand], diagram: Diagram, width: int = 80) -> str:
    """The table for a terminal; no line wider than `width` (at least 40). Ends with a line end."""
    width = max(width, NARROWEST)
    found = [*wrap("ROTATION ORDERS", width), *wrap(basis(diagram), width), ""]
    found += table(orders, width)
    if diagram.modes:
        found += ["", *wrap("WHERE WHEEL ORDER 1 MEETS THE VEHICLE'S OWN FREQUENCIES", width)]
    for name, hz, mph, felt, seen in mode_lines(diagram):
        found += wrap(f"{name}: {hz}, {mph}; felt as {felt} ({seen})", width, " ", "   ")
    return "\n".join(found) + "\n"


def orders_json(orders: Sequence[OrderBand], diagram: Diagram) -> str:
    """The same as JSON text: schema, orders, diagram."""
    plain = {
        "schema": 1,
        "orders": [order.model_dump(mode="json") for order in orders],
        "diagram": diagram.model_dump(mode="json"),
    }
    return json.dumps(rounded(plain), indent=2, ensure_ascii=True, allow_nan=False) + "\n"


def render_orders(sheet: tuple[Sequence[OrderBand], Diagram], kind: str) -> str:
    """The report in one form: text, json, markdown or html."""
    orders, diagram = sheet
    if kind == "html":
        from advisor.report.html import orders_html

        return orders_html(orders, diagram)
    if kind == "markdown":
        from advisor.report.markdown import orders_markdown

        return orders_markdown(orders, diagram)
    return orders_json(orders, diagram) if kind == "json" else orders_text(orders, diagram)
