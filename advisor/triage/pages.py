"""The day's list as text and Markdown."""

from __future__ import annotations

from advisor.model.pack import Pack
from advisor.model.stack import where
from advisor.report import words
from advisor.report.page import Page, Section
from advisor.triage import say
from advisor.triage.board import Board, Line
from advisor.triage.rows import RowRead
from advisor.triage.say import LEVEL

SHOWN_APART, SHOWN_REJECTS = 40, 20


def board_page(board: Board, pack: Pack, most: int | None = None, full: bool = False) -> Page:
    """The list as a page. most: how many units are shown in full; full: texts and money too."""
    shown = board.first(most)
    sections = [
        Section(_heading(level), items=tuple(items))
        for level in ("stop", "soon", "none")
        if (items := _items(board, shown, level, pack, full))
    ]
    left = len(board.lines) - len(shown)
    sections += [Section("Patterns over the fleet", items=tuple(map(say.pattern, board.patterns)))]
    sections += [Section("CAUTIONS", items=tuple(say.cautions(shown, pack)))]
    sections += [_apart(board), _rejects(board)]
    foot = [words.DEFER, *about_money(pack)]
    if left:
        foot.insert(0, f"{left} more units are not shown here; --top shows more.")
    stamp = f"Rules {pack.info.version}, content {pack.sha256[:12]}."
    return Page(
        "Day's list from the write-ups",
        (f"{board.name}: {'; '.join(board.read_as)}", say.counts(board)),
        tuple(s for s in sections if s.items),
        {},
        (*foot, stamp),
    )


def _heading(level: str) -> str:
    return {
        "stop": "MUST NOT ROLL",
        "soon": "LOOK BEFORE IT RUNS AGAIN",
        "none": "IN THIS ORDER, BY EXPECTED LOSS AVOIDED PER BAY MINUTE",
    }[level]


def _items(board: Board, shown: tuple[Line, ...], level: str, pack: Pack, full: bool) -> list[str]:
    numbered = {id(line): n for n, line in enumerate(board.lines, 1)}
    items = [
        f"{numbered[id(line)]}. {unit_text(line, pack, full)}"
        for line in shown
        if line.level == level
    ]
    if level != "none":
        items += [
            f"{_name(row)}, not a vibration complaint, {where(row.line, row.file)}: {row.text} "
            f"{LEVEL[row.level]}: {row.act}"
            for row in board.apart
            if row.level == level
        ]
    return items


def unit_text(line: Line, pack: Pack, full: bool = False) -> str:
    """One unit in one paragraph."""
    look = line.glance
    parts = [f"{line.unit.name}: {say.causes(line, pack) or 'not ranked'}; {say.place(line)}."]
    if line.level != "none":
        parts.append(say.verdict(line, pack))
    again = say.repeats(line, pack)
    parts += [f"{again[:1].upper()}{again[1:]}."] if again else []
    parts += [f"Ask: {say.question(line, pack)}"] if look.question else []
    parts.append(
        f"Book: safety checks ({words.minutes(look.check_minutes)}), then "
        f"{say.inspection(line, pack)}: {words.minutes(look.minutes)} in all."
    )
    low, typical, high = look.per_minute
    parts.append(
        f"Per bay minute {typical:.1f} USD ({low:.1f} to {high:.1f}); {look.quick.confidence}."
    )
    if full:
        parts += [f"Equipment: {say.equipment(line, pack)}.", f"{say.worth(line, pack)}."]
        parts.append(f"Written: {line.unit.latest.text}")
    return " ".join(parts)


def _name(row: RowRead) -> str:
    return row.unit or where(row.line, row.file)


def _apart(board: Board) -> Section:
    calm = [row for row in board.apart if row.level == "none"]
    items = [f"{where(r.line, r.file)}, {_name(r)}: {r.text or r.item}" for r in calm[:SHOWN_APART]]
    if len(calm) > SHOWN_APART:
        items.append(f"and {len(calm) - SHOWN_APART} more; --format csv or json lists all")
    return Section("NOT A VIBRATION COMPLAINT", items=tuple(items))


def _rejects(board: Board) -> Section:
    items = [f"{where(r.line, r.file)}: {r.reason}" for r in board.rejects[:SHOWN_REJECTS]]
    if len(board.rejects) > SHOWN_REJECTS:
        items.append(f"and {len(board.rejects) - SHOWN_REJECTS} more; --rejects FILE keeps all")
    return Section("SET ASIDE, COULD NOT BE READ", items=tuple(items))


def about_money(pack: Pack) -> list[str]:
    """What the figures of money are, and what is only hearsay."""
    if pack.worth is None:
        return []
    return [
        "Money is an estimate from judgement with wide ranges, never a promise; danger is not in "
        "it. Put in your own figures with a shop overlay (worth:).",
        *(f"Hearsay, not counted: {h.says}" for h in pack.worth.hearsay),
    ]
