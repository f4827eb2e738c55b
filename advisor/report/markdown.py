"""The diagnosis as Markdown, for a ticket or a note."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from advisor.model.diagnosis import (
    Diagnosis,
    Diagram,
    OrderBand,
    PlannedInspection,
    RankedCause,
    SafetyFinding,
)
from advisor.report import orders as orders_report
from advisor.report import view, words
from advisor.report.clean import one_line
from advisor.report.spans import legend
from advisor.report.terminal_steps import time

_SPECIAL = re.compile(r"([\\`*_\[\]<>|~&#])")
_STARTS_A_BLOCK = re.compile(r"^(\d*)([-+=.)])(?=[-+=\s]|$)")


def plain(text: str) -> str:
    """Text that shows as it is written: one line, harmless, nothing in it read as markup."""
    escaped = _SPECIAL.sub(r"\\\1", one_line(text))
    return _STARTS_A_BLOCK.sub(r"\1\\\2", escaped)


def render_markdown(d: Diagnosis) -> str:
    """The whole diagnosis as Markdown, safety first, sources numbered at the foot."""
    cite = view.Citations(d.sources)
    parts = [
        [f"# {plain(d.title or d.case)}", "", plain(view.head(d)), "", plain(view.vehicle(d))],
        [f"**{words.DEMO}**"] if d.demo else [],
        _safety(d, cite),
        _write_up(d),
        _causes(d, cite),
        _questions(d),
        _inspections(d, cite),
        frequencies(d.orders, d.diagram),
        _readings(d),
        _limits(d),
        _foot(d, cite),
    ]
    return "\n\n".join("\n".join(part) for part in parts if part) + "\n"


def _bullets(items: Iterable[str], indent: str = "") -> list[str]:
    return [f"{indent}- {item}" for item in items]


def _safety(d: Diagnosis, cite: view.Citations) -> list[str]:
    found = [f"## Safety: {words.LEVEL_HEADING[d.safety.level]}", "", plain(d.safety.verdict)]
    if d.safety.level == "none":
        return [*found, "", words.NOT_CLEARED]
    told = [_finding(d, finding, cite) for finding in d.safety.findings]
    told += [f"**Now:** {plain(now)}" for now in view.do_now(d)]
    told += [f"\\[ \\] {plain(check)}" for check in view.safety_checks(d)]
    told += [
        f"**Caution:** {plain(note.text)}{_cited(cite, note.source)}"
        for note in view.safety_cautions(d)
    ]
    return [*found, "", *_bullets(told)]


def _finding(d: Diagnosis, finding: SafetyFinding, cite: view.Citations) -> str:
    because = f"{plain(finding.because)}{_cited(cite, finding.source)}"
    seen = f"Seen in: {plain('; '.join(view.triggers(d, finding)))}."
    rule = f" US rule: {plain(finding.us_rule)}." if finding.us_rule else ""
    return f"**{plain(finding.says)}** {because} {seen}{rule}"


def _cited(cite: view.Citations, source: str) -> str:
    return f" \\[{cite.number(source)}\\]" if source else ""


def _write_up(d: Diagnosis) -> list[str]:
    found = []
    if d.write_up:
        understood = [f"{name} {plain(meaning)}" for name, meaning in legend(d.write_up, d.spans)]
        found = ["## What the driver wrote", "", f"> {plain(d.write_up)}"]
        found += ["", f"Understood: {'; '.join(understood)}"] if understood else []
    if d.answers:
        found += ["", f"Worked from: {plain('; '.join(d.answers))}"]
    return found


def _causes(d: Diagnosis, cite: view.Citations) -> list[str]:
    found = ["## Probable causes", "", f"{words.opening(words.PRESENT)}.", ""]
    for n, cause in enumerate(d.causes, 1):
        found += _cause(n, cause, cite)
    sure = d.confidence.says if d.confidence else ""
    found += ["", plain(" ".join(filter(None, (sure, view.firmness(d), d.stop.says))))]
    found += ["", plain(view.firmness(d, most=99))] if d.firmness else []
    changed = [f"{plain(c.what)}: {plain(c.says)}" for c in d.changes]
    return found + (["", "What readings changed:", "", *_bullets(changed)] if changed else [])


def _cause(n: int, cause: RankedCause, cite: view.Citations) -> list[str]:
    chance, at = words.chance(cause.probability), plain(words.places(cause.places))
    lines = [
        f"{side}: {plain(f'{words.sentence(s.says)} {s.because}')}{_cited(cite, s.source)}"
        for side, statements in (("For", cause.for_), ("Against", cause.against))
        for s in statements
    ]
    lines += [f"**{words.DANGER_IN_WORDS[cause.danger]}**"] if cause.danger != "none" else []
    lines += [f"To confirm: {plain(cause.confirm)}"]
    return [f"{n}. **{plain(cause.name)}**: {chance}, {at}", *_bullets(lines, "   ")]


def _questions(d: Diagnosis) -> list[str]:
    asked = [
        plain(q.ask)
        + (
            f" (yes: {plain(view.effect(d, q.if_yes))}; no: {plain(view.effect(d, q.if_no))})"
            if q.if_yes
            else ""
        )
        for q in d.questions
    ]
    unknown = plain("; ".join(view.unknown(d, [q.symptom for q in d.questions])))
    found = ["## Ask the driver", "", *_bullets(asked)] if asked else []
    return found + (["", f"Not known: {unknown}"] if unknown else [])


def _inspections(d: Diagnosis, cite: view.Citations) -> list[str]:
    if not d.inspections:
        return []
    found = ["## Next inspections, in this order", ""]
    for n, step in enumerate(d.inspections, 1):
        found += _step(d, n, step, cite)
    return found


def _step(d: Diagnosis, n: int, step: PlannedInspection, cite: view.Citations) -> list[str]:
    safety = "Safety check: " if step.safety else ""
    lines = [
        f"**Caution:** {plain(note.text)}{_cited(cite, note.source)}"
        for note in view.cautions(d, step.cautions)
    ]
    lines += [f"\\[ \\] {plain(how)}" for how in step.how]
    lines += [
        f"Limit: {plain(words.limit(note))} ({words.seen(note.seen)}){_cited(cite, note.source)}"
        for note in step.limit
    ]
    lines += [f"{plain(field)}: ________" for field in step.fields]
    lines += [f"{view.result(tell)}: {plain(view.outlook(d, tell))}" for tell in step.tells]
    name = f"**{safety}{plain(step.name)}**, {plain(words.place(step.place))}"
    return [f"{n}. {name}: {plain(time(step))}; {plain(step.tool)}", *_bullets(lines, "   ")]


def frequencies(orders: Sequence[OrderBand], diagram: Diagram | None) -> list[str]:
    """The tables of orders and mode bands."""
    found = ["## Frequencies", ""] if orders or diagram else []
    found += [plain(orders_report.basis(diagram)), ""] if diagram else []
    if orders:
        rows = [
            (o.name, words.hz(o.hz_low, o.hz_high), words.mph(o.mph_low, o.mph_high), o.note)
            for o in orders
        ]
        found += _table(("order", "Hz", "at", "note"), rows)
    if diagram and diagram.modes:
        heads = ("own frequency", "Hz", "meets wheel order 1 at", "felt as", "figure")
        found += ["", *_table(heads, orders_report.mode_lines(diagram))]
    return found


def _table(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> list[str]:
    lines = [heads, ["---"] * len(heads), *([plain(cell) for cell in row] for row in rows)]
    return [f"| {' | '.join(line)} |" for line in lines]


def _readings(d: Diagnosis) -> list[str]:
    found = []
    for reading in d.readings:
        lines = [plain(line) for line in reading.lines]
        lines += [f"**Look again:** {plain(p)}" for p in reading.problems]
        found += ["", f"**{plain(reading.title)}**", "", *_bullets(lines)]
    return ["## Readings", *found] if found else []


def _limits(d: Diagnosis) -> list[str]:
    lines = [
        f"{plain(words.plain(c.symptom))}: answered \"{plain(c.answer)}\", the write-up reads "
        f"\"{plain(c.read)}\"; the answer was used" for c in d.conflicts
    ]  # fmt: skip
    lines += [f"{plain(note.says)} {plain(note.do)}" for note in d.limitations]
    return ["## Limits of this result", "", *_bullets(lines)] if lines else []


def _foot(d: Diagnosis, cite: view.Citations) -> list[str]:
    rest = [
        f"Caution: {plain(n.text)}{_cited(cite, n.source)}"
        for n in view.general_cautions(d, d.inspections)
    ]
    cited = [f"\\[{n}\\] {plain(text)} ({plain(seen)})" for n, text, seen in cite.cited()]
    found = ["## Sources", "", *_bullets(cited), ""] if cited else []
    return [*_bullets(rest), *([""] if rest else []), *found, words.DEFER, "", plain(view.stamp(d))]


def orders_markdown(orders: Sequence[OrderBand], diagram: Diagram) -> str:
    """The report of `advisor orders` as Markdown."""
    return "\n".join(frequencies(orders, diagram)) + "\n"
