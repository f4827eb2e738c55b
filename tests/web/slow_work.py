"""Work for a process of its own that goes wrong in the ways work does."""

from __future__ import annotations

import os
import time

from advisor.errors import InputProblems, Problem

LONG_S = 120


def sleep_long(*_: object) -> None:
    """Never ready in time."""
    time.sleep(LONG_S)


def die(*_: object) -> None:
    """Gone without a word, as when memory runs out."""
    os._exit(9)


def refuse(*_: object) -> None:
    """What a user did wrong, with its place."""
    raise InputProblems([Problem("may.csv", 3, 1, "text", "wrong", hint="look")])


def break_down(*_: object) -> None:
    """A mistake of the program."""
    raise ZeroDivisionError("inner workings")


def much(size: int) -> str:
    """More than a pipe holds at once."""
    return "x" * size
