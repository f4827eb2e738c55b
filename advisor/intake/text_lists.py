"""Lists of parts that share one verb: "replaced tires, shocks and a damper", "tires and shocks
were replaced"."""

from __future__ import annotations

from collections.abc import Iterable

from advisor.intake.text_lexicon import Hit, WorkTable
from advisor.intake.text_results import Job
from advisor.intake.text_sheet import Sheet

AND = frozenset(("and", "&", "then", "finally"))
BESIDES = frozenset(("all", "both", "new", "the", "a", "an", "four", "two", "front", "rear"))
LISTED = AND | BESIDES | frozenset((",", "+"))
STATES = frozenset(("are", "is", "were", "was"))
LONGEST = 6  # parts of a list
ITEM_REACH = 5  # words between one part and the next


def goes_on(sheet: Sheet, start: int, part: Hit) -> bool:
    """Nothing but listed parts stands between words[:start] and a part, and the part has no state
    of its own: not "new tires and the shocks are bad"."""
    named = {
        at
        for thing in sheet.within("thing", start, part.start)
        for at in range(thing.start, thing.end)
    }
    between = [sheet.words[at] for at in range(start, part.start) if at not in named]
    return LISTED.issuperset(between) and STATES.isdisjoint(sheet.words[part.end : part.end + 1])


def shared_verb(sheet: Sheet, found: list[Job], phrases: list[Hit], pairs: WorkTable) -> list[Job]:
    """The earlier parts of a list whose last one is known as work: its verb is theirs too."""
    anchors = [(job.start, job.end, job.verb) for job in found if job.start < job.verb]
    anchors += [
        (hit.start, hit.end, hit.end - 1)
        for hit in phrases
        if sheet.any_of(("thing",), hit.start, hit.start + 1)
    ]
    made = []
    for start, end, verb in anchors:
        actions = {hit.value for hit in sheet.within("action", start, verb + 1)}
        for part in _before(sheet, start):
            made += done_to(sheet, part, (end, verb), actions, pairs)
    return made


def done_to(
    sheet: Sheet, part: Hit, told: tuple[int, int], actions: Iterable[str], pairs: WorkTable
) -> list[Job]:
    """What some actions on a part are called. told: the end of its phrase, and its verb."""
    made = []
    for action in actions:
        for pair in pairs.by_action.get(action, ()):
            named = sheet.within(pair.other_kind, part.start, part.start + 1)
            if any(hit.value == pair.other_value for hit in named):
                made.append(Job(pair.finds, part.start, *told))
    return made


def _before(sheet: Sheet, start: int) -> list[Hit]:
    """The parts of a list that ends with the part at words[start]: "tires, wheels and ..."."""
    parts: list[Hit] = []
    joint_needed = AND
    while len(parts) < LONGEST:
        near = sheet.within("thing", start - ITEM_REACH, start)
        part = next((thing for thing in reversed(near) if thing.end <= start), None)
        if part is None:
            break
        between = sheet.words[part.end : start]
        if not LISTED.issuperset(between) or joint_needed.isdisjoint(between):
            break
        parts.append(part)
        start, joint_needed = part.start, AND | {","}
    return parts
