"""From a driver's vibration complaint to ranked causes and the next inspections.

    import advisor
    pack = advisor.load_rules()
    diagnosis = advisor.rank(advisor.load_case("case.yaml", pack), pack)

All functions are stateless: a batch maps over processes or a cluster.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from advisor.model.case import Case
    from advisor.model.diagnosis import Diagnosis
    from advisor.model.pack import Pack
    from advisor.model.read import ReadWriteUp

__version__ = "1.0.0"
__all__ = ["__version__", "load_case", "load_rules", "rank", "read_write_up"]


def load_rules(folder: str | Path | None = None, overlay: str | Path | None = None) -> Pack:
    """The rule pack in a folder (default: the one that came with the program), with a shop's
    overlay where one is given. Raises advisor.errors.InputProblems."""
    from advisor.rulebook.cache import load_pack
    from advisor.rulebook.overlay import apply_overlay

    pack = load_pack(folder)
    return apply_overlay(pack, overlay) if overlay is not None else pack


def load_case(path: str | Path, pack: Pack) -> Case:
    """A case file. Raises advisor.errors.InputProblems."""
    from advisor.intake.case_file import read_case

    return read_case(path, pack)


def read_write_up(text: str, pack: Pack) -> ReadWriteUp:
    """What a driver's words say, with the stretch of text each statement came from."""
    from advisor.intake.merge_write_up import reader_of

    return reader_of(pack).read(text)


def rank(case: Case, pack: Pack) -> Diagnosis:
    """Ranked causes, safety verdict, questions and next inspections of one case."""
    from advisor.pipeline import rank as rank_case

    return rank_case(case, pack)
