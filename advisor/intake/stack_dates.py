"""Dates as exports write them -> year-month-day."""

from __future__ import annotations

import datetime
import re
from functools import lru_cache

FORMS = (
    "%Y-%m-%d", "%Y/%m/%d", "%Y%m%d", "%Y.%m.%d",
    "%d-%b-%Y", "%d %b %Y", "%b %d %Y", "%B %d %Y", "%d %B %Y", "%d-%b-%y", "%d.%m.%Y",
)  # fmt: skip
SLASHED = re.compile(r"(\d{1,2})[/-](\d{1,2})[/-](\d{4}|\d{2})")


@lru_cache(maxsize=50_000)
def read_date(text: str, day_first: bool = False) -> str | None:
    """ISO date, or None when it is none of the common forms; a time of day is left off.

    day_first: 3/4/2031 is the third of April; else the fourth of March, unless only the other
    order gives a date.
    """
    said = text.strip().replace(",", " ")
    if not said:
        return None
    try:
        return datetime.date.fromisoformat(said[:10]).isoformat()
    except ValueError:
        pass
    bare = re.sub(
        r"[T ]+\d{1,2}:\d{2}(:\d{2}(\.\d+)?)?\s*([AaPp]\.?[Mm]\.?|Z|[+-]\d{2}:?\d{2})?$", "", said
    )
    bare = re.sub(r"\s+", " ", bare)
    slashed = SLASHED.fullmatch(bare)
    if slashed:
        first, second, year = map(int, slashed.groups())
        return _slashed(first, second, year, day_first)
    for form in FORMS:
        try:
            return datetime.datetime.strptime(bare, form).date().isoformat()
        except ValueError:
            continue
    return None


def _slashed(first: int, second: int, year: int, day_first: bool) -> str | None:
    year += 2000 if year < 100 else 0
    orders = [(first, second), (second, first)]
    for month, day in reversed(orders) if day_first else orders:
        try:
            return datetime.date(year, month, day).isoformat()
        except ValueError:
            continue
    return None
