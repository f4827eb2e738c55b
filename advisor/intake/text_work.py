"""Work already done, and what came of it."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from advisor.intake.text_done import not_only_named, was_done
from advisor.intake.text_elliptic import called_by_place, elliptic
from advisor.intake.text_found import WHEELS, Findings
from advisor.intake.text_lexicon import Hit, WorkTable
from advisor.intake.text_lists import goes_on, shared_verb
from advisor.intake.text_named import did_that, named_before
from advisor.intake.text_pairs import Pairing, pairings
from advisor.intake.text_results import Job, give_results
from advisor.intake.text_scope import Scopes
from advisor.intake.text_sheet import Sheet

OUTCOME = "outcome"
BARE_VERB, PART_REACH, OBJECT_REACH = 2, 9, 4  # words
OF_PART: Mapping[str, Mapping[str, tuple[str, ...]]] = MappingProxyType(
    {
        "balanced": {"driveline": ("shaft_balanced",)},
        "tire_reseated": {"wheels": ("wheel_remounted",)},
        "nuts_torqued": dict.fromkeys(
            ("suspension", "bearings", "steering", "driveline", "mounts", "shocks"), ()
        ),
    }
)
NARROWER = {"wheel_remounted": "tire_reseated", "loose_part_secured": "nuts_torqued"}
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
    phrases = [hit for hit in sheet.of("work") if not _names_another_part(sheet, hit)]
    longer = [hit for hit in phrases if hit.end - hit.start > 1]
    phrased = {at: hit for hit in longer for at in range(hit.start, hit.end)}
    found = _paired(sheet, pairs, phrased)
    turned = {job.verb for job in found if job.what == "match_mounted"}
    found += named_before(sheet, pairs) + did_that(sheet, pairs)
    used = {j.verb for j in found if j.verb not in phrased or j.what == "shaft_balanced"}
    named = [h for h in phrases if not used.intersection(range(h.start, h.end))]
    named = [h for h in named if h.value != "rotated" or h.start not in turned]
    for hit in named:
        if hit.flag != "weak":
            found += [Job(what, hit.start, hit.end, hit.start) for what in _meant(sheet, hit)]
    found += shared_verb(sheet, found, [hit for hit in longer if hit.value in RENEWED], pairs)
    found += elliptic(sheet, found, pairs)
    if not NARROWER.keys().isdisjoint([job.what for job in found]):
        found = [job for job in found if not _told_closer(job, found)]
    found = [job for job in found if was_done(sheet, job, denied, aside)]
    found = [job for job in found if not _weights_of(sheet, job, found)]
    mere = [Job(h.value, h.start, h.end, h.start) for h in named if h.flag == "weak"]
    found += [
        job
        for job in mere
        if was_done(sheet, job, denied, aside) and not_only_named(sheet, job, found)
    ]
    for job in found:
        called_by_place(sheet, job)
    found.sort(key=lambda job: (job.start, job.end))
    if found:
        give_results(sheet, told, found)
    return found


def _paired(sheet: Sheet, pairs: WorkTable, phrased: Mapping[int, Hit]) -> list[Job]:
    """Work told by an action and a part. phrased: the words of longer phrases."""
    results = {at for hit in sheet.of("result") for at in range(hit.start, hit.end)}
    found = [
        Job(p.finds, p.start, _end(p), p.first.start, paired=True)
        for p in pairings(sheet, pairs.by_second)
        if p.first.start not in results
        and not (p.second.value == OUTCOME and p.second.start < p.first.start)
        and (p.finds == "shaft_balanced" or _free(sheet, p, phrased.get(p.first.start)))
    ]
    found = [job for job in found if job.what != "rotated" or _of_tires(sheet, job)]
    swapped = {job.verb for job in found if job.what == "rotated"}
    return [job for job in found if job.verb not in swapped or job.what not in RENEWED]


def _free(sheet: Sheet, pair: Pairing, phrase: Hit | None) -> bool:
    """The action is no part of a phrase; or its list goes on: "replaced tires, shocks and ..."."""
    if phrase is None:
        return True
    part = pair.second
    if part.start < phrase.end or phrase.value not in RENEWED:
        return False
    return goes_on(sheet, phrase.end, part)


def _names_another_part(sheet: Sheet, hit: Hit) -> bool:
    """ "replaced the wheel bearings": the phrase ends within the name of something else."""
    if hit.value not in RENEWED:
        return False
    things = sheet.within("thing", hit.start + 1, hit.end)
    return any(t.end > hit.end and t.value not in WHEELS for t in things)


def _meant(sheet: Sheet, hit: Hit) -> tuple[str, ...]:
    """A bare verb goes by the part before it: "shaft removed and balanced", "U-bolts torqued"."""
    of_part = OF_PART.get(hit.value)
    if of_part is None or hit.end - hit.start > BARE_VERB:
        return (hit.value,)
    start = sheet.stretch(sheet.segment, hit.start)[0]
    end = min(sheet.stretch(sheet.clause, hit.start)[1], hit.end + OBJECT_REACH)
    before = sheet.within("thing", max(start, hit.start - PART_REACH), hit.start)
    parts = [part for part in before if part.value in of_part or part.value in WHEELS]
    after = sheet.first_in("thing", hit.end, end)
    if hit.value == "nuts_torqued" and after is not None and after.start <= hit.end + 1:
        return of_part.get(after.value, (hit.value,))  # "retorqued the U-bolts"
    if not parts or after is not None or sheet.any_of(("work",), hit.end, end):
        return (hit.value,)  # "new shaft, balanced and rotated"
    if sheet.any_of(("fastener",), parts[-1].start, end):
        return (hit.value,)
    return of_part.get(parts[-1].value, (hit.value,))


def _end(pair: Pairing) -> int:
    """Where a job ends; "the shocks didn't fix it" names the work by what came of it."""
    return pair.first.end if pair.second.value == OUTCOME else pair.end


def _weights_of(sheet: Sheet, job: Job, found: list[Job]) -> bool:
    """ "spun the fronts on the truck and put 9 oz on the left": one balancing, not two."""
    cues = sheet.within("cue", job.start, job.end) if job.what == "balanced" else []
    if not any(cue.value == "weight" and cue.end == job.end for cue in cues):
        return False
    return any(other is not job and other.what.startswith("balanced") for other in found)


def _told_closer(job: Job, found: list[Job]) -> bool:
    """ "took the wheel off and remounted it": not the tire on it; "cab bolts slack, bolts torqued":
    not the wheel nuts."""
    return any(
        NARROWER.get(other.what) == job.what and other.start <= job.start < other.end
        for other in found
    )


def _of_tires(sheet: Sheet, job: Job) -> bool:
    """Not "swapped the drums side to side"."""
    things = sheet.within("thing", job.start, job.end)
    return all(thing.value in WHEELS for thing in things)
