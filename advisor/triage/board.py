"""From a stack of rows to the day's list."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from advisor.model.pack import Pack
from advisor.model.stack import Reject, Stack
from advisor.triage.cluster import ClusterCrew
from advisor.triage.glance import Glance, Quick
from advisor.triage.patterns import Pattern, patterns
from advisor.triage.rows import RowRead
from advisor.triage.told import Told
from advisor.triage.units import Unit, units_of
from advisor.triage.work import Crew, Options

ORDER = {"stop": 0, "soon": 1, "none": 2}
Report = Callable[[str, int, int], None]


@dataclass(frozen=True)
class Line:
    """One unit of the day's list: its joined complaints, the glance at them, and what each of its
    complaints says by itself, older ones first."""

    unit: Unit
    glance: Glance
    alone: tuple[Quick, ...]

    @property
    def level(self) -> str:
        """stop, soon or none."""
        return self.glance.quick.level

    @property
    def same_again(self) -> int:
        """How many of the unit's complaints lead to the cause that is first now."""
        first = [cause for cause, _ in self.glance.quick.causes[:1]]
        joined = self.alone[len(self.unit.earlier) :]
        return sum([cause for cause, _ in quick.causes[:1]] == first for quick in joined)


@dataclass(frozen=True)
class Board:
    """All of a stack. lines in the order in which they are to be dealt with; apart: rows that are
    no vibration complaint, what must not wait first."""

    name: str
    read_as: tuple[str, ...]
    lines: tuple[Line, ...]
    apart: tuple[RowRead, ...]
    rejects: tuple[Reject, ...]
    patterns: tuple[Pattern, ...]
    rows: int

    def first(self, most: int | None) -> tuple[Line, ...]:
        """The first lines, and every line that must not roll however many there are."""
        return tuple(
            line
            for n, line in enumerate(self.lines)
            if most is None or n < most or line.level == "stop"
        )

    @property
    def complaints(self) -> int:
        """Rows that are vibration complaints."""
        return sum(len(line.unit.complaints) for line in self.lines)

    @property
    def must_stop(self) -> bool:
        """Whether anything must not roll, complaint of a vibration or not."""
        return any(li.level == "stop" for li in self.lines) or any(
            row.level == "stop" for row in self.apart
        )


def crew_of(
    pack: Pack, options: Options, processes: int, pieces: int, cluster: str | None
) -> Crew | ClusterCrew:
    """Who does the work: this process, several here, or a cluster. The results are the same."""
    if cluster is not None:
        return ClusterCrew(pack, options, cluster)
    return Crew(pack, options, processes, pieces)


def make_board(
    stack: Stack,
    pack: Pack,
    options: Options,
    processes: int,
    report: Report = lambda *_: None,
    cluster: str | None = None,
) -> Board:
    """Read, judge, join and sort. report: told (what, done, of how many) as the work goes on;
    cluster: address of a Dask cluster that does the work instead of processes here."""
    with crew_of(pack, options, processes, len(stack.rows), cluster) as crew:

        def run(what: str, name: str, items: Sequence[object]) -> list[Any]:
            done = 0

            def progress(more: int) -> None:
                nonlocal done
                done += more
                report(what, done, len(items))

            return list(crew.each(name, items, progress))

        rows: list[RowRead] = run("reading", "rows", stack.rows)
        units = units_of(rows, pack)
        tolds = _once(row.told for unit in units for row in unit.complaints)
        quick = dict(zip(tolds, run("weighing", "quick", tolds), strict=True))
        joined = _once(unit.told for unit in units)
        glances = dict(zip(joined, run("planning", "glances", joined), strict=True))
    lines = [
        Line(unit, glances[unit.told], tuple(quick[row.told] for row in unit.complaints))
        for unit in units
    ]
    apart = [row for row in rows if not row.is_vibration]
    return Board(
        name=stack.name,
        read_as=stack.read_as,
        lines=tuple(sorted(lines, key=_place_in_line)),
        apart=tuple(sorted(apart, key=lambda r: (ORDER[r.level], r.file, r.line))),
        rejects=stack.rejects,
        patterns=tuple(patterns(units, rows, pack)),
        rows=len(stack.rows) + len(stack.rejects),
    )


def _once(tolds: Iterable[Told]) -> list[Told]:
    return list(dict.fromkeys(tolds))


def _place_in_line(line: Line) -> tuple[int, float, list[tuple[int, int, str]], str, int]:
    """What must not roll first, then by expected loss avoided per bay minute."""
    return (
        ORDER[line.level],
        -line.glance.per_minute[1],
        natural(line.unit.name),
        line.unit.latest.file,
        line.unit.latest.line,
    )


def natural(name: str) -> list[tuple[int, int, str]]:
    """T-9 before T-10. Numbers are compared by their digits: a name may hold thousands of them."""
    parts = re.findall(r"[0-9]+|[^0-9]+", name)
    return [
        (0, len(p.lstrip("0")), p.lstrip("0")) if p[0] in "0123456789" else (1, 0, p.casefold())
        for p in parts
    ]
