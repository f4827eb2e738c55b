"""Work already done, and what came of it."""

from __future__ import annotations

from advisor.intake.text_found import Findings
from advisor.intake.text_lexicon import Hit, WorkTable
from advisor.intake.text_pairs import Pairing, pairings
from advisor.intake.text_results import Job, give_results
from advisor.intake.text_scope import Scopes
from advisor.intake.text_sheet import Sheet

OUTCOME = "outcome"
NOT_DONE_REACH = 7
TOLD_DONE_REACH = 2  # "it needs balancing, which we had done"
NAMED_REACH = 40
DONE_REACH, DID_REACH = 6, 8
JOINED_REACH = 4
JOINTS = frozenset(("and", "&", ",", "+"))
NO_OBJECT = frozenset(
    ("to", "with", "both", "upper", "lower", "per", "and", "then", "but", "so", "now", "after")
)
RENEWED = frozenset(("tires_replaced", "wheels_replaced"))
TIRE_WORK = frozenset(
    (
        "balanced",
        "balanced_on_vehicle",
        "rotated",
        "tires_replaced",
        "wheels_replaced",
        "wheel_remounted",
        "tire_reseated",
        "match_mounted",
        "nuts_torqued",
    )
)


def jobs(
    sheet: Sheet, pairs: WorkTable, denied: Scopes, aside: Scopes, told: Findings
) -> list[Job]:
    """The work done, in order, each piece once."""
    if "action" not in sheet.hits and "work" not in sheet.hits and "thing" not in sheet.hits:
        return []
    results = {at for hit in sheet.of("result") for at in range(hit.start, hit.end)}
    longer = [hit for hit in sheet.of("work") if hit.end - hit.start > 1]
    phrased = {at for hit in longer for at in range(hit.start, hit.end)}
    found = [
        Job(p.finds, p.start, _end(p), p.first.start, paired=True)
        for p in pairings(sheet, pairs.by_second)
        if p.first.start not in results
        and not (p.second.value == OUTCOME and p.second.start < p.first.start)
        and (p.first.start not in phrased or p.finds == "shaft_balanced")
    ]
    found = [job for job in found if job.what != "rotated" or _of_tires(sheet, job)]
    swapped = {job.verb for job in found if job.what == "rotated"}
    found = [job for job in found if job.verb not in swapped or job.what not in RENEWED]
    turned = {job.verb for job in found if job.what == "match_mounted"}
    found += _named_before(sheet, pairs) + _did_that(sheet, pairs)
    used = {job.verb for job in found}
    named = [h for h in sheet.of("work") if not used.intersection(range(h.start, h.end))]
    named = [h for h in named if h.value != "rotated" or h.start not in turned]
    found += [Job(h.value, h.start, h.end, h.start) for h in named if h.flag != "weak"]
    found = [job for job in found if _was_done(sheet, job, denied, aside)]
    found = [job for job in found if not _weights_of(sheet, job, found)]
    mere = [Job(h.value, h.start, h.end, h.start) for h in named if h.flag == "weak"]
    found += [
        job
        for job in mere
        if _was_done(sheet, job, denied, aside) and _not_only_named(sheet, job, found)
    ]
    found.sort(key=lambda job: (job.start, job.end))
    if found:
        give_results(sheet, told, found)
    return found


def _end(pair: Pairing) -> int:
    """Where a job ends; "the shocks didn't fix it" names the work by what came of it."""
    return pair.first.end if pair.second.value == OUTCOME else pair.end


def _weights_of(sheet: Sheet, job: Job, found: list[Job]) -> bool:
    """ "spun the fronts on the truck and put 9 oz on the left": one balancing, not two."""
    cues = sheet.within("cue", job.start, job.end) if job.what == "balanced" else []
    if not any(cue.value == "weight" and cue.end == job.end for cue in cues):
        return False
    return any(other is not job and other.what.startswith("balanced") for other in found)


def _named_before(sheet: Sheet, pairs: WorkTable) -> list[Job]:
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
    return lead and ends and sheet.words[verb.start].endswith("ed")


def _did_that(sheet: Sheet, pairs: WorkTable) -> list[Job]:
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


def _was_done(sheet: Sheet, job: Job, denied: Scopes, aside: Scopes) -> bool:
    if job.paired and not _had_it_done(sheet, job):
        return False
    for at in {job.start, job.verb}:
        if denied.covering(at) is not None or aside.covering(at) is not None:
            return False
        reach = TOLD_DONE_REACH if job.told_done else NOT_DONE_REACH
        start = max(sheet.stretch(sheet.clause, at)[0], at - reach)
        if sheet.last_in("not_done", start, at + 1) is not None:
            return False
    if job.paired and denied.covering(job.end - 1) is not None:
        return False
    if sheet.first_in("would", job.end, job.end + 2) is not None:
        return False
    return job.told_done or not _asked(sheet, job.start)


def _of_tires(sheet: Sheet, job: Job) -> bool:
    """Not "swapped the drums side to side"."""
    things = sheet.within("thing", job.start, job.end)
    return all(thing.value in ("tires", "wheels") for thing in things)


def _had_it_done(sheet: Sheet, job: Job) -> bool:
    """A verb in its plain form is an order or advice; but not in "had them replace it", as a noun
    ("tire change"), or in capitals, where forms write so what was done."""
    verb = job.verb
    if sheet.first_in("bare", verb, verb + 1) is None or sheet.text.isupper():
        return True
    start = max(sheet.stretch(sheet.clause, verb)[0], verb - DONE_REACH)
    noun = job.start < verb and sheet.any_of(("thing",), verb - 1, verb)
    return noun or sheet.any_of(("done",), start, verb)


def _not_only_named(sheet: Sheet, job: Job, certain: list[Job]) -> bool:
    """A bare noun ("alignment") is work done beside "had" or "after", in a list of work done,
    with a result, or as an item of its own."""
    start, end = sheet.stretch(sheet.clause, job.start)
    whole = (start, end) if sheet.text.isupper() else sheet.stretch(sheet.sentence, job.start)
    if whole[1] - whole[0] <= job.end - job.start + 1:
        return True
    near = max(sheet.stretch(sheet.segment, job.start)[0], job.start - DONE_REACH)
    if sheet.any_of(("done", "after"), near, min(end, _list_end(sheet, job.end) + 2)):
        return True
    if sheet.any_of(("nothing_wrong",), whole[0], job.start):
        return False  # "ruled out the tires, balance, alignment"
    sentence = sheet.sentence[job.start]
    return sheet.any_of(("result",), job.end, end) or any(
        sheet.sentence[other.start] == sentence for other in certain
    )


def _list_end(sheet: Sheet, end: int) -> int:
    """Where a list of work ends that goes on: "the balancing and alignment done"."""
    while True:
        joined = sheet.words[end : end + 1]
        after = sheet.first_in("work", end + 1, end + 3) if joined and joined[0] in JOINTS else None
        if after is None:
            return end
        end = after.end


def _asked(sheet: Sheet, at: int) -> bool:
    """ "Should I have it aligned or balanced?" """
    start, end = sheet.stretch(sheet.sentence, at)
    question = end < len(sheet.words) and sheet.words[end] == "?"
    return question and sheet.last_in("not_done", start, at) is not None
