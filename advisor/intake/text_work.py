"""Work already done, and what came of it."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator
from dataclasses import dataclass, field

from advisor.intake.text_lexicon import Hit, PairTable, Two
from advisor.intake.text_pairs import pairings
from advisor.intake.text_scope import Scopes
from advisor.intake.text_sheet import Sheet

NOT_DONE_REACH = 7
AFTER_REACH = 9
RESULT_SENTENCES = 2
NAMED_REACH = 22
FOLLOWING_REACH = 12
LONGEST_LIST = 12
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


@dataclass
class Job:
    """A piece of work in words[start:end]."""

    what: str
    start: int
    end: int
    verb: int
    results: list[str] = field(default_factory=list)
    begins_it: bool = False

    @property
    def result(self) -> str:
        """The last word on it; a return outweighs the rest."""
        said = self.results
        if "came_back" in said:
            return "came_back"
        if "better" in said and "cured" not in said:
            return "better"
        return said[-1] if said else "unknown"


def jobs(sheet: Sheet, pairs: PairTable, denied: Scopes, aside: Scopes) -> list[Job]:
    """The work done, in order, each piece once."""
    results = {at for hit in sheet.of("result") for at in range(hit.start, hit.end)}
    longer = [hit for hit in sheet.of("work") if hit.end - hit.start > 1]
    phrased = {at for hit in longer for at in range(hit.start, hit.end)}
    found = [
        Job(p.finds, p.start, p.end, p.first.start)
        for p in pairings(sheet, pairs)
        if p.first.start not in results and p.first.start not in phrased
    ]
    found += _named_before(sheet, pairs)
    used = {job.verb for job in found}
    found += [
        Job(h.value, h.start, h.end, h.start)
        for h in sheet.of("work")
        if not used.intersection(range(h.start, h.end))
    ]
    found = [job for job in found if _was_done(sheet, job, denied, aside)]
    found.sort(key=lambda job: (job.start, job.end))
    _results(sheet, found)
    for job in found:
        job.begins_it = _begins_it(sheet, job)
    _outdone(sheet, found)
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
            continue
        made = []
        for pair in _flat(pairs):
            kind, value = pair.other_kind, pair.other_value
            if pair.value == verb.value:
                parts = sheet.within(kind, max(0, verb.start - NAMED_REACH), verb.start)
                near = [part for part in parts if not value or part.value == value]
                made += [Job(pair.finds, verb.start, it.end, part.start) for part in near[-1:]]
        made.sort(key=lambda job: -job.verb)
        nearest = made[: 1 if it.value == "it" else 2]
        found += [Job(job.what, job.start, job.end, job.start) for job in nearest]
    return found


def _flat(pairs: PairTable) -> Iterator[Two]:
    for by_value in pairs.values():
        for some in by_value.values():
            yield from some


def _start(job: Job) -> int:
    return job.start


def _was_done(sheet: Sheet, job: Job, denied: Scopes, aside: Scopes) -> bool:
    for at in {job.start, job.verb}:
        if denied.covering(at) is not None or aside.covering(at) is not None:
            return False
        start = max(sheet.stretch(sheet.clause, at)[0], at - NOT_DONE_REACH)
        if sheet.last_in("not_done", start, at + 1) is not None:
            return False
    return not _asked(sheet, job.start)


def _asked(sheet: Sheet, at: int) -> bool:
    """ "Should I have it aligned or balanced?" """
    start, end = sheet.stretch(sheet.sentence, at)
    question = end < len(sheet.words) and sheet.words[end] == "?"
    return question and sheet.last_in("not_done", start, at) is not None


def _results(sheet: Sheet, found: list[Job]) -> None:
    """Each result goes to the work before it, or to the work that follows "fixed by"."""
    for hit in sheet.of("result"):
        after = _following(sheet, hit, found) if hit.value in ("cured", "better") else []
        for job in after or _preceding(sheet, hit, found):
            job.results.append(hit.value)


def _outdone(sheet: Sheet, found: list[Job]) -> None:
    """What was done in vain before something else cured it."""
    cures = [job for job in found if job.results[-1:] == ["cured"]]
    if not cures:
        return
    for job in found:
        later = sheet.sentence[cures[-1].start] > sheet.sentence[job.start]
        if later and not job.results and not job.begins_it and job.what != cures[-1].what:
            job.results.append("no_change")


def _following(sheet: Sheet, hit: Hit, found: list[Job]) -> list[Job]:
    end = min(sheet.stretch(sheet.sentence, hit.start)[1], hit.end + FOLLOWING_REACH)
    at = bisect_left(found, hit.end, key=_start)
    later = [job for job in found[at : at + 1] if job.start < end]
    if not later or not sheet.any_of(("remedy", "after"), hit.end, later[0].start + 1):
        return []
    return later[:1]


def _preceding(sheet: Sheet, hit: Hit, found: list[Job]) -> list[Job]:
    """The nearest work before, with the work listed in the same breath."""
    at = bisect_left(found, hit.start, key=_start)
    while at and found[at - 1].end > hit.start:
        at -= 1
    if not at:
        return []
    last = found[at - 1]
    reach = RESULT_SENTENCES if hit.value == "no_change" else 1
    if sheet.told_between(last.start, hit.start) > reach:
        return []
    group = [last]
    for job in reversed(found[max(0, at - 1 - LONGEST_LIST) : at - 1]):
        apart = sheet.told_between(job.start, group[-1].start)
        if job.results or apart > (1 if hit.value == "no_change" else 0):
            break
        group.append(job)
    return group


def _begins_it(sheet: Sheet, job: Job) -> bool:
    """ "started after new tires": the complaint began with the work."""
    if job.result in ("cured", "better"):
        return False
    start, end = sheet.stretch(sheet.sentence, job.start)
    after = sheet.last_in("after", max(start, job.start - AFTER_REACH), job.start + 1)
    if after is None:
        return False
    return sheet.any_of(("sensation", "starts"), start, end)
