"""Numbers, places and lists in shop words; every renderer says them the same way."""

from __future__ import annotations

import re
from collections.abc import Sequence

from advisor.model.diagnosis import LimitNote, PlaceShare
from advisor.model.pack import Level
from advisor.model.place import parse_place

_SENTENCE_END = re.compile(r"(?<=[a-z)][.!?])\s+(?=[A-Z])")

WHOLE_VEHICLE = "whole vehicle"

SEEN_IN_WORDS = {
    "published": "published, the text itself was read",
    "secondary": "published, seen as quoted elsewhere",
    "common practice": "common practice, no source",
    "memory": "from memory",
    "invented": "invented for the demo",
    "computed": "computed",
    "judgement": "judgement, no source",
}

LEVEL_HEADING: dict[Level, str] = {
    "stop": "Stop: do not drive this vehicle",
    "soon": "Soon: deal with this before anything else",
    "none": "No safety finding in what was reported",
}

# `none` says what was not reported; it never clears the vehicle
NOT_CLEARED = "This does not clear the vehicle for the road: look it over before a test."

DEFER = "Makers' instructions, local codes and licensed practice stand above this advice."

PRESENT = "chance that each is present; several can be at once"

DEMO = "Demo data: an invented fleet"

DANGER_IN_WORDS: dict[Level, str] = {
    "stop": "If confirmed: do not drive until it is put right.",
    "soon": "If confirmed: put it right before it goes back to work.",
    "none": "",
}


def chance(probability: float) -> str:
    """A probability (0 to 1) in words: 'about 6 in 10', 'less than 1 in 50'."""
    if probability < 0.02:
        return "less than 1 in 50"
    if probability < 0.035:
        return "about 1 in 40"
    if probability < 0.075:
        return "about 1 in 20"
    if probability > 0.98:
        return "more than 49 in 50"
    if probability >= 0.95:
        return "about 19 in 20"
    return f"about {tenths(probability)} in 10"


def tenths(probability: float) -> int:
    """How many of ten boxes to fill for a probability: 0 to 10, halves up."""
    return min(10, int(probability * 10 + 0.5))


def minutes(value: float) -> str:
    """A duration in minutes as 'under 1 min', '25 min', '1 h 30 min'."""
    whole = int(value + 0.5)
    if whole < 1:
        return "under 1 min"
    hours, rest = divmod(whole, 60)
    if not hours:
        return f"{rest} min"
    return f"{hours} h {rest} min" if rest else f"{hours} h"


def figure(value: float) -> str:
    """A figure without needless digits: at most five significant."""
    return f"{value:.5g}"


def span(low: float, high: float, digits: int = 1) -> str:
    """'8.2 to 9.1', or one figure when both ends look the same."""
    a, b = f"{low:.{digits}f}", f"{high:.{digits}f}"
    return a if a == b else f"{a} to {b}"


def hz(low: float, high: float) -> str:
    """A frequency range in Hz: one decimal below 100, none above."""
    return f"{span(low, high, 1 if high < 100 else 0)} Hz"


def mph(low: float, high: float) -> str:
    """A speed range in whole mph."""
    return f"{span(low, high, 0)} mph"


def listing(items: Sequence[str], last: str = "and") -> str:
    """'a', 'a and b', 'a, b and c'; an empty text for nothing."""
    if len(items) < 2:
        return "".join(items)
    return f"{', '.join(items[:-1])} {last} {items[-1]}"


def place(text: str) -> str:
    """A place in shop order ('left steer'); empty means the whole vehicle; else as written."""
    if text in ("", "vehicle"):
        return WHOLE_VEHICLE
    found = parse_place(text)
    return found.words if found else text.replace("_", " ")


def places(shares: Sequence[PlaceShare], most: int = 2, chances: bool = True) -> str:
    """Where a cause is likely, most likely first, with the chance at each when there are several.

    Places beyond `most` and places under a tenth of the first are left out.
    """
    if not shares:
        return WHOLE_VEHICLE
    shown = [s for s in shares[:most] if s.probability >= shares[0].probability / 10]
    if len(shown) == 1 or not chances:
        return listing([place(s.place) for s in shown], "or")
    return listing([f"{place(s.place)} ({chance(s.probability)})" for s in shown], "or")


def plain(identifier: str) -> str:
    """An id as words: 'felt_at.steering_wheel' becomes 'felt at: steering wheel'."""
    head, dot, tail = identifier.partition(".")
    text = f"{head}: {tail}" if dot else head
    return text.replace("_", " ").replace("-", " ").replace(".", " ")


def limit(note: LimitNote) -> str:
    """A limit with its figure and unit, once."""
    value = figure(note.value)
    if note.low is not None:
        value = f"{figure(note.low)} to {value}"
    return note.text if value in note.text.split() else f"{note.text}: {value} {note.unit}".strip()


def seen(grade: str) -> str:
    """How a source was seen, in words; never a better grade than the one given."""
    return SEEN_IN_WORDS.get(grade, grade)


def first_sentence(text: str) -> str:
    """The text up to its first full stop that a new sentence follows."""
    return _SENTENCE_END.split(text, maxsplit=1)[0]


def opening(text: str) -> str:
    """The text with its first letter large; the rest as written."""
    return text[:1].upper() + text[1:]


def sentence(text: str) -> str:
    """The text with a full stop, unless it ends in punctuation already."""
    return text if not text or text[-1] in ".!?:" else f"{text}."


def counted(number: int, one: str) -> str:
    """'1 row', '2 rows'."""
    return f"{number} {one}" if number == 1 else f"{number} {one}s"
