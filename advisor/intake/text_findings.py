"""Sensations, where they are felt, conditions, wear and the rest, each said to be there or not."""

from __future__ import annotations

from bisect import insort
from dataclasses import dataclass, field

from advisor.intake.text_lexicon import Hit
from advisor.intake.text_scope import Scope, Scopes
from advisor.intake.text_sheet import Sheet, any_between

Found = tuple[str, int, int]  # symptom id, first word, end
FELT_REACH, FELT_NEAR = 14, 8
BROKEN = frozenset(("parting", "swelling", "giving_way"))
LONE_PLACE = 2  # words beside a place that stands for itself: ", right rear."
RULED_OUT_REACH = 4
SHORT_CLAUSE, FINE_REACH = 5, 8
LINKS = frozenset(("from", "of", "in", "at", "on", "with", "when", "the", "a", "my", "our"))
QUIET = frozenset(("hum", "pull", "wander"))  # sensations that are no vibration
ENDS = frozenset(("front_end", "rear", "trailer", "whole_vehicle"))
BODY = frozenset(("steering_wheel", "seat", "floor", "brake_pedal"))
LOW_MPH, HIGH_MPH = 25, 80
HIGHWAY = "condition.highway"
SUBJECT_BEFORE, SUBJECT_AFTER = 6, 4
LINKED_KEYS = frozenset({"condition", "trigger", "changes", "growth", "drive_test", "speed"})


@dataclass
class Findings:
    """What is there and what is denied: (symptom id, first word, end).

    sensed: first words of the sensations that are there; shaken: those that are vibrations.
    absent: sensations denied, though it may be for one place or speed only.
    """

    there: list[Found] = field(default_factory=list)
    denied: list[Found] = field(default_factory=list)
    sensed: list[int] = field(default_factory=list)
    shaken: list[int] = field(default_factory=list)
    absent: list[tuple[str, int]] = field(default_factory=list)
    is_vibration: bool = False
    elsewhere: bool = False
    not_rolling: bool = False


def findings(sheet: Sheet, denied: Scopes, aside: Scopes) -> Findings:
    """Read sensations first; the rest hangs on them."""
    made = Findings()
    weak: list[Hit] = []
    qualified: list[Found] = []
    for hit in sheet.of("sensation"):
        if aside.covering(hit.start) is not None:
            made.elsewhere = True
            continue
        scope = denied.covering(hit.start)
        if scope is not None:
            made.absent.append((hit.value, hit.start))
            if _only_qualified(sheet, hit, scope) and sheet.words[hit.start - 1] == "the":
                _sense(sheet, hit, made)  # "I don't get the shake in neutral": it is there
            elif _only_qualified(sheet, hit, scope):
                qualified.append((f"sensation.{hit.value}", hit.start, hit.end))
            else:
                made.denied.append((f"sensation.{hit.value}", hit.start, hit.end))
            continue
        if hit.flag == "weak":
            weak.append(hit)
        else:
            _sense(sheet, hit, made)
    _doubt_the_bare(sheet, made)
    for hit in weak:
        if made.is_vibration or _on_the_road(sheet, hit):
            _sense(sheet, hit, made)
    if not made.is_vibration:
        _turned(sheet, qualified, denied, made)
    if not made.is_vibration and not made.denied and _implied(sheet, denied, aside):
        made.is_vibration = True
    _felt(sheet, denied, aside, made)
    _symptoms(sheet, denied, aside, made)
    _fine(sheet, denied, made)
    return made


def _implied(sheet: Sheet, denied: Scopes, aside: Scopes) -> bool:
    """ "I feel it in the seat from 57 on": it has no name, but a place and a course over speed."""
    if any(kind in sheet.hits for kind in ("sensation", "accessory", "engine", "brake_noise")):
        return False
    if not any(kind in sheet.hits for kind in ("starts", "peak", "ends")) or not any(
        word.isdigit() and LOW_MPH <= int(word) <= HIGH_MPH for word in sheet.words
    ):
        return False
    for hit in sheet.of("felt"):
        if hit.value not in BODY or denied.covering(hit.start) or aside.covering(hit.start):
            continue
        clause = sheet.stretch(sheet.clause, hit.start)
        told = sheet.within("perceive", clause[0], hit.start)
        if any(h.value == "feel" and denied.covering(h.start) is None for h in told):
            return True
    return False


def _turned(sheet: Sheet, qualified: list[Found], denied: Scopes, made: Findings) -> None:
    """ "It isn't a vibration in the wheel. It's more in the seat": denied of one place only."""
    for id_, start, end in qualified:
        stop = sheet.stretch(sheet.sentence, start)[1]
        after = sheet.stretch(sheet.sentence, min(stop + 1, len(sheet.words) - 1))
        told = sheet.within("perceive", *after)
        there = [h for h in sheet.within("felt", *after) if denied.covering(h.start) is None]
        if there and any(h.value == "feel" and h.start < there[0].start for h in told):
            made.there.append((id_, start, end))
            insort(made.sensed, start)
            insort(made.shaken, start)
            made.is_vibration = True
        else:
            made.denied.append((id_, start, end))


def _sense(sheet: Sheet, hit: Hit, made: Findings) -> None:
    if hit.flag != "quiet" and _of_something_else(sheet, hit):
        made.not_rolling = True
        return
    if hit.value == "hum" and _of_something_else(sheet, hit):
        return
    made.there.append((f"sensation.{hit.value}", hit.start, hit.end))
    insort(made.sensed, hit.start)
    if hit.flag != "quiet":
        insort(made.shaken, hit.start)
        made.is_vibration = True


def _doubt_the_bare(sheet: Sheet, made: Findings) -> None:
    """ "Complains of vibration. Vibrates standing still": the bare word says nothing else."""
    if made.not_rolling:
        road: tuple[str, ...] = ("unit", "rolling", "felt")
    elif _same_at_rest(sheet):
        road = ("unit", "rolling")
    else:
        return
    if any(sheet.any_of(road, *sheet.stretch(sheet.sentence, at)) for at in made.shaken):
        return
    bare = set(made.shaken)
    made.there = [found for found in made.there if found[1] not in bare]
    made.sensed = [at for at in made.sensed if at not in bare]
    made.shaken.clear()
    made.is_vibration, made.not_rolling = False, True


def _same_at_rest(sheet: Sheet) -> bool:
    """ "Vibrates at 2200 rpm. Same parked": it may follow the engine."""
    return "engine_speed" in sheet.hits and "standstill" in sheet.hits


def _only_qualified(sheet: Sheet, hit: Hit, scope: Scope) -> bool:
    """ "no shake in the seat" denies the seat, "no shake below 50" the speed: not the shake."""
    rest = (hit.end, scope.end)
    if sheet.any_of(("felt", "place", "deny"), *rest):
        return True
    if any(h.value.startswith("condition.") for h in sheet.within("symptom", *rest)):
        return True
    numbers = [at for at in range(hit.end, scope.end) if sheet.words[at].isdigit()]
    return any(sheet.first_in("other_unit", at + 1, at + 2) is None for at in numbers)


def _on_the_road(sheet: Sheet, hit: Hit) -> bool:
    """A weak word beside a speed, a wheel, an end of the vehicle or another word of the road."""
    start, end = sheet.stretch(sheet.clause, hit.start)
    ends = sheet.within("felt", start, hit.start)
    rolling = sheet.any_of(("rolling",), start, end) or any(h.value in ENDS for h in ends)
    return rolling or _has_speed(sheet, start, end)


def _has_speed(sheet: Sheet, start: int, end: int) -> bool:
    """A speed with its unit, or a number after "at" or "over" that counts nothing else."""
    if sheet.any_of(("unit",), start, end):
        return True
    for kind in ("at", "above"):
        for hit in sheet.within(kind, start, end):
            word = sheet.words[hit.end] if hit.end < end else ""
            if word.isdigit() and LOW_MPH <= int(word[:4]) <= HIGH_MPH:
                return not sheet.any_of(("other_unit",), hit.end + 1, hit.end + 2)
    return False


def _of_something_else(sheet: Sheet, hit: Hit) -> bool:
    """The air conditioner vibrates, it shakes at idle: not a rolling vibration."""
    sentence = sheet.stretch(sheet.sentence, hit.start)
    clause = sheet.stretch(sheet.clause, hit.start)
    joined = hit.start == clause[0] + 1 and sheet.words[clause[0]] == "and"
    begin = sentence[0] if joined else clause[0]  # "the blower whines and shakes"
    first = max(begin, hit.start - SUBJECT_BEFORE)
    subject = sheet.last_in("accessory", first, hit.start)
    if subject is not None and not subject.value and hit.start - subject.end <= 1:
        return not sheet.any_of(("felt",), clause[0], subject.start)
    by_engine = sheet.any_of(("engine_speed",), *clause) and not _has_speed(sheet, *clause)
    if by_engine and not sheet.any_of(("unit", "rolling"), *sentence):
        return True
    if _has_speed(sheet, *sentence):
        return False
    if hit.value == "hop" and sheet.any_of(("rough",), *sentence):
        return True
    on_road = sheet.any_of(("rolling",), *clause)
    if hit.value == "buzz" and not on_road and sheet.any_of(("engine_speed",), *sentence):
        return True
    if sheet.any_of(("standstill",), *sentence):
        return not on_road
    after = sheet.first_in("accessory", hit.end, min(sentence[1], hit.end + SUBJECT_AFTER))
    if after is not None and not LINKS.issuperset(sheet.words[hit.end : after.start]):
        after = None  # "vibration that makes the dishes rattle"
    return (subject is not None or after is not None) and not on_road


def _felt(sheet: Sheet, denied: Scopes, aside: Scopes, made: Findings) -> None:
    """Where it is felt: a place linked to a sensation, not a part that was worked on."""
    for hit in sheet.of("felt"):
        if aside.covering(hit.start) is not None:
            continue
        id_ = f"felt_at.{hit.value}"
        scope = denied.covering(hit.start)
        if scope is not None:
            if _denied_place(sheet, hit, scope):
                made.denied.append((id_, hit.start, hit.end))
        elif not _is_part(sheet, hit) and _linked(sheet, hit, made):
            made.there.append((id_, hit.start, hit.end))


def _denied_place(sheet: Sheet, hit: Hit, scope: Scope) -> bool:
    about = sheet.any_of(("sensation", "perceive"), scope.start - 1, hit.start)
    return about or hit.start - scope.start <= 2


def _is_part(sheet: Sheet, hit: Hit) -> bool:
    """ "front shocks", "new front tires": the name of a part, not a place."""
    if any(h.end > hit.end for h in sheet.within("accessory", hit.start, hit.start + 1)):
        return True
    for thing in sheet.within("thing", hit.start, hit.end + 1):
        if thing.end > hit.end and thing.value not in ("tires", "wheels"):
            return True
    clause = sheet.stretch(sheet.clause, hit.start)
    start, end = max(clause[0], hit.start - 4), min(clause[1], hit.end + 2)
    return sheet.any_of(("action", "work"), start, hit.start) or bool(
        sheet.first_in("work", hit.start, end)
    )


def _linked(sheet: Sheet, hit: Hit, made: Findings) -> bool:
    """A sensation in the same clause; or near by, when the clause says that it is felt there."""
    clause = sheet.stretch(sheet.clause, hit.start)
    sensed = made.shaken
    if any_between(sensed, *clause):
        return True
    if any(h.value in BROKEN for h in sheet.within("cue", *clause)):
        return False
    if sheet.any_of(("fine", "work", "action", "danger", "fastener"), *clause):
        return False
    segment = sheet.stretch(sheet.segment, hit.start)
    alone = clause[1] - clause[0] <= hit.end - hit.start + LONE_PLACE
    if sheet.any_of(("place",), hit.start, hit.start + 1) and not alone:
        segment = clause
    reach = FELT_REACH if alone or clause[1] - clause[0] <= 5 else FELT_NEAR
    near = max(segment[0], hit.start - reach), min(segment[1], hit.start + reach + 1)
    if any_between(sensed, *near):
        return True
    told = any(h.value == "feel" for h in sheet.within("perceive", clause[0], hit.start))
    here = any_between(made.sensed, *clause) or any_between(sensed, *segment)
    unnamed = made.is_vibration and not sensed
    return told and (here or unnamed or any_between(sensed, 0, hit.start))


def _symptoms(sheet: Sheet, denied: Scopes, aside: Scopes, made: Findings) -> None:
    """Conditions, onset, growth, noise, wear and things seen."""
    for hit in sheet.of("symptom"):
        if aside.covering(hit.start) is not None:
            continue
        key = hit.value.split(".")[0]
        if key == "speed" and denied.covering(hit.start) is not None:
            continue
        if denied.covering(hit.start) is not None or _ruled_out(sheet, hit, denied):
            made.denied.append((hit.value, hit.start, hit.end))
        elif key not in LINKED_KEYS or _near_sensation(sheet, hit, made.sensed):
            made.there.append((hit.value, hit.start, hit.end))


def _near_sensation(sheet: Sheet, hit: Hit, sensed: list[int]) -> bool:
    start, end = sheet.stretch(sheet.sentence, hit.start)
    if any_between(sensed, start, end):
        return True
    told = ("perceive", "peak", "starts", "ends", "result")
    return bool(sensed) and sheet.any_of(told, start, end)


def _ruled_out(sheet: Sheet, hit: Hit, denied: Scopes) -> bool:
    """ "whether loaded or empty": named only to say that it makes no difference; or "coasting is
    fine"."""
    if not hit.value.startswith("condition."):
        return False
    clause = sheet.stretch(sheet.clause, hit.start)
    end = min(clause[1], hit.end + RULED_OUT_REACH)
    good = [*sheet.within("fine", hit.end, end), *sheet.within("ends", hit.end, end)]
    good = [h for h in good if denied.covering(h.start) is None]
    if good and hit.value != HIGHWAY and not sheet.any_of(("sensation", "thing"), *clause):
        return True
    start = sheet.stretch(sheet.segment, hit.start)[0]
    return sheet.first_in("whether", max(start, hit.start - 8), hit.start + 1) is not None


def _fine(sheet: Sheet, denied: Scopes, made: Findings) -> None:
    """ "tires look fine" denies that the tires are at fault."""
    for hit in sheet.of("fine"):
        if hit.value == "general" or denied.covering(hit.start) is not None:
            continue
        start, end = sheet.stretch(sheet.clause, hit.start)
        part = sheet.last_in("thing", max(start, hit.start - 7), hit.start)
        part = part or sheet.first_in("thing", hit.end, min(end, hit.end + 2))
        moving = sheet.any_of(("rolling",), start, end)
        if part is None and end - start <= SHORT_CLAUSE and not moving:
            part = sheet.last_in("thing", hit.start - FINE_REACH, hit.start)
            if part is not None and sheet.sentence[part.start] != sheet.sentence[hit.start]:
                part = None
        if part is not None and part.value != "nuts":  # a denied danger already
            made.denied.append((f"fine.{part.value}", part.start, hit.end))
