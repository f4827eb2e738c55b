"""Today's list: worked out in a process of its own, kept as one file, so that the page stays quick
and nothing is lost when it is stopped."""

from __future__ import annotations

import contextlib
import json
import tempfile
import threading
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from advisor import load_rules
from advisor.errors import AdvisorError, InputProblems, Problem, did_you_mean, one_of
from advisor.files import write_whole
from advisor.intake.stack_lines import read_folder
from advisor.intake.stack_several import read_several
from advisor.model.pack import Pack
from advisor.model.stack import Reject, Stack
from advisor.triage.board import make_board
from advisor.triage.html import board_html, driver_questions
from advisor.triage.tables import board_json, rejects_csv
from advisor.triage.work import Options
from advisor.web.laid_out import lay_out
from advisor.web.own_process import TookTooLong, in_own_process
from advisor.web.settings import Settings
from advisor.web.shop import Shop

FOLDER, DATA = ".board", "today.json"
SHEET = "sheet"  # the page to print, beside the keys of the list in the same file
DEFAULT_VEHICLE = "linehaul_tractor"
MOST_ROWS = 3000
LONGEST_S = 300
PATIENCE_S = 20
_ONE_AT_A_TIME = threading.Lock()

Files = Sequence[tuple[str, bytes]]


@dataclass(frozen=True)
class Told:
    """What somebody says of the rows. columns: heading by field."""

    options: Options
    columns: Mapping[str, str]


class Busy(AdvisorError):
    """Another list is being worked out; nothing was begun."""


def make(files: Files, told: Told, shop: Shop) -> None:
    """Work out the list of the files given, or of the shop's open cases when there are none, and
    keep it.

    Raises AdvisorError with what is wrong with the files; the last list then stays.
    """
    data, sheet = worked_out(files, told, shop.settings)
    folder = shop.folder.root / FOLDER
    try:
        folder.mkdir(exist_ok=True)
    except OSError as error:
        reason = (error.strerror or "").lower()
        raise AdvisorError(f"the list cannot be kept in the shop's folder: {reason}") from None
    # one file, so that what is shown and what is printed are always the same list
    write_whole(folder / DATA, json.dumps({**json.loads(data), SHEET: sheet}))


def worked_out(files: Files, told: Told, settings: Settings) -> tuple[str, str]:
    """(JSON, page to print) of a list that is not kept. Raises AdvisorError."""
    if not _ONE_AT_A_TIME.acquire(timeout=PATIENCE_S):
        raise Busy("another list is being worked out just now; please try again in a minute")
    try:
        with tempfile.TemporaryDirectory(prefix="advisor-list-") as home:
            _lay_out(files, Path(home))
            folder = home if files else settings.cases
            return in_own_process(
                _list_of, folder, bool(files), told, settings, longest_s=LONGEST_S
            )
    except TookTooLong as error:
        raise TookTooLong(f"{error}; for a stack like this use: advisor triage FILE") from None
    finally:
        _ONE_AT_A_TIME.release()


def _lay_out(files: Files, home: Path) -> None:
    try:
        lay_out(files, home)
    except OSError as error:
        reason = (error.strerror or "").lower()
        raise AdvisorError(f"the files cannot be taken: {reason}") from None


def told_of(vehicle: str, day_first: bool, columns: Mapping[str, str], pack: Pack) -> Told:
    """How rows are to be read; raises InputProblems when there is no such vehicle."""
    if vehicle not in pack.vehicles:
        what, near = f'"{vehicle[:40]}" is not a vehicle type', did_you_mean(vehicle, pack.vehicles)
        raise InputProblems([Problem("", 0, 0, "vehicle", what, one_of(pack.vehicles), near)])
    return Told(Options(vehicle, day_first), columns)


def _list_of(folder: str, given: bool, told: Told, settings: Settings) -> tuple[str, str]:
    """The work itself; the process is its own, so it may go into the folder and name every file as
    seen from there."""
    pack = load_rules(settings.rules or None, settings.overlay or None)
    with contextlib.chdir(folder):
        stack = read_several(Path(), pack, told.columns) if given else _open_cases(pack)
        rows = len(stack.rows) + len(stack.rejects)
        if rows > MOST_ROWS:
            what = f"{rows} rows; {MOST_ROWS} are taken here, advisor triage takes more"
            raise InputProblems([Problem(stack.name, 0, 0, "", what)])
        board = make_board(stack, pack, told.options, processes=1)
        return board_json(board, pack), board_html(board, pack, driver_questions(board, pack), {})


def _open_cases(pack: Pack) -> Stack:
    stack = read_folder(Path(), pack)
    rows = tuple(r for r in stack.rows if r.case is not None and r.case.confirmed is None)
    return replace(stack, name="open cases of this folder", rows=rows)


def today(shop: Shop) -> dict[str, Any] | None:
    """The last list, or None."""
    file = shop.folder.root / FOLDER / DATA
    try:
        stamp = file.stat().st_mtime_ns
        made: dict[str, Any] = shop.kept(
            ("board", stamp), lambda: json.loads(file.read_text(encoding="utf-8"))
        )
    except (OSError, ValueError):
        return None
    return made


def printable(shop: Shop) -> str:
    """The last list as a page to print."""
    try:
        return str(_last(shop)[SHEET])
    except KeyError:
        raise AdvisorError("sort the list once more before it is printed") from None


def set_aside(shop: Shop) -> str:
    """What could not be read for the last list, as CSV."""
    return rejects_csv(Reject(**reject) for reject in _last(shop)["rejects"])


def _last(shop: Shop) -> dict[str, Any]:
    board = today(shop)
    if board is None:
        raise AdvisorError("there is no list yet")
    return board


def chosen(board: Mapping[str, Any], level: str, words: str, again: bool) -> list[dict[str, Any]]:
    """Units of a list that fit: level, every word somewhere, came back before."""
    wanted = words.casefold().split()
    return [
        unit
        for unit in board["units"]
        if (not level or unit["level"] == level)
        and (not again or unit["again"])
        and all(w in _text_of(unit) for w in wanted)
    ]


def _text_of(unit: Mapping[str, Any]) -> str:
    causes = " ".join(c["id"].replace("_", " ") for c in unit["causes"])
    parts = (unit["unit"], unit["write_up"], unit["verdict"], causes, unit["again"])
    return " ".join(parts).casefold()
