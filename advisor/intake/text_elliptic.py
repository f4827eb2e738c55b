"""Work told without a verb for its part, or with one that several words away gives its sense."""

from __future__ import annotations

from itertools import pairwise

from advisor.intake.text_found import WHEELS
from advisor.intake.text_lexicon import Hit, WorkTable
from advisor.intake.text_lists import done_to
from advisor.intake.text_results import Job
from advisor.intake.text_sheet import Sheet

RENEWALS = ("replace", "machine")
STATED = ("checked", "deny", "action", "work", "not_done", "loose", "nothing_wrong")
MONTH_REACH, AFTER_REACH = 2, 1  # words between a part and its month, or its "done"
SPIN_REACH, WEIGHT_REACH = 6, 12
BALANCED_WHERE = 8
OFF_REACH, ON_REACH = 5, 24
PUT_REACH = 5
KNOWN = frozenset(("the", "my", "his", "her", "its", "that", "old", "each", "of"))  # no new part
AIR_REACH, PSI_REACH = 9, 14
LEAST_PSI, MOST_PSI = 20, 150
NO_SETTING = (["to"], ["pressure"], ["pressures"], ["psi"])  # it dropped by itself; "to run"
VEHICLES = frozenset(("truck", "coach", "bus", "vehicle", "rig", "car"))
LOOKED = frozenset(("look", "see", "check", "inspect"))
NOUNS = {"balance": "balanced", "alignment": "aligned"}


def _renewed(sheet: Sheet, part: Hit, end: int, verb: int, pairs: WorkTable) -> list[Job]:
    """What it is called to renew a part."""
    return done_to(sheet, part, (end, verb), RENEWALS, pairs)


def _in_field(sheet: Sheet, field: Hit, pairs: WorkTable) -> list[Job]:
    """ "Correction: spring pins, shackles": every part of which nothing else is said."""
    end = sheet.stretch(sheet.sentence, field.end - 1)[1]
    made = []
    for part in sheet.within("thing", field.end, end):
        if sheet.any_of(("action", "work"), field.end, part.start):
            break  # its object, or a list that is read as one
        if not sheet.any_of(STATED, *sheet.stretch(sheet.clause, part.start)):
            made += _renewed(sheet, part, part.end, part.start, pairs)
    return made


def _of_month(sheet: Sheet, month: Hit, pairs: WorkTable) -> list[Job]:
    """ "Sept alignment, Nov drive tires"; "fourth damper since spring"."""
    stop = sheet.stretch(sheet.clause, month.start)[1]
    first = month.start + 1
    parts = sheet.within("thing", first, min(stop, first + MONTH_REACH))
    if month.value == "nth":
        parts = [part for part in parts if part.value not in WHEELS]
    if not parts or sheet.any_of(STATED, parts[-1].end, stop):
        return []
    made = []
    for part in parts:
        if part.value in NOUNS:
            made.append(Job(NOUNS[part.value], part.start, part.end, part.start))
        made += _renewed(sheet, part, part.end, part.start, pairs)
    return made


def _done_after(sheet: Sheet, done: Hit, pairs: WorkTable) -> list[Job]:
    """ "center bearing done last week", "new joint went in"."""
    start = max(sheet.stretch(sheet.clause, done.start)[0], done.start - AFTER_REACH - 2)
    parts = [p for p in sheet.within("thing", start, done.start) if p.value != "wheels"]
    parts = [p for p in parts if p.end >= done.start - AFTER_REACH]
    return _renewed(sheet, parts[-1], done.end, done.start, pairs) if parts else []


def _put_in(sheet: Sheet, put: Hit, pairs: WorkTable) -> list[Job]:
    """ "put overloads in"."""
    stop = min(sheet.stretch(sheet.clause, put.start)[1], put.end + PUT_REACH)
    part = sheet.first_in("thing", put.end, stop)
    if part is None or part.value == "brakes":
        return []
    known = not KNOWN.isdisjoint(sheet.words[put.end : part.start])
    if known or sheet.words[part.end : part.end + 1] not in (["in"], ["on"]):
        return []
    return _renewed(sheet, part, part.end + 1, put.start, pairs)


def _bolts(sheet: Sheet, bolts: Hit, _: WorkTable) -> list[Job]:
    """ "cab bolts slack. Retorqued all bolts"."""
    return _of_named(sheet, bolts, "loose_part", "loose_part_secured")


def _of_named(sheet: Sheet, hit: Hit, part: str, what: str) -> list[Job]:
    """Work on a part that was named before."""
    named = sheet.within("thing", hit.start - ON_REACH, hit.start)
    if any(thing.value == part for thing in named):
        return [Job(what, hit.start, hit.end, hit.start)]
    return []


def _spun(sheet: Sheet, machine: Hit, _: WorkTable) -> list[Job]:
    """ "ran the outers on the balancer, weights added"; a look alone is no work.
    "Spun the fronts on the truck" needs the word."""
    start, end = sheet.stretch(sheet.sentence, machine.start)
    near = sheet.within("cue", max(start, machine.start - SPIN_REACH), machine.start)
    spun = [cue for cue in near if cue.value == "spun"]
    after = sheet.within("cue", machine.end, min(end, machine.end + WEIGHT_REACH))
    if not spun or not any(cue.value in ("weighted", "weight") for cue in after):
        return []
    on_truck = sheet.words[machine.end - 1] in VEHICLES
    if on_truck and sheet.words[spun[-1].start] not in ("spun", "spin"):
        return []
    what = "balanced_on_vehicle" if on_truck else "balanced"
    return [Job(what, spun[-1].start, machine.end, spun[-1].start)]


def _off_and_on(sheet: Sheet, off: Hit, _: WorkTable) -> list[Job]:
    """ "pulled the left outer off, cleaned it and hung it back on"."""
    end = sheet.stretch(sheet.sentence, off.start)[1]
    wheel = [p for p in sheet.within("thing", off.start, off.end + OFF_REACH) if p.value in WHEELS]
    wheel += sheet.within("road_wheel", off.end, off.end + OFF_REACH)
    if "off" in sheet.words[off.end : off.end + OFF_REACH]:
        wheel += sheet.within("place", off.end, off.end + OFF_REACH)  # "pulled the left steer off"
    if not wheel:
        return []
    later = sheet.within("cue", off.end, min(end, off.end + ON_REACH))
    back = [cue for cue in later if cue.value in ("back_on", "rehangs")]
    if not back or _only_to_look(sheet, off.end, back[0].start):
        return []
    return [Job("wheel_remounted", off.start, back[0].end, off.start)]


def _only_to_look(sheet: Sheet, start: int, end: int) -> bool:
    """ "pulled the left wheel off to check the shoes"."""
    words = sheet.words[start : end + 1]
    return any(a == "to" and b in LOOKED for a, b in pairwise(words))


def _hung_again(sheet: Sheet, hung: Hit, _: WorkTable) -> list[Job]:
    """ "the wheel sat crooked, remounted it square": the wheel was named before."""
    return _of_named(sheet, hung, "wheels", "wheel_remounted")


def _air_set(sheet: Sheet, verb: Hit, _: WorkTable) -> list[Job]:
    """ "raised the duals to 95 pounds", "outers at 60 psi, set to 90"."""
    end = min(sheet.stretch(sheet.segment, verb.start)[1], verb.end + AIR_REACH)
    at = next((at for at in range(verb.end, end) if _aimed(sheet, at)), None)
    if at is None:
        return []
    if sheet.words[verb.start - 1 : verb.start] in NO_SETTING or _of_something_else(sheet, verb):
        return []
    near = sheet.within("cue", verb.start - PSI_REACH, min(end, at + 3))
    tires = [p for p in sheet.within("thing", verb.end, at) if p.value == "tires"]
    if not tires and not any(cue.value == "psi_unit" for cue in near):
        return []
    other = not tires and sheet.any_of(("thing",), verb.end, at)
    if other or sheet.any_of(("unit",), at, at + 3):
        return []
    return [Job("pressure_set", verb.start, at + 1, verb.start)]


def _of_something_else(sheet: Sheet, verb: Hit) -> bool:
    """ "air bags set at 40 psi"."""
    start = max(sheet.stretch(sheet.clause, verb.start)[0], verb.start - AFTER_REACH - 2)
    return any(part.value != "tires" for part in sheet.within("thing", start, verb.start))


def _aimed(sheet: Sheet, at: int) -> bool:
    """A number that a tire may be set to stands there, after "to" or "from"."""
    word = sheet.words[at]
    return (
        sheet.words[at - 1] in ("to", "from", "at")
        and word.isdigit()
        and LEAST_PSI <= int(word) <= MOST_PSI
    )


RULES = {
    "fix_field": _in_field,
    "month": _of_month,
    "nth": _of_month,
    "after_part": _done_after,
    "balancer": _spun,
    "takes_off": _off_and_on,
    "rehangs": _hung_again,
    "put_in": _put_in,
    "bolts": _bolts,
    "sets_air": _air_set,
}


def elliptic(sheet: Sheet, found: list[Job], pairs: WorkTable) -> list[Job]:
    """Work told without a plain verb and object, by the cue that gives it away."""
    telling = [cue for cue in sheet.of("cue") if cue.value in RULES]
    if not telling:
        return []
    made = []
    for cue in telling:
        made += RULES[cue.value](sheet, cue, pairs)
    told = {(job.what, at) for job in found for at in range(job.start, job.end)}
    return [job for job in made if (job.what, job.start) not in told]


def called_by_place(sheet: Sheet, job: Job) -> None:
    """ "balanced the steers right on the truck"; "tightened the hub nut a flat"."""
    if job.what == "nuts_torqued":
        near = sheet.within("cue", job.start, job.end)
        if any(cue.value == "bearing_nut" for cue in near):
            job.what = "hub_bearings_adjusted"
    elif job.what == "balanced":
        end = min(sheet.stretch(sheet.segment, job.start)[1], job.end + BALANCED_WHERE)
        if any(cue.value == "on_vehicle" for cue in sheet.within("cue", job.start, end)):
            job.what = "balanced_on_vehicle"
