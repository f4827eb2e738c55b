"""What was typed (or clicked) at a step -> one answer, checked against that step."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

from advisor.errors import AdvisorError, did_you_mean
from advisor.intake.checker import NO, YES
from advisor.model.pack import Inspection
from advisor.model.place import DUALS, GROUPS, SIDES, Place, parse_place
from advisor.physics.units import KG_PER_OZ, M_PER_IN

Word = Literal[
    "found", "clear", "yes", "no", "skip", "ready", "back", "why", "cautions", "stop", "more",
    "lowered", "help",
]  # fmt: skip
COMMANDS = ("ready", "back", "why", "cautions", "stop", "more", "lowered", "help", "skip")
SKIPS = {
    "cannot": "cannot", "can't": "cannot", "cant": "cannot", "can": "cannot",
    "will_not": "will_not", "won't": "will_not", "wont": "will_not", "will": "will_not",
    "no_tool": "no_tool", "tool": "no_tool", "no": "no_tool",
}  # fmt: skip
FOUND = YES | {"found", "bad", "over"}
CLEAR = NO | {"clear", "ok", "good", "fine"}
TO_OURS = {
    ("mm", "in"): 0.001 / M_PER_IN,
    ("cm", "in"): 0.01 / M_PER_IN,
    ("g", "oz"): 0.001 / KG_PER_OZ,
    ("c", "deg F"): 9 / 5,  # a difference of temperatures
}
UNIT_NAMES = {"inch": "in", '"': "in", "thou": "thou", "f": "deg F", "deg": "deg", "ounces": "oz"}
NUMBER = re.compile(r"^([-+]?\d*\.?\d+)([a-zA-Z\"]*)$")


@dataclass(frozen=True)
class Said:
    """One answer. places: where it was found or read, empty for the step's own place; values:
    numbers by place in writing and measure key; why: of a skip."""

    word: Word | Literal["measured"]
    places: tuple[str, ...] = ()
    values: Mapping[str, Mapping[str, float]] = field(default_factory=dict)
    why: Literal["cannot", "will_not", "no_tool"] | None = None


def understand(line: str, kind: Inspection | None, place: str) -> Said:
    """Read one typed line. kind: the inspection of the step, None at a question.

    Raises AdvisorError with what would be understood.
    """
    words = line.strip().lower().replace(",", " ").replace("=", " ").split()
    if not words:
        raise AdvisorError("nothing was said; help lists the answers")
    head, rest = words[0], words[1:]
    if head in ("skip", *COMMANDS):
        return _command(head, rest)
    if head in FOUND | CLEAR:
        good = head in CLEAR
        if kind is None:
            return Said("no" if good else "yes")
        if good and rest:
            raise AdvisorError("clear stands for the whole step; say found and where, or skip")
        return Said("clear") if good else Said("found", _named(rest, place))
    if kind is not None and any(NUMBER.match(w) for w in words):
        return Said("measured", values=_readings(words, kind, place))
    known = [*COMMANDS, "found", "clear", "yes", "no"]
    raise AdvisorError(f'"{line.strip()}" is not an answer here; {did_you_mean(head, known)} '
                       "help lists the answers")  # fmt: skip


def _command(head: str, rest: Sequence[str]) -> Said:
    if head != "skip":
        return Said(head)  # type: ignore[arg-type]
    reason = rest[0] if rest else "cannot"
    if reason not in SKIPS:
        raise AdvisorError(f'"{reason}" is no reason to skip; allowed: cannot, will_not, no_tool')
    return Said("skip", why=SKIPS[reason])  # type: ignore[arg-type]


def _named(words: Sequence[str], place: str) -> tuple[str, ...]:
    """'left', 'steer_left' or 'left inner' as places of the step, in writing."""
    made: list[str] = []
    side, dual = "", ""
    for word in [*words, ""]:
        if word in DUALS and side and not dual:
            dual = word
            continue
        if side:
            made.append(_place_in(place, side, dual))
            side, dual = "", ""
        if word in SIDES:
            side = word
        elif word:
            made.append(_whole(word, place))
    return tuple(dict.fromkeys(made))


def _whole(word: str, place: str) -> str:
    """A place written out, which must lie within the step's."""
    found = parse_place(word)
    if not place:
        raise AdvisorError("this step is about the whole vehicle; say found, clear or a reading")
    if found is None:
        raise AdvisorError(f'"{word}" is not a place; say left, right, or a place as steer_left')
    here = [p for p in map(parse_place, place.replace(",", " ").split()) if p]
    if here and not any(p.covers(found) for p in here):
        raise AdvisorError(f"{word} is not part of this step ({place.replace('_', ' ')})")
    return str(found)


def _place_in(place: str, side: str, dual: str) -> str:
    own = parse_place(place)
    if own is None:
        raise AdvisorError(f"say which axle as well, such as {GROUPS[0]}_{side}")
    if own.side and own.side != side:
        raise AdvisorError(f"this step is about the {own.words} only")
    return str(Place(own.group, side, dual or own.dual))


def _readings(words: Sequence[str], kind: Inspection, place: str) -> dict[str, dict[str, float]]:
    """Numbers with unit, measure and place: '0.110 in', 'left 2.1 mm right 0.4 mm'."""
    if not kind.measures:
        raise AdvisorError(f"{kind.name} yields no number; say found, clear or skip")
    keys = {m.key: m for m in kind.measures}
    values: dict[str, dict[str, float]] = {}
    at, key = place, kind.measures[0].key
    pending = list(words)
    while pending:
        word = pending.pop(0)
        if word in keys:
            key = word
        elif word in SIDES:
            dual = pending.pop(0) if pending and pending[0] in DUALS else ""
            at = _place_in(place, word, dual)
        elif match := NUMBER.match(word):
            unit = match[2]
            if not unit and pending and _is_unit(pending[0]):
                unit = pending.pop(0)
            values.setdefault(at, {})[key] = _converted(float(match[1]), unit, keys[key].unit)
        else:
            at = _whole(word, place)
    _check_ends(kind, values)
    return values


def _is_unit(word: str) -> bool:
    return word in UNIT_NAMES or word in ("in", "oz") or any(word == a for a, _ in TO_OURS)


def _converted(number: float, unit: str, ours: str) -> float:
    """A number in the measure's own unit. Raises AdvisorError for a unit that is another kind."""
    name = UNIT_NAMES.get(unit, unit)
    if name == "thou" and ours == "in":
        return number / 1000
    if not name or name == ours or ours.startswith(name) or ours.endswith(f" {name}"):
        return number
    if (name, ours) in TO_OURS:
        return number * TO_OURS[(name, ours)]
    raise AdvisorError(f"{number:g} {unit}: this reading is in {ours}")


def _check_ends(kind: Inspection, values: Mapping[str, Mapping[str, float]]) -> None:
    """At a wheel end one number cannot stand for both ends of an axle."""
    for place in values:
        here = parse_place(place)
        if kind.at == "wheel_end" and (here is None or not here.side):
            raise AdvisorError("say which end each number is of: left 0.034 right 0.128")
