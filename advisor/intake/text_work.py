"""Work already done, and what came of it."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.intake.text_found import Findings
from advisor.intake.text_lexicon import Hit, PairTable, Two
from advisor.intake.text_pairs import pairings
from advisor.intake.text_results import Job, give_results
from advisor.intake.text_scope import Scopes
from advisor.intake.text_sheet import Sheet

NOT_DONE_REACH = 7
NAMED_REACH = 22
DONE_REACH = 6
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
    sheet: Sheet, pairs: PairTable, denied: Scopes, aside: Scopes, told: Findings
) -> list[Job]:
    """The work done, in order, each piece once."""
    results = {at for hit in sheet.of("result") for at in range(hit.start, hit.end)}
    longer = [hit for hit in sheet.of("work") if hit.end - hit.start > 1]
    phrased = {at for hit in longer for at in range(hit.start, hit.end)}
    found = [
        Job(p.finds, p.start, p.end, p.first.start, paired=True)
        for p in pairings(sheet, pairs)
        if p.first.start not in results
        and (p.first.start not in phrased or p.finds == "shaft_balanced")
    ]
    found = [job for job in found if job.what != "rotated" or _of_tires(sheet, job)]
    swapped = {job.verb for job in found if job.what == "rotated"}
    found = [job for job in found if job.verb not in swapped or job.what not in RENEWED]
    turned = {job.verb for job in found if job.what == "match_mounted"}
    found += _named_before(sheet, pairs)
    used = {job.verb for job in found}
    named = [h for h in sheet.of("work") if not used.intersection(range(h.start, h.end))]
    named = [h for h in named if h.value != "rotated" or h.start not in turned]
    found += [Job(h.value, h.start, h.end, h.start) for h in named if h.flag != "weak"]
    found = [job for job in found if _was_done(sheet, job, denied, aside)]
    mere = [Job(h.value, h.start, h.end, h.start) for h in named if h.flag == "weak"]
    found += [
        job
        for job in mere
        if _was_done(sheet, job, denied, aside) and _not_only_named(sheet, job, found)
    ]
    found.sort(key=lambda job: (job.start, job.end))
    give_results(sheet, told, found)
    return found


def _named_before(sheet: Sheet, pairs: PairTable) -> list[Job]:
    """ "found a bad joint, replaced it": the part was named before."""
    found = []
    results = {at for hit in sheet.of("result") for at in range(hit.start, hit.end)}
    for verb in sheet.of("action"):
        if verb.start in results:
            continue
        it = sheet.first_in("cue", verb.end, verb.end + 1)
        if it is None or it.value not in ("it", "them"):
            it = sheet.last_in("cue", max(0, verb.start - 4), verb.start)
            if it is None or it.value != "they" or it.end != verb.start:
                if not _alone(sheet, verb):
                    continue
                it = verb
        made = []
        for pair in _flat(pairs):
            kind, value = pair.other_kind, pair.other_value
            if pair.value == verb.value:
                parts = sheet.within(kind, max(0, verb.start - NAMED_REACH), verb.start)
                near = [part for part in parts if not value or part.value == value]
                end = max(verb.end, it.end)
                made += [Job(pair.finds, verb.start, end, part.start) for part in near[-1:]]
        made.sort(key=lambda job: -job.verb)
        nearest = made[: 2 if it.value in ("them", "they") else 1]
        found += [Job(job.what, job.start, job.end, job.start) for job in nearest]
    return found


def _alone(sheet: Sheet, verb: Hit) -> bool:
    """ "Bearing loose. Tightened.": a past form that is a clause of its own."""
    start, end = sheet.stretch(sheet.clause, verb.start)
    lead = verb.start - start <= 1 and (verb.start == start or not sheet.words[start].isalpha())
    return lead and verb.end == end and sheet.words[verb.start].endswith("ed")


def _flat(pairs: PairTable) -> Iterator[Two]:
    for by_value in pairs.values():
        for some in by_value.values():
            yield from some


def _was_done(sheet: Sheet, job: Job, denied: Scopes, aside: Scopes) -> bool:
    if job.paired and not _had_it_done(sheet, job):
        return False
    for at in {job.start, job.verb}:
        if denied.covering(at) is not None or aside.covering(at) is not None:
            return False
        start = max(sheet.stretch(sheet.clause, at)[0], at - NOT_DONE_REACH)
        if sheet.last_in("not_done", start, at + 1) is not None:
            return False
    return not _asked(sheet, job.start)


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
    if sheet.any_of(("done", "after"), near, min(end, job.end + 2)):
        return True
    sentence = sheet.sentence[job.start]
    return sheet.any_of(("result",), job.end, end) or any(
        sheet.sentence[other.start] == sentence for other in certain
    )


def _asked(sheet: Sheet, at: int) -> bool:
    """ "Should I have it aligned or balanced?" """
    start, end = sheet.stretch(sheet.sentence, at)
    question = end < len(sheet.words) and sheet.words[end] == "?"
    return question and sheet.last_in("not_done", start, at) is not None
