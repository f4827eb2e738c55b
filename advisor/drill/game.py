"""One drill as it is played: ask, inspect, name. It knows no terminal."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from advisor.drill.choose import not_one_of
from advisor.drill.course import Stage
from advisor.drill.driver import MINUTES_PER_QUESTION, WORK, Told, ask, topics, with_told
from advisor.drill.paths import Taken, Walk, axles
from advisor.drill.rate import as_told
from advisor.drill.results import place_words
from advisor.drill.score import Named, Score, score
from advisor.drill.world import world_of
from advisor.errors import AdvisorError, one_of
from advisor.model.case import Case
from advisor.model.pack import Inspection, Pack
from advisor.model.place import SIDES, parse_place


@dataclass
class Drill:
    """One worked case played with the answer hidden. seed: of results the case does not hold;
    checklist: inspection ids in the fixed order it is compared with."""

    case: Case
    pack: Pack
    checklist: Sequence[str]
    seed: int = 0
    asked: list[str] = field(default_factory=list)
    stages: list[Stage] = field(default_factory=list)
    named: Named | None = None

    def __post_init__(self) -> None:
        self.world = world_of(self.case, self.pack, self.seed)
        blank = replace(as_told(self.case), answers=(), speed=None, work_done=(), title="")
        self.walk = Walk(self.world, blank)
        self._note("the write-up alone")

    @property
    def minutes(self) -> float:
        """Minutes spent: questions and inspections."""
        return self.walk.minutes + MINUTES_PER_QUESTION * len(self.asked)

    def ask(self, topic: str) -> Told:
        """Ask the driver about a topic. Raises AdvisorError for an unknown one."""
        known = {key.key: key for key in topics(self.pack)}
        word = topic.strip().lower().replace(" ", "_").replace("-", "_")
        if word == WORK:
            self.walk.case = replace(self.walk.case, work_done=self.case.work_done)
            self._asked(WORK)
            return Told((), from_case=True)
        if word not in known:
            raise not_one_of(topic, [*known, WORK], "topic to ask about")
        told = ask(self.case, self.world, known[word])
        self.walk.case = with_told(self.walk.case, told, known[word], self.case)
        self._asked(word)
        return told

    def _asked(self, topic: str) -> None:
        """A question is paid for once."""
        if topic not in self.asked:
            self.asked.append(topic)
            self._note(f"asked: {topic.replace('_', ' ')}")

    def inspect(self, name: str, place: str = "") -> list[Taken]:
        """Carry out a check at a place, or at every axle for `all`; ends that were done already
        are left out. Raises AdvisorError."""
        kind = self._kind(name)
        wanted = self._places(kind, place)
        left = [p for p in wanted if not any((t.id, t.place) == (kind.id, p) for t in self.taken)]
        if not left:
            raise AdvisorError(f"{kind.name}: done there already; known lists what came out")
        made = [self.walk.do((kind.id, where)) for where in left]
        self._note(f"{kind.id.replace('-', ' ')}: {_outcome(made)}")
        return made

    @property
    def taken(self) -> list[Taken]:
        """The checks so far."""
        return self.walk.taken

    def _kind(self, name: str) -> Inspection:
        id_ = name.strip().lower().replace("_", "-").replace(" ", "-")
        here = [i.id for i in self.pack.inspections.values() if axles(self.world, i)]
        if id_ not in here:
            raise not_one_of(name, here, "check of this vehicle")
        return self.pack.inspections[id_]

    def _places(self, kind: Inspection, place: str) -> list[str]:
        allowed = axles(self.world, kind)
        if kind.at == "vehicle":
            return [""]
        if place == "all":
            return [end for group in allowed for end in _ends(kind, group)]
        found = parse_place(place) if place else None
        if found is None or found.group not in allowed:
            ways = f"{one_of(allowed)} (or a side of one), or all"
            raise AdvisorError(f"{kind.id} needs a place: {ways}")
        return _ends(kind, found.group if kind.at == "axle" else str(found))

    def name(self, cause: str, place: str, confidence: float) -> Score:
        """End the drill by naming cause, place and confidence (0 to 1). Raises AdvisorError."""
        id_ = cause.strip().lower().replace("-", "_")
        if id_ not in self.pack.causes:
            raise not_one_of(cause, self.pack.causes, "cause")
        if place and parse_place(place) is None:
            raise AdvisorError(f'"{place}" is not a place, such as steer_left')
        if not 0 <= confidence <= 1:
            raise AdvisorError("say how sure you are from 0 to 100 percent")
        self.named = Named(id_, place, confidence)
        told, ids = as_told(self.case), self.checklist
        return score(self.walk, len(self.asked), self.named, told, ids, MINUTES_PER_QUESTION)

    def _note(self, after: str) -> None:
        """Keep what is known now; what it meant is worked out for the debrief."""
        self.stages.append(Stage(after, self.walk.case))


def _outcome(made: Sequence[Taken]) -> str:
    """'clear', 'found', or where it was found."""
    found = [t.place for t in made if t.shown.found]
    if len(made) == 1 or not found:
        return str(made[0].shown.done.outcome)
    return f"found at {place_words(found)}"


def _ends(kind: Inspection, place: str) -> list[str]:
    """A check of a wheel end at an axle is done at both of its ends, so that it tells which."""
    here = parse_place(place)
    if kind.at != "wheel_end" or here is None or here.side:
        return [place]
    return [f"{place}_{side}" for side in SIDES]
