"""Precision and recall of reading, kind by kind, over the labeled write-ups.

Labels: vibration, sensation, felt_at, low and high (mph), denied, work (with result), safety.
A label that is missing says that there is nothing to find. Run as a module to print the tables.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import yaml

from advisor.intake.write_up import Reader, compile_wording
from advisor.model.read import ReadWriteUp
from advisor.rulebook.wording import load_wording

HERE = Path(__file__).resolve().parent
FOLDER = HERE / "write_ups"
RULES = HERE.parent.parent / "rules" / "wording"
KINDS = ("vibration", "sensation", "felt_at", "speed", "denied", "work", "result", "safety")
NEAR_MPH = 2.0


@dataclass
class Score:
    """Statements found rightly, found wrongly, and missed."""

    right: int = 0
    wrong: int = 0
    missed: int = 0

    @property
    def precision(self) -> float:
        """Share of what was found that is right."""
        return self.right / max(1, self.right + self.wrong)

    @property
    def recall(self) -> float:
        """Share of what is there that was found."""
        return self.right / max(1, self.right + self.missed)


@cache
def reader() -> Reader:
    """The reader of the shipped wording, compiled once."""
    return compile_wording(load_wording(RULES))


def files() -> list[str]:
    """Names of the files of write-ups; the one kept aside is called holdout."""
    return sorted(path.stem for path in FOLDER.glob("*.yaml"))


@cache
def labeled(name: str) -> tuple[Mapping[str, Any], ...]:
    """The write-ups of one file with their labels; every scalar is text."""
    text = (FOLDER / f"{name}.yaml").read_text(encoding="utf-8")
    return tuple(yaml.load(text, Loader=yaml.CBaseLoader))


def expected(case: Mapping[str, Any]) -> dict[str, set[Any]]:
    """The labels by kind."""
    work = case.get("work") or {}
    return {
        "vibration": {"yes"} if case["vibration"] == "yes" else set(),
        "sensation": set(case.get("sensation") or ()),
        "felt_at": set(case.get("felt_at") or ()),
        "speed": {(end, float(case[end])) for end in ("low", "high") if end in case},
        "denied": set(case.get("denied") or ()),
        "work": set(work),
        "result": set(work.items()),
        "safety": set(case.get("safety") or ()),
    }


def found(read: ReadWriteUp) -> dict[str, set[Any]]:
    """What was read, by kind."""
    yes = [answer.symptom for answer in read.answers if answer.state == "yes"]
    speed = read.speed
    ends = {"low": speed.low_mph, "high": speed.high_mph} if speed else {}
    return {
        "vibration": {"yes"} if read.is_vibration else set(),
        "sensation": {s.partition(".")[2] for s in yes if s.startswith("sensation.")},
        "felt_at": {s.partition(".")[2] for s in yes if s.startswith("felt_at.")},
        "speed": {(end, value) for end, value in ends.items() if value is not None},
        "denied": {d for d in read.denied if not d.startswith("smooth.")},
        "work": {work.what for work in read.work_done},
        "result": {(work.what, work.result) for work in read.work_done},
        "safety": set(read.safety),
    }


def scores(names: Iterable[str]) -> dict[str, Score]:
    """The score of each kind over some files."""
    totals = {kind: Score() for kind in KINDS}
    for case in (case for name in names for case in labeled(name)):
        want, got = expected(case), found(reader().read(case["text"]))
        for kind, score in totals.items():
            right = _right(kind, want[kind], got[kind])
            score.right += right
            score.wrong += len(got[kind]) - right
            score.missed += len(want[kind]) - right
    return totals


def _right(kind: str, want: set[Any], got: set[Any]) -> int:
    if kind != "speed":
        return len(want & got)
    return sum(
        any(end == other and abs(mph - value) <= NEAR_MPH for other, value in got)
        for end, mph in want
    )


def table(names: list[str]) -> str:
    """The scores as text."""
    lines = [f"{sum(len(labeled(name)) for name in names)} write-ups: {', '.join(names)}"]
    for kind, s in scores(names).items():
        counts = f"right {s.right}, wrong {s.wrong}, missed {s.missed}"
        lines.append(f"  {kind:10} precision {s.precision:.3f}  recall {s.recall:.3f}  {counts}")
    return "\n".join(lines)


if __name__ == "__main__":
    developed = [name for name in files() if not name.startswith("holdout")]
    sys.stdout.write(f"{table(developed)}\n{table(['holdout'])}\n{table(files())}\n")
