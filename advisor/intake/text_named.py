"""Work whose part was named before: "found a bad joint, replaced it", "Did that, twice."."""

from __future__ import annotations

from advisor.intake.text_found import JOINTS, WHEELS
from advisor.intake.text_lexicon import Hit, WorkTable
from advisor.intake.text_results import Job
from advisor.intake.text_sheet import Sheet

NAMED_REACH, DID_REACH, JOINED_REACH = 40, 8, 4  # words
SHORTHAND = 5  # letters of a verb that a shop cuts short
NO_OBJECT = frozenset(
    ("to", "with", "both", "upper", "lower", "per", "and", "then", "but", "so", "now", "after")
)


def named_before(sheet: Sheet, pairs: WorkTable) -> list[Job]:
    """ "found a bad joint, replaced it": the part was named before."""
    found = []
    results = {at for hit in sheet.of("result") for at in range(hit.start, hit.end)}
    stands: dict[int, Hit | None] = {}
    for verb in sheet.of("action"):
        if verb.start in results:
            continue
        if verb.start not in stands:  # one word may mean several actions
            stands[verb.start] = _pronoun(sheet, verb)
        it = stands[verb.start]
        if it is None:
            continue
        made = []
        for pair in pairs.by_action.get(verb.value, ()):
            kind, value = pair.other_kind, pair.other_value
            parts = sheet.within(kind, max(0, verb.start - NAMED_REACH), verb.start)
            near = [part for part in parts if not value or part.value == value]
            near = [p for p in near if p.value != "wheels" or not _felt(sheet, p)]
            near = [p for p in near if sheet.told_between(p.start, verb.start) <= 2]
            if verb.value == "balance":
                near = [p for p in near if not _wheels_between(sheet, p, verb)]
            end = max(verb.end, it.end)
            made += [Job(pair.finds, verb.start, end, part.start) for part in near[-1:]]
        made.sort(key=lambda job: -job.verb)
        nearest = made[: 2 if it.value in ("them", "they") else 1]
        nearest = [
            job
            for job in nearest
            if sheet.sentence[job.verb] == sheet.sentence[nearest[0].verb]  # one list, not two
        ]
        found += [Job(job.what, job.start, job.end, job.start) for job in nearest]
    return found


def _wheels_between(sheet: Sheet, part: Hit, verb: Hit) -> bool:
    """ "the driveshaft ..., bought new tires and had them balanced": the tires."""
    return any(thing.value in WHEELS for thing in sheet.within("thing", part.end, verb.start))


def _names_parts(sheet: Sheet, cue: Hit) -> bool:
    """ "replaced both front shocks" says what, "replaced both" does not."""
    end = sheet.stretch(sheet.clause, cue.start)[1]
    reach = 1 if cue.value == "it" else 4
    return sheet.first_in("thing", cue.end, min(end, cue.end + reach)) is not None


def _felt(sheet: Sheet, part: Hit) -> bool:
    """ "from the wheel to the seat": not a road wheel."""
    near = sheet.within("felt", part.start - 3, part.start + 1)
    return any(hit.value == "steering_wheel" and hit.end > part.start for hit in near)


def _pronoun(sheet: Sheet, verb: Hit) -> Hit | None:
    """The word that stands for a part named before: "replaced it", "they were replaced", "put a
    new one in"; or the verb itself when it stands alone."""
    for at in (verb.end, verb.start):
        for cue in sheet.within("cue", at, at + 1):
            if cue.value in ("it", "them") and not _names_parts(sheet, cue):
                return cue
    for cue in sheet.within("cue", max(0, verb.start - 4), verb.start):
        if cue.value == "they" and cue.end == verb.start:
            return cue
    return verb if _alone(sheet, verb) else None


def _alone(sheet: Sheet, verb: Hit) -> bool:
    """ "Bearing loose. Tightened.", "Adjusted to .003": a past form without an object."""
    start = sheet.stretch(sheet.clause, verb.start)[0]
    lead = verb.start - start <= 1 and (verb.start == start or not sheet.words[start].isalpha())
    after = sheet.words[verb.end] if verb.end < len(sheet.words) else "."
    ends = not after[0].isalnum() or after in NO_OBJECT
    word = sheet.words[verb.start]
    short = len(word) <= SHORTHAND and not word.endswith(("s", "g"))  # "rpld", "adj"
    named = verb.flag == "weak" or sheet.any_of(("bare",), verb.start, verb.start + 1)
    return lead and ends and (word.endswith("ed") or (short and not named))


def did_that(sheet: Sheet, pairs: WorkTable) -> list[Job]:
    """ "Was told to balance. Did that, twice.": the work or the part named right before."""
    found = []
    for cue in sheet.of("cue"):
        if cue.value != "did_that":
            continue
        first = cue.start - DID_REACH
        if sheet.any_of(("checked",), first, cue.start):
            continue
        named = [(hit.start, hit.value) for hit in sheet.within("work", first, cue.start)]
        for pair in pairs.by_action.get("replace", ()):
            parts = sheet.within(pair.other_kind, first, cue.start)
            named += [(p.start, pair.finds) for p in parts if p.value == pair.other_value]
        listed = _coordinated(sheet, sorted(set(named)))
        found += [Job(what, cue.start, cue.end, cue.start, told_done=True) for what in listed]
    return found


def _coordinated(sheet: Sheet, named: list[tuple[int, str]]) -> list[str]:
    """The last piece of work named, and those joined to it by no more than "and" or a comma."""
    listed = named[-1:]
    for at, what in reversed(named[:-1]):
        if listed[0][0] - at > JOINED_REACH or not _joined(sheet, at, listed[0][0]):
            break
        listed.insert(0, (at, what))
    return [what for _, what in listed]


def _joined(sheet: Sheet, start: int, end: int) -> bool:
    """Nothing but the work itself and a joint: "balancing and alignment"."""
    return start == end or not JOINTS.isdisjoint(sheet.words[start : end + 1])
