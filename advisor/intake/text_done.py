"""Whether a piece of work was done: not asked for, advised, refused, or only looked into."""

from __future__ import annotations

from advisor.intake.text_found import JOINTS, WHEELS
from advisor.intake.text_results import Job
from advisor.intake.text_scope import Scopes
from advisor.intake.text_sheet import Sheet

NOT_DONE_REACH, DONE_REACH, PART_REACH = 9, 6, 9  # words
TOLD_DONE_REACH = 2  # "it needs balancing, which we had done"


def was_done(sheet: Sheet, job: Job, denied: Scopes, aside: Scopes) -> bool:
    """Whether the text says that it was done: not denied, wished for, or under an "if"."""
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
    if job.what == "wheel_cleaned" and _off_something_else(sheet, job):
        return False
    if sheet.first_in("would", job.end, job.end + 2) is not None or _under_if(sheet, job):
        return False
    return job.told_done or not _asked(sheet, job.start)


def _under_if(sheet: Sheet, job: Job) -> bool:
    """ "see if they tightened the nuts": what the clause asks or supposes, not what was done."""
    start = sheet.stretch(sheet.clause, job.start)[0]
    return sheet.words[start : start + 1] == ["if"]


def _off_something_else(sheet: Sheet, job: Job) -> bool:
    """ "chipped the ice off the driveshaft"."""
    end = min(sheet.stretch(sheet.clause, job.start)[1], job.end + PART_REACH)
    off = sheet.within("thing", job.end, end)
    return (
        bool(off) and off[0].value not in WHEELS and not sheet.any_of(("road_wheel",), job.end, end)
    )


def _had_it_done(sheet: Sheet, job: Job) -> bool:
    """A verb in its plain form is an order or advice; but not in "had them replace it", as a noun
    ("tire change"), or in capitals, where forms write so what was done."""
    verb = job.verb
    if sheet.first_in("bare", verb, verb + 1) is None or sheet.text.isupper():
        return True
    start = max(sheet.stretch(sheet.clause, verb)[0], verb - DONE_REACH)
    noun = job.start < verb and sheet.any_of(("thing",), verb - 1, verb)
    return noun or sheet.any_of(("done",), start, verb)


def not_only_named(sheet: Sheet, job: Job, certain: list[Job]) -> bool:
    """A bare noun ("alignment") is work done beside "had" or "after", in a list of work done,
    with a result, or as an item of its own."""
    start, end = sheet.stretch(sheet.clause, job.start)
    whole = (start, end) if sheet.text.isupper() else sheet.stretch(sheet.sentence, job.start)
    if whole[1] - whole[0] <= job.end - job.start + 1:
        return sheet.words[whole[1] : whole[1] + 1] != ["?"]
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
