"""A step of the bench as a form, and the form back as a line that the bench understands."""

from __future__ import annotations

from dataclasses import dataclass

from advisor.bench.step import Step
from advisor.model.pack import AxleGroup, Inspection, Measure, Pack
from advisor.model.place import SIDES, Place, parse_place
from advisor.web.asked import Asked

PLAIN = ("yes", "no", "clear", "ready", "back", "lowered", "more")
REASONS = {
    "cannot": "cannot be done here",
    "will_not": "not worth it now",
    "no_tool": "the tool is missing",
}


@dataclass(frozen=True)
class End:
    """A place a result can be at. pair: a tire of a dual pair, asked only for what is found."""

    place: str
    words: str
    pair: bool


@dataclass(frozen=True)
class Form:
    """What a step asks for. ends: where it can be found, empty for the whole vehicle; fields:
    (name, label, unit) of each number."""

    ends: tuple[End, ...]
    fields: tuple[tuple[str, str, str], ...]


def form_of(step: Step, pack: Pack, groups: tuple[AxleGroup, ...]) -> Form:
    """The form of an inspection step."""
    assert step.inspection is not None
    kind = pack.inspections[step.inspection.id]
    ends = ends_of(kind, step.inspection.place, groups)
    sides = [end for end in ends if not end.pair]
    fields = []
    for measure in kind.measures:
        if kind.at == "wheel_end" and sides:
            fields += [_field(measure, end.place, f"{measure.what}, {end.words}") for end in sides]
        else:
            fields.append(_field(measure, "", measure.what))
    return Form(tuple(ends), tuple(fields))


def _field(measure: Measure, place: str, label: str) -> tuple[str, str, str]:
    return f"number {place} {measure.key}".replace("  ", " "), label, measure.unit


def ends_of(kind: Inspection, place: str, groups: tuple[AxleGroup, ...]) -> list[End]:
    """Where a step can find something: sides of its axles, and tires of a pair."""
    if kind.at == "vehicle" or not place:
        return []
    dual = {g.group for g in groups if g.dual}
    names = [g.group for g in groups] if place == "all" else place.split(",")
    made = []
    for name in names:
        found = parse_place(name.strip())
        if found is None:
            continue
        for side in [found.side] if found.side else SIDES:
            here = Place(found.group, side, found.dual)
            made.append(End(str(here), here.words, False))
            if found.group in dual and not found.dual and kind.at == "wheel_end":
                pair = [Place(found.group, side, which) for which in ("inner", "outer")]
                made += [End(str(p), p.words, True) for p in pair]
    return made


def line_of(asked: Asked) -> str:
    """The form as a line, such as 'found steer_left' or 'steer_left tir_in 0.034'."""
    word = asked.text("word")
    if word in PLAIN:
        return word
    if word == "skip":
        return f"skip {asked.text('why') or 'cannot'}"
    if word == "found":
        return " ".join(["found", *asked.texts("where")])
    parts = []
    for name in asked.form:
        value = asked.text(name)
        if name.startswith("number ") and value:
            parts.append(f"{name.removeprefix('number ')} {value.replace(',', '.')}")
    return " ".join(parts)
