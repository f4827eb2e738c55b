"""A drill over a plain terminal: typed lines in, plain lines out."""

from __future__ import annotations

from collections.abc import Callable

from advisor.drill.debrief import result_words
from advisor.drill.driver import MINUTES_PER_QUESTION, WORK, topics
from advisor.drill.game import Drill
from advisor.drill.paths import Taken, axles
from advisor.drill.score import Score
from advisor.drill.sheets import sheet_number, vehicle_words
from advisor.errors import AdvisorError
from advisor.evidence.findings import says
from advisor.model.pack import Inspection
from advisor.plan.inspections import room_words
from advisor.report import words
from advisor.report.lines import columns, wrap

WIDTH = 80
HELP = (
    "ask TOPIC        what the driver says about it (topics lists them)",
    "do CHECK PLACE   carry out a check (checks lists them) at steer, drive_left, all",
    "topics, checks, causes, known: lists",
    "name CAUSE PLACE PERCENT   end: what it is, where (- for nowhere), how sure",
    "stop             end without a score",
)


def greeting(drill: Drill) -> list[str]:
    """Vehicle and write-up; nothing that gives the answer away."""
    case = drill.case
    lines = [f"DRILL {sheet_number(case)}"]
    lines += wrap(f"{vehicle_words(case, drill.pack)}", WIDTH)
    lines += wrap(f"Driver writes: {case.write_up or 'nothing'}", WIDTH)
    lines += ["", "The safety checks come first. Find cause and place in few minutes.", *HELP]
    return lines


def respond(drill: Drill, line: str) -> tuple[list[str], Score | None]:
    """What one typed line brings, and the score once a cause is named. Raises AdvisorError."""
    head, *rest = line.strip().split() or [""]
    word = head.lower()
    if word == "ask" and rest:
        return _asked(drill, " ".join(rest)), None
    if word == "do" and rest:
        return _done(drill, rest[0], rest[1] if len(rest) > 1 else ""), None
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
    raise AdvisorError(f'"{line.strip()}" is nothing to do here; help lists what is')


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
    for taken in drill.inspect(name, place):
        lines += _result(drill, taken)
    lines.append(f"  {words.minutes(drill.minutes)} so far; open: {_open(drill)}")
    return lines


def _result(drill: Drill, taken: Taken) -> list[str]:
    kind, shown = drill.pack.inspections[taken.id], taken.shown
    means = kind.found_means if shown.found else kind.clear_means
    star = "" if shown.from_case else " *"
    where = words.place(taken.place)
    numbers = result_words(shown.done.outcome, shown.done.values)
    text = f"{where}, {words.minutes(taken.minutes)}: {numbers}{star}: {means}"
    return wrap(text, WIDTH, "  ")


def _open(drill: Drill) -> str:
    rooms = sorted(drill.walk.opened)
    return "; ".join(room_words(drill.pack, r) for r in rooms) or "as parked"


def _named(drill: Drill, rest: list[str]) -> Score:
    if len(rest) != 3:
        raise AdvisorError("say: name CAUSE PLACE PERCENT, as: name bent_wheel steer_right 70")
    cause, place, sure = rest
    try:
        percent = float(sure.removesuffix("%"))
    except ValueError:
        raise AdvisorError(f'"{sure}" is not a number of percent') from None
    return drill.name(cause, "" if place in ("-", "vehicle") else place, percent / 100)


def _topics(drill: Drill) -> list[str]:
    rows = [(key.key, key.ask) for key in topics(drill.pack)]
    rows.append((WORK, "What has been done about it so far?"))
    head = f"A question costs {MINUTES_PER_QUESTION:g} minute."
    return [head, *[text for row in rows for text in wrap(row[1], WIDTH, f"  {row[0]:<13} ")]]


def _checks(drill: Drill) -> list[str]:
    lines = []
    for state in drill.pack.access.values():
        here = [k for k in drill.pack.inspections.values() if k.access == state.id]
        here = [k for k in here if _possible(drill, k)]
        if here:
            cost = f", {words.minutes(state.open_minutes)} to open" if state.open_minutes else ""
            lines.append(f"{state.name}{cost}")
            lines += columns([_row(drill, k) for k in here], indent="  ")
    return lines


def _possible(drill: Drill, kind: Inspection) -> bool:
    fits = not kind.vehicles or drill.case.vehicle.type in kind.vehicles
    return fits and bool(axles(drill.world, kind))


def _row(drill: Drill, kind: Inspection) -> tuple[str, ...]:
    each = {"wheel_end": "a wheel", "axle": "an axle"}.get(kind.at, "")
    star = "safety" if kind.safety else ""
    places = " ".join(p for p in axles(drill.world, kind) if p)
    return (kind.id, f"{kind.minutes:g} min {each}".strip(), places, star)


def _causes(drill: Drill) -> list[str]:
    return [
        text
        for cause in drill.pack.causes.values()
        for text in wrap(cause.name, WIDTH, f"  {cause.id:<32} ")
    ]


def _known(drill: Drill) -> list[str]:
    case = drill.walk.case
    lines = [f"asked: {', '.join(drill.asked) or 'nothing'}"]
    for taken in drill.walk.taken:
        lines += wrap(f"{taken.id} {words.place(taken.place)}: {taken.shown.done.outcome}", WIDTH)
    lines.append(f"{words.minutes(drill.minutes)} so far; open: {_open(drill)}")
    return lines if case else []
