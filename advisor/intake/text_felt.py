"""Where it is felt: a place linked to a sensation, not a part that was worked on."""

from __future__ import annotations

from advisor.intake.text_found import BODY, Findings
from advisor.intake.text_lexicon import Hit
from advisor.intake.text_scope import INTO, Scope, Scopes
from advisor.intake.text_sheet import FULL_STOPS, Sheet, any_between

FELT_REACH, FELT_NEAR, HUM_REACH = 14, 8, 4
BROKEN = frozenset(("parting", "leaving", "swelling", "giving_way"))
CHAIN = 5  # words between the places of a list
PLACE_WORDS = frozenset(
    (".", ",", ";", "and", "&", "the", "my", "a", "in", "also", "both", "some", "mostly", "then")
) | frozenset(
    ("of", "side", "passenger", "passengers", "driver", "drivers", "little", "bit", "too", "well")
)
BESIDE = PLACE_WORDS | frozenset(("from", "at", "on", "thru", "through", "so", "much", "up", "any"))
OR_BESIDE = BESIDE | {"or", "nor"}  # "nothing in the wheel or the seat"
NAMED_BEFORE = 4  # words between a likeness and what it names
SEEN = ("wear", "seen")
LONE_PLACE = 2  # words beside a place that stands for itself: ", right rear."


def felt(sheet: Sheet, denied: Scopes, aside: Scopes, made: Findings) -> None:
    """Where it is felt: a place linked to a sensation, not a part that was worked on."""
    last = -1  # end of the last place it is felt at
    for hit in sheet.of("felt"):
        if aside.covering(hit.start) is not None or _asked(sheet, hit, made):
            continue
        id_ = f"felt_at.{hit.value}"
        scope = denied.covering(hit.start)
        if made.is_vibration and (_is_grip(sheet, hit) or _is_blurred(sheet, hit)):
            made.there.append((id_, hit.start, hit.end))
        elif scope is not None:
            if _denied_place(sheet, hit, scope):
                made.denied.append((id_, hit.start, hit.end))
        elif _is_part(sheet, hit):
            continue
        elif _linked(sheet, hit, made) or _chained(sheet, hit, last):
            made.there.append((id_, hit.start, hit.end))
            last = hit.end


def _only_places(sheet: Sheet, at: int) -> bool:
    """ "Steering wheel and floor." is a sentence that names places and nothing else."""
    start, end = sheet.stretch(sheet.sentence, at)
    covered = {i for h in sheet.within("felt", start, end) for i in range(h.start, h.end)}
    rest = [sheet.words[i] for i in range(start, end) if i not in covered]
    return PLACE_WORDS.issuperset(rest)


def _chained(sheet: Sheet, hit: Hit, last: int) -> bool:
    """ "in the seat, and the passenger side mirror": the next place of a list."""
    if last < 0 or not 0 <= hit.start - last <= CHAIN:
        return False
    between = sheet.words[last : hit.start]
    return PLACE_WORDS.issuperset(between) and not FULL_STOPS.intersection(between)


def _asked(sheet: Sheet, hit: Hit, made: Findings) -> bool:
    """ "Is it a mount of the cab?" names a place, but tells nothing."""
    if "?" not in sheet.text:
        return False
    start, end = sheet.stretch(sheet.sentence, hit.start)
    question = end < len(sheet.words) and sheet.words[end] == "?"
    return question and not any_between(made.sensed, start, end)


def _is_grip(sheet: Sheet, hit: Hit) -> bool:
    """ "had to hang on to the steering wheel", "twists out of my hands"."""
    if hit.value != "steering_wheel":
        return False
    told = sheet.within("perceive", hit.start, hit.start + 1)
    return any(h.end == hit.end for h in told)


def _is_blurred(sheet: Sheet, hit: Hit) -> bool:
    """ "can't see anything in the mirrors"."""
    return any(h.start <= hit.start < h.end for h in sheet.named("perceive", "blur"))


def _denied_place(sheet: Sheet, hit: Hit, scope: Scope) -> bool:
    """ "not in the seat", "no shake in the seat"; but not "no heat in the cab"."""
    by = sheet.within("deny", scope.by, scope.by + 1)
    unfelt = any(h.value == "perceive" for h in by)
    told = ("sensation",) if unfelt else ("sensation", "perceive")
    if sheet.any_of(told, scope.start - 1, hit.start + 1):
        return True
    if any(h.value == "without" for h in by):
        return False  # "without the tag axle"
    if unfelt:
        return not INTO.isdisjoint(sheet.words[scope.start : hit.start])
    named = sheet.within("felt", scope.start, hit.start)
    places = {at for h in named for at in range(h.start, h.end)}
    rest = [sheet.words[at] for at in range(scope.start, hit.start) if at not in places]
    return OR_BESIDE.issuperset(rest)


def _is_part(sheet: Sheet, hit: Hit) -> bool:
    """ "front shocks", "new front tires": the name of a part, not a place."""
    if any(h.end > hit.end for h in sheet.within("accessory", hit.start, hit.start + 1)):
        return True
    named = sheet.first_in("sensation", hit.end, hit.end + 1)
    if named is not None and sheet.words[named.start] != "the":
        return False  # "it brought a steering wheel vibration"
    for thing in sheet.within("thing", hit.start, hit.end + 1):
        if thing.end > hit.end and thing.value not in ("tires", "wheels"):
            return True
    clause = sheet.stretch(sheet.clause, hit.start)
    start, end = max(clause[0], hit.start - 4), min(clause[1], hit.end + 2)
    if sheet.first_in("work", hit.start, end) is not None:
        return True
    if not sheet.any_of(("action", "work"), start, hit.start):
        return False
    done = [h.end for kind in ("action", "work") for h in sheet.within(kind, start, hit.start)]
    # "got a vibration in the steering wheel"
    return not sheet.any_of(("sensation",), max(done), hit.start)


def _likeness(sheet: Sheet, hit: Hit, start: int) -> bool:
    """ "as if the front axle were square": a picture, not a place."""
    by = sheet.last_in("simile", max(start, hit.start - NAMED_BEFORE), hit.start + 1)
    return by is not None and not sheet.any_of(("perceive",), by.start + 1, hit.start)


def _linked(sheet: Sheet, hit: Hit, made: Findings) -> bool:
    """A sensation in the same clause; or near by, when the clause says that it is felt there."""
    clause = sheet.stretch(sheet.clause, hit.start)
    sensed = made.shaken
    if any_between(sensed, *clause):
        pictured = _likeness(sheet, hit, clause[0]) and not any_between(sensed, hit.end, clause[1])
        return not pictured  # "shakes like the front wheels will fall off"
    if any(h.value in BROKEN for h in sheet.within("cue", *clause)):
        return False
    if sheet.any_of(("fine", "work", "action", "danger", "fastener", "detached", "loose"), *clause):
        return False
    if any(h.value.split(".")[0] in SEEN for h in sheet.within("symptom", *clause)):
        return False
    segment = sheet.stretch(sheet.segment, hit.start)
    alone = clause[1] - clause[0] <= hit.end - hit.start + LONE_PLACE
    if sheet.any_of(("place",), hit.start, hit.start + 1) and not alone:
        segment = clause
    reach = FELT_REACH if alone or clause[1] - clause[0] <= 5 else FELT_NEAR
    near = max(segment[0], hit.start - reach), min(segment[1], hit.start + reach + 1)
    if any_between(sensed, *near) and not _likeness(sheet, hit, clause[0]):
        return True
    if hit.value in BODY and any_between(
        made.sensed, max(clause[0], hit.start - HUM_REACH), hit.start
    ):
        return True  # "rumble in the floor"
    if made.is_vibration and _only_places(sheet, hit.start):
        return True
    if made.is_vibration and any(h.value == "blur" for h in sheet.within("perceive", *clause)):
        return True
    told = any(h.value == "feel" for h in sheet.within("perceive", clause[0], hit.start + 1))
    if any(h.value == "tires" for h in sheet.within("thing", hit.start, hit.start + 1)):
        return False  # "noticed a cut in the front tires"
    here = any_between(made.sensed, *clause) or any_between(sensed, *segment)
    unnamed = made.is_vibration and not sensed
    following = sheet.beside(hit.start, 1)  # "I feel it in the seat. It is a fast vibration"
    looked_at = sheet.any_of(("checked",), *clause)  # "went through the front end"
    here = here or (any_between(sensed, *following) and not looked_at)
    return told and (here or unnamed or any_between(sensed, 0, hit.start))
