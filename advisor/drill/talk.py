"""A drill over a plain terminal: typed lines in, plain lines out."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from advisor.drill.driver import MINUTES_PER_QUESTION, WORK, topics
from advisor.drill.game import Drill
from advisor.drill.paths import axles
from advisor.drill.results import DRAWN, alike
from advisor.drill.score import Score
from advisor.drill.sheets import sheet_number, vehicle_words
from advisor.errors import AdvisorError, did_you_mean
from advisor.evidence.findings import says
from advisor.model.pack import Inspection
from advisor.model.place import DUALS, GROUPS, SIDES
from advisor.plan.inspections import room_words
from advisor.report import words
from advisor.report.lines import columns, wrap

WIDTH = 80
NOWHERE = ("-", "vehicle")  # at no wheel end
PLACES = (*GROUPS, *SIDES, "all", *NOWHERE)  # how a place may begin
HELP = (
    "ask TOPIC        what the driver says about it (topics lists them)",
    "do CHECK PLACE   carry out a check at steer, drive left, all (checks lists them)",
    "known            what you asked and found so far",
    "name CAUSE PLACE PERCENT   end: what it is, where, how sure; without PLACE if",
    "                 it is at no wheel end (causes lists them)",
    "stop             end without a score",
)
BARE = {
    "ask": "ask about what? topics lists what there is",
    "do": "do which check, and where? checks lists them",
    "why": "the debrief tells why, once you have named a cause",
}


def greeting(drill: Drill) -> list[str]:
    """Vehicle and write-up; nothing that gives the answer away."""
    case = drill.case
    lines = [f"DRILL {sheet_number(case)}"]
    lines += wrap(f"{vehicle_words(case, drill.pack)}", WIDTH)
    lines += wrap(f"Driver writes: {case.write_up or 'nothing'}", WIDTH)
    rule = (
        "Find cause and place in few minutes. The safety checks come first: nothing goes on the "
        "road before they are done at every axle and clear."
    )
    return [*lines, "", *wrap(f"{rule} {DRAWN}", WIDTH), *HELP]


def respond(drill: Drill, line: str) -> tuple[list[str], Score | None]:
    """What one typed line brings, and the score once a cause is named. Raises AdvisorError."""
    head, *rest = line.strip().split() or [""]
    word = head.lower()
    if word == "ask" and rest:
        return _asked(drill, " ".join(rest)), None
    if word == "do" and rest:
        return _done(drill, *_told_apart(rest)), None
    if word == "name":
        return [], _named(drill, rest)
    lists: dict[str, Callable[[Drill], list[str]]] = {
        "topics": _topics, "checks": _checks, "causes": _causes, "known": _known,
    }  # fmt: skip
    if word in lists:
        return lists[word](drill), None
    if word == "help":
        return list(HELP), None
    if word == "stop":
        return ["Stopped."], None
    if word in BARE:
        raise AdvisorError(BARE[word])
    hint = did_you_mean(word, ["ask", "do", "name", "help", "stop", *lists])
    raise AdvisorError(f'"{line.strip()}" is nothing to do here; {hint} help lists what is')


def _asked(drill: Drill, topic: str) -> list[str]:
    told = drill.ask(topic)
    if topic.strip().lower().replace(" ", "_") == WORK:
        lines = [
            f"{drill.pack.work[w.what].name}: {w.result.replace('_', ' ')}"
            for w in drill.case.work_done
        ]
        return [f"  {text}" for text in lines or ["nothing was done about it yet"]]
    lines = []
    for answer in told.answers:
        symptom = drill.pack.symptoms[answer.symptom]
        lines.append(says(symptom, answer.state == "yes", answer.place, drill.pack))
    speed = drill.walk.case.speed
    if topic.startswith("speed") and speed is not None:
        parts = [("from", speed.low_mph), ("to", speed.high_mph), ("worst at", speed.peak_mph)]
        said = " ".join(f"{name} {value:g}" for name, value in parts if value is not None)
        lines.append(f"{said} mph")
    mark = "" if told.from_case else " *"
    return [f"  {text}{mark}" for text in lines or ["nothing to say about that"]]


def _done(drill: Drill, name: str, place: str) -> list[str]:
    lines = []
    for one in alike(drill.inspect(name, place)):
        kind = drill.pack.inspections[one.id]
        means = kind.found_means if one.found else kind.clear_means
        text = f"{one.places}, {words.minutes(one.minutes)}: {one.result}: {means}"
        lines += wrap(text, WIDTH, "  ")
    return [*lines, *_so_far(drill, "  ")]


def _so_far(drill: Drill, indent: str = "") -> list[str]:
    """Minutes spent, and what is open."""
    opened = "; ".join(room_words(drill.pack, r) for r in sorted(drill.walk.opened))
    text = f"{words.minutes(drill.minutes)} so far; open: {opened or 'as parked'}"
    return wrap(text, WIDTH, indent)


def _told_apart(said: Sequence[str]) -> tuple[str, str]:
    """A name of one or more words and the place after it, both in writing: steer_left, steer left
    and left steer are one."""
    at = next((n for n, word in enumerate(said) if n and _parts(word)[0] in PLACES), len(said))
    parts = [part for word in said[at:] for part in _parts(word)]
    place = "_".join(sorted(parts, key=lambda part: (part not in GROUPS, part in DUALS)))
    return "_".join(said[:at]), "" if place in NOWHERE else place


def _parts(word: str) -> list[str]:
    """steer_left -> steer, left"""
    return word.lower().replace("-", "_").split("_") if word not in NOWHERE else [word]


def _named(drill: Drill, rest: list[str]) -> Score:
    usage = "say: name CAUSE PLACE PERCENT, as: name bent_wheel steer_right 70"
    if len(rest) < 2:
        raise AdvisorError(usage)
    try:
        percent = float(rest[-1].removesuffix("%"))
    except ValueError:
        raise AdvisorError(f'"{rest[-1]}" is not a number of percent; {usage}') from None
    cause, place = _told_apart(rest[:-1])
    info = drill.pack.causes.get(cause.lower().replace("-", "_"))
    if info is not None and info.at_wheel_end and not place and rest[-2] not in NOWHERE:
        raise AdvisorError(f"{info.name}: say at which wheel end, as steer_left; - if you cannot")
    return drill.name(cause, place, percent / 100)


def _topics(drill: Drill) -> list[str]:
    rows = [(key.key, key.ask) for key in topics(drill.pack)]
    rows.append((WORK, "What has been done about it so far?"))
    head = f"A question costs {MINUTES_PER_QUESTION:g} minute."
    return [head, *[text for row in rows for text in wrap(row[1], WIDTH, f"  {row[0]:<13} ")]]


def _checks(drill: Drill) -> list[str]:
    lines = []
    for state in drill.pack.access.values():
        here = [k for k in drill.pack.inspections.values() if k.access == state.id]
        here = [k for k in here if axles(drill.world, k)]
        if here:
            cost = f", {words.minutes(state.open_minutes)} to open" if state.open_minutes else ""
            lines.append(f"{state.name}{cost}")
            lines += columns([_row(drill, k) for k in here], indent="  ")
    return lines


def _row(drill: Drill, kind: Inspection) -> tuple[str, ...]:
    each = {"wheel_end": "a wheel", "axle": "an axle"}.get(kind.at, "")
    star = "safety" if kind.safety else ""
    places = " ".join(p for p in axles(drill.world, kind) if p)
    return (kind.id, f"{kind.minutes:g} min {each}".strip(), places, star)


def _causes(drill: Drill) -> list[str]:
    return [
        text
        for cause in drill.pack.causes.values()
        for text in wrap(cause.name, WIDTH, f"  {cause.id:<33} ")
    ]


def _known(drill: Drill) -> list[str]:
    lines = [f"asked: {', '.join(drill.asked) or 'nothing'}"]
    for one in alike(drill.taken):
        lines += wrap(f"{one.id} {one.places}: {one.result}", WIDTH)
    return [*lines, *_so_far(drill)]
