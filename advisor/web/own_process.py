"""Long work in a process of its own: the page answers on meanwhile, and the work can be ended."""

from __future__ import annotations

import multiprocessing
import traceback
from collections.abc import Callable
from multiprocessing.connection import Connection
from typing import Any, TypeVar

from advisor.errors import AdvisorError

T = TypeVar("T")


class TookTooLong(AdvisorError):
    """The work was ended because its time was over."""


class Ended(AdvisorError):
    """The process of the work was ended from outside."""


def in_own_process(work: Callable[..., T], *given: object, longest_s: float) -> T:
    """What work(*given) returns; it raises what the work raises.

    work is found by its name in a fresh interpreter. Raises TookTooLong when the time is over and
    Ended when the process is gone before it has told its result; either way no process is left.
    """
    context = multiprocessing.get_context("spawn")
    ours, theirs = context.Pipe(duplex=False)
    process = context.Process(target=_tell, args=(theirs, work, given), daemon=True)
    process.start()
    theirs.close()
    try:
        if not ours.poll(longest_s):
            raise TookTooLong(f"this takes longer than {longest_s:g} s and was stopped")
        result, error = ours.recv()
    except EOFError:
        raise Ended("the work was not finished: its process was ended") from None
    finally:
        process.kill()
        process.join()
        ours.close()
    if error is None:
        answer: T = result
        return answer
    raise error if isinstance(error, AdvisorError) else RuntimeError(error)


def _tell(answer: Connection, work: Callable[..., Any], given: tuple[object, ...]) -> None:
    result: Any = None
    problem: AdvisorError | str | None = None
    try:
        result = work(*given)
    except AdvisorError as error:
        problem = error
    except Exception:
        problem = traceback.format_exc()
    answer.send((result, problem))
