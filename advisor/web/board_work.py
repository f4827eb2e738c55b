"""Today's list: worked out in a process of its own, kept as files, so that the page stays quick and
nothing is lost when it is stopped."""

from __future__ import annotations

import dataclasses
import json
import multiprocessing
from collections.abc import Mapping
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from pathlib import Path
from typing import Any

from advisor import load_rules
from advisor.errors import AdvisorError
from advisor.files import write_whole
from advisor.intake.stack_lines import read_folder, read_lines
from advisor.intake.stack_table import read_table
from advisor.model.pack import Pack
from advisor.model.stack import Stack
from advisor.triage.board import make_board
from advisor.triage.html import board_html, driver_questions
from advisor.triage.tables import board_json
from advisor.triage.work import Options
from advisor.web.settings import Settings
from advisor.web.shop import Shop

FOLDER = ".board"
DATA, SHEET = "today.json", "today.html"
MOST_ROWS = 3000
LONGEST_S = 300
FROM_CASES = ""


def make(named: str, raw: bytes, vehicle: str, shop: Shop) -> None:
    """Work out the list of a file, or of the folder's open cases when no file is named.

    Raises AdvisorError with what is wrong with the file; the last list then stays.
    """
    context = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(1, mp_context=context) as pool:
        try:
            work = pool.submit(_worked_out, named, raw, vehicle, shop.settings)
            data, sheet = work.result(LONGEST_S)
        except TimeoutError:
            _stop(pool)
            text = f"this takes longer than {LONGEST_S} s; use: advisor triage {named}"
            raise AdvisorError(text) from None
        except BrokenProcessPool:
            raise AdvisorError("the list was not finished: its process was ended") from None
    folder = shop.folder.root / FOLDER
    folder.mkdir(exist_ok=True)
    write_whole(folder / SHEET, sheet)
    write_whole(folder / DATA, data)


def _stop(pool: ProcessPoolExecutor) -> None:
    for process in list(pool._processes.values()):
        process.terminate()


def _worked_out(named: str, raw: bytes, vehicle: str, settings: Settings) -> tuple[str, str]:
    """(JSON, printable page) of the list."""
    pack = load_rules(settings.rules or None, settings.overlay or None)
    stack = _stack(named, raw, pack, Path(settings.cases))
    if len(stack.rows) > MOST_ROWS:
        raise AdvisorError(
            f"{named}: {len(stack.rows)} rows; the page takes {MOST_ROWS}, advisor triage more"
        )
    board = make_board(stack, pack, Options(vehicle), processes=1)
    return board_json(board, pack), board_html(board, pack, driver_questions(board, pack), {})


def _stack(named: str, raw: bytes, pack: Pack, folder: Path) -> Stack:
    if named == FROM_CASES:
        stack = read_folder(folder, pack)
        rows = tuple(r for r in stack.rows if r.case is not None and r.case.confirmed is None)
        return dataclasses.replace(stack, name="open cases of this folder", rows=rows, rejects=())
    if raw.lstrip(b"\xef\xbb\xbf \t\r\n")[:1] == b"{":
        return read_lines(raw, named, pack.columns, {})
    return read_table(raw, named, pack.columns, {})


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
        return (shop.folder.root / FOLDER / SHEET).read_text(encoding="utf-8")
    except OSError:
        raise AdvisorError("there is no list yet") from None


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
