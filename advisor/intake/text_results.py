"""What came of a piece of work: said in so many words, or by what is told after it."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from advisor.intake.text_found import QUIET, Findings
from advisor.intake.text_lexicon import Hit
from advisor.intake.text_outcomes import outcomes
from advisor.intake.text_sheet import FULL_STOPS, Sheet, any_between

RESULT_SENTENCES = 2
FOLLOWING_REACH = 12
LONGEST_LIST = 12
AFTER_REACH = 9
COLON_REACH = 2
PART_REACH = 4
NOT_TOLD: Mapping[int, int] = MappingProxyType({})
GOOD = frozenset(("cured", "better"))
LED_ON = frozenset(("with", "from", "after", "by", "since"))
BEGAN = frozenset(("began_then", "not_before"))
CONTEXT_REACH = 3
LOADS = frozenset(("empty", "loaded", "light", "bobtail", "unloaded"))
SHORT_VERDICT = 3  # words, with the stop before them


@dataclass
class Job:
    """A piece of work in words[start:end]; paired: told by an action and a part;
    told_done: by "did that"."""

    what: str
    start: int
    end: int
    verb: int
    results: list[str] = field(default_factory=list)
    begins_it: bool = False
    paired: bool = False
    told_done: bool = False

    @property
    def result(self) -> str:
        """The last word on it; a return outweighs the rest."""
        said = self.results
        if "came_back" in said:
            return "came_back"
        if "better" in said and "cured" not in said:
            return "better"
        return said[-1] if said else "unknown"


def give_results(sheet: Sheet, told: Findings, found: list[Job]) -> None:
    """Add to each piece of work what came of it: what is said of it next, then what is told
    without saying so, then what is said of all the work."""
    hits = outcomes(sheet, found[0].start)
    for job in found:
        job.begins_it = _begins_it(sheet, job)
    _in_vain(sheet, found)
    _said(sheet, found, hits)
    _complaint_gone(sheet, told, found)
    _good_since(sheet, told, found)
    if told.is_vibration or told.there:
        _short_verdicts(sheet, found)
    _began_after(sheet, told, found)
    for job in found:
        job.begins_it = job.begins_it and job.result not in ("cured", "better")
    _outdone(sheet, found)
    if told.sensed or told.absent:
        _of_all(sheet, found, hits)


def _start(job: Job) -> int:
    return job.start


def _in_vain(sheet: Sheet, found: list[Job]) -> None:
    """ "still shakes in spite of new shocks"; "no luck so far with: balance, new tires"."""
    told = [hit for hit in sheet.of("cue") if hit.value == "in_spite"]
    for cue in told:
        end = sheet.stretch(sheet.segment, cue.start)[1]
        for job in found:
            if cue.end <= job.start < end:
                job.results.append("no_change")
    for hit in sheet.of("result"):
        colon = ":" in sheet.words[hit.end : hit.end + COLON_REACH]
        if colon and hit.value == "no_change" and not any(job.start < hit.start for job in found):
            for job in found:
                job.results.append("no_change")


def _said(sheet: Sheet, found: list[Job], hits: list[Hit]) -> None:
    """Each result goes to the work before it, or to the work that follows "fixed by"."""
    told_in: dict[int, int] = {}  # a job that has a result, and the sentence it comes from
    for hit in hits:
        onward = hit.value in GOOD or (_leads_on(sheet, hit) and hit.value != "came_back")
        after = _following(sheet, hit, found) if onward else []
        if hit.value == "no_change":
            for job in _until_then(sheet, hit, found):
                job.results.append("cured")
        sentence = sheet.sentence[hit.start]
        for job in after or _preceding(sheet, hit.start, hit.value, found, told_in):
            if hit.value in GOOD and told_in.get(id(job), sentence) != sentence:
                continue  # the later good word is for something that was done since
            job.results.append(hit.value)
            told_in[id(job)] = sentence


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
    later = [job for job in found[at : at + LONGEST_LIST] if job.start < end]
    if not later or not (
        _leads_on(sheet, hit) or sheet.any_of(("remedy", "after"), hit.end, later[0].start + 1)
    ):
        return []
    return [job for job in later if sheet.segment[job.start] == sheet.segment[later[0].start]]


def _leads_on(sheet: Sheet, hit: Hit) -> bool:
    """ "no difference with new shocks", "worse since the balancing"."""
    return not LED_ON.isdisjoint(sheet.words[hit.end - 1 : hit.end + 1])


def _until_then(sheet: Sheet, hit: Hit, found: list[Job]) -> list[Job]:
    """ "nothing helped until I replaced the rotor": the work named next."""
    if sheet.first_in("until", hit.end, hit.end + 2) is None:
        return []
    end = min(sheet.stretch(sheet.sentence, hit.start)[1], hit.end + FOLLOWING_REACH)
    at = bisect_left(found, hit.end, key=_start)
    return [job for job in found[at : at + 1] if job.start < end]


def _preceding(
    sheet: Sheet, start: int, value: str, found: list[Job], told_in: Mapping[int, int] = NOT_TOLD
) -> list[Job]:
    """The nearest work before, with the work listed in the same breath. told_in: the sentence
    that told a result of a piece of work; what one sentence tells of a list, it tells of all."""
    at = bisect_left(found, start, key=_start)
    while at and found[at - 1].end > start:
        at -= 1
    if not at:
        return []
    last = found[at - 1]
    if sheet.told_between(last.start, start) > RESULT_SENTENCES:
        return []
    own = sheet.sentence[last.start] != sheet.sentence[start]  # a sentence of its own
    within = 1 if value not in GOOD or (value == "better" and own) else 0
    group = [last]
    if at == 1:
        return group
    fields = [cue.start for cue in sheet.of("cue") if cue.value == "fix_field"]
    in_field = fields[-1] if fields else len(sheet.words)  # "Correction: ...": one list
    for job in reversed(found[max(0, at - 1 - LONGEST_LIST) : at - 1]):
        apart = sheet.told_between(job.start, group[-1].start)
        shared = job.results == last.results and told_in.get(id(job)) == sheet.sentence[start]
        near = apart <= within or (job.start > in_field and apart <= RESULT_SENTENCES)
        context = value in GOOD and _is_context(sheet, job, last)
        if (job.results and not shared) or job.begins_it or context or not near:
            break
        group.append(job)
    return group


def _is_context(sheet: Sheet, job: Job, last: Job) -> bool:
    """ "nuts loose after the tire change, snugged them": when it was, not what cured it."""
    after = sheet.last_in("after", job.start - CONTEXT_REACH, job.start + 1)
    return after is not None and "," in sheet.words[job.end : last.start]


def _complaint_gone(sheet: Sheet, told: Findings, found: list[Job]) -> None:
    """ "Shimmy at 60. Replaced the damper. Test drove, no shimmy": the denial is the cure."""
    for kind, start in told.absent:
        if kind in QUIET or _persists(sheet, told, start, found):
            continue
        before = [job for job in _preceding(sheet, start, "cured", found) if not job.results]
        complained = bool(before and told.shaken) and told.shaken[0] < before[0].start
        if before and (complained or _after_that(sheet, before[0].end, start)):
            for job in before:
                job.results.append("cured")
        for job in _after(sheet, start, found) if told.is_vibration else []:
            job.results.append("cured")


def _after_that(sheet: Sheet, start: int, end: int) -> bool:
    """ "new bearing, after this no shake"."""
    start = max(start, sheet.stretch(sheet.sentence, end)[0])
    return any(cue.value == "began_then" for cue in sheet.within("cue", start, end))


def _began_after(sheet: Sheet, told: Findings, found: list[Job]) -> None:
    """ "aligned, and on the trip home it shook", "rotated, a hop since then": what was not
    there before the work."""
    began = [cue for cue in sheet.of("cue") if cue.value in BEGAN]
    if not began or not told.there:
        return
    there = sorted([start for _, start, _ in told.there])
    for job in found:
        if job.results:
            continue
        near = [
            cue
            for cue in began
            if cue.start >= job.end and sheet.told_between(job.start, cue.start) <= 1
        ]
        if any(_began_by(sheet, told, there, job, cue) for cue in near):
            job.results.append("worse")


def _began_by(sheet: Sheet, told: Findings, there: list[int], job: Job, cue: Hit) -> bool:
    """A cue says that something began then."""
    start, end = sheet.stretch(sheet.sentence, cue.start)
    if cue.value == "not_before":
        return any_between(told.sensed, start, cue.start)
    if cue.value != "began_then" or job.begins_it:
        return False
    if any_between(told.sensed, 0, job.start):
        clause = sheet.stretch(sheet.clause, cue.start - 1)[0]
        return cue.end == end and any_between(told.sensed, max(clause, cue.start - PART_REACH), end)
    return any_between(there, cue.end, min(end, cue.end + FOLLOWING_REACH))


def _short_verdicts(sheet: Sheet, found: list[Job]) -> None:
    """ "Replaced rim. OK.": a good word that is a sentence of its own."""
    for hit in sheet.of("fine"):
        start, end = sheet.stretch(sheet.sentence, hit.start)
        lone = end - start <= SHORT_VERDICT and LOADS.isdisjoint(sheet.words[start:end])
        if not lone or sheet.words[start] not in FULL_STOPS:
            continue
        for job in _preceding(sheet, hit.start, "cured", found):
            if not job.results:
                job.results.append("cured")


def _good_since(sheet: Sheet, told: Findings, found: list[Job]) -> None:
    """ "now it is sweet", "rode well after that", "road tested, good": a good word for the vehicle
    after the work."""
    for hit in sheet.of("fine"):
        start, end = sheet.stretch(sheet.sentence, hit.start)
        since = any(h.value == "since_then" for h in sheet.within("cue", start, end))
        tried = sheet.any_of(("tried",), start, hit.start)
        if not (since or tried) or any_between(told.sensed, start, end):
            continue
        clause = sheet.stretch(sheet.clause, hit.start)
        if sheet.any_of(("thing",), max(clause[0], hit.start - PART_REACH), hit.start):
            continue
        for job in _preceding(sheet, hit.start, "cured", found):
            if not job.results:
                job.results.append("cured")


def _of_all(sheet: Sheet, found: list[Job], hits: list[Hit]) -> None:
    """ "balanced, rotated ... and it still shakes": work without a word of its own shares the next
    word that nothing helped; "still shakes, was balanced" says so beforehand."""
    for job in found:
        if job.results or job.begins_it:
            continue
        later = next((hit for hit in hits if hit.start >= job.end), None)
        if later is not None and later.value in ("no_change", "worse"):
            job.results.append("no_change")
    if any(job.results or job.begins_it for job in found):
        return
    for job in found:
        start = sheet.stretch(sheet.sentence, job.start)[0]
        if any(start <= hit.start < job.start and hit.value == "no_change" for hit in hits):
            job.results.append("no_change")


def _persists(sheet: Sheet, told: Findings, start: int, found: list[Job]) -> bool:
    """Something still shakes in the sentence that denies something, after the work in it."""
    begin, end = sheet.stretch(sheet.sentence, start)
    done = [job.end for job in found if begin <= job.start and job.end <= start]
    return any(max([begin, *done]) <= at < end for at in told.shaken)


def _after(sheet: Sheet, start: int, found: list[Job]) -> list[Job]:
    """ "no vibration after new shocks": the work named next, with its list."""
    end = min(sheet.stretch(sheet.sentence, start)[1], start + FOLLOWING_REACH)
    later = [job for job in found if start < job.start < end and not job.results]
    if not later or not sheet.any_of(("after",), start, later[0].start + 1):
        return []
    return later


def _says_when(sheet: Sheet, after: Hit, job: Job) -> bool:
    """Something else than the work is what it began after."""
    told = sheet.within("symptom", after.start - 1, job.start)
    return any(hit.value.startswith("onset.") and hit.end > after.end for hit in told)


def _begins_it(sheet: Sheet, job: Job) -> bool:
    """ "started after new tires": the complaint began with the work."""
    start, end = sheet.stretch(sheet.sentence, job.start)
    after = sheet.last_in("after", max(start, job.start - AFTER_REACH), job.start + 1)
    if after is None:
        return False
    between = sheet.words[after.end : job.start]
    if "," in between or _says_when(sheet, after, job):
        return False  # "shimmy after a pothole, rim replaced"
    told = sheet.within("result", job.end, end)
    if any(hit.value in GOOD or hit.value == "no_change" for hit in told) and not sheet.any_of(
        ("starts",), start, end
    ):
        return False  # "after the shocks were renewed it no longer vibrated"
    return sheet.any_of(("sensation", "starts"), start, end)
