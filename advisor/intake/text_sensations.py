"""Words for what is felt: a vibration of the rolling vehicle, or something else, or denied."""

from __future__ import annotations

from bisect import insort

from advisor.intake.text_found import BODY, Findings, Found
from advisor.intake.text_lexicon import Hit
from advisor.intake.text_scope import Scope, Scopes
from advisor.intake.text_sheet import Sheet

LINKS = frozenset(("from", "of", "in", "at", "on", "with", "when", "the", "a", "my", "our"))
ENDS = frozenset(("front_end", "rear", "trailer", "whole_vehicle"))
LOW_MPH, HIGH_MPH = 25, 80  # a bare number between them may be a road speed
SUBJECT_BEFORE, SUBJECT_AFTER = 6, 4


def sensations(sheet: Sheet, denied: Scopes, aside: Scopes) -> Findings:
    """Every word for a sensation, and whether it is a vibration of the rolling vehicle."""
    made = Findings()
    weak: list[Hit] = []
    asked: list[Hit] = []
    qualified: list[Found] = []
    for hit in sheet.of("sensation"):
        about = aside.covering(hit.start)
        if about is not None:
            made.elsewhere = True
            if sheet.any_of(("ask",), about.by, about.by + 1):
                asked.append(hit)
            continue
        scope = denied.covering(hit.start)
        if scope is not None:
            _denied(sheet, hit, scope, made, qualified)
        elif hit.flag == "weak":
            weak.append(hit)
        else:
            _sense(sheet, hit, made)
    _doubt_the_bare(sheet, made)
    if sheet.of("advice") and not sheet.any_of(("unit", "own"), 0, len(sheet.words)):
        _advice(made)
    for hit in weak:
        if not _of_engine_or_price(sheet, hit) and (made.is_vibration or _on_the_road(sheet, hit)):
            _sense(sheet, hit, made)
    if asked and not made.is_vibration and _course_told(sheet, aside):
        for hit in asked:
            _sense(sheet, hit, made)
    if not made.is_vibration:
        _turned(sheet, qualified, denied, made)
    if not made.is_vibration and not made.denied and _implied(sheet, denied, aside):
        made.is_vibration = True
    return made


def _denied(sheet: Sheet, hit: Hit, scope: Scope, made: Findings, qualified: list[Found]) -> None:
    """Denied altogether, or for one place or speed only."""
    made.absent.append((hit.value, hit.start))
    if not _only_qualified(sheet, hit, scope):
        made.denied.append((f"sensation.{hit.value}", hit.start, hit.end))
    elif sheet.words[hit.start - 1] == "the":
        _sense(sheet, hit, made)  # "I don't get the shake in neutral": it is there
    else:
        qualified.append((f"sensation.{hit.value}", hit.start, hit.end))


def _turned(sheet: Sheet, qualified: list[Found], denied: Scopes, made: Findings) -> None:
    """ "It isn't a vibration in the wheel. It's more in the seat": denied of one place only."""
    for id_, start, end in qualified:
        if _felt_after_all(sheet, start, denied):
            made.there.append((id_, start, end))
            insort(made.sensed, start)
            insort(made.shaken, start)
            made.is_vibration = True
        else:
            made.denied.append((id_, start, end))


def _felt_after_all(sheet: Sheet, start: int, denied: Scopes) -> bool:
    """ "None at 50, then at 60 it ..."; or the next sentence says where it is felt instead."""
    here = sheet.stretch(sheet.sentence, start)
    if "then" in sheet.words[slice(*here)] and _has_speed(sheet, *here):
        return True
    if _starts_later(sheet, start, here[1], denied):
        return True
    after = sheet.beside(start, 1)
    told = sheet.within("perceive", *after)
    there = [h for h in sheet.within("felt", *after) if denied.covering(h.start) is None]
    return bool(there) and any(h.value == "feel" and h.start < there[0].start for h in told)


def _starts_later(sheet: Sheet, start: int, end: int, denied: Scopes) -> bool:
    """ "no vibration below 50, starts at 55": there from another speed on."""
    for kind in ("starts", "peak"):
        for hit in sheet.within(kind, start, end):
            told = sheet.stretch(sheet.clause, hit.start)
            if denied.covering(hit.start) is None and _has_speed(sheet, hit.start, told[1]):
                return True
    return False


def _implied(sheet: Sheet, denied: Scopes, aside: Scopes) -> bool:
    """ "I feel it in the seat from 57 on": it has no name, but a place and a course over speed."""
    if any(kind in sheet.hits for kind in ("sensation", "accessory", "engine", "brake_noise")):
        return False
    course = any(kind in sheet.hits for kind in ("starts", "peak", "ends", "upward"))
    if not course or not any(
        word.isdecimal() and LOW_MPH <= int(word[:4]) <= HIGH_MPH for word in sheet.words
    ):
        return False
    for hit in sheet.of("felt"):
        if hit.value not in BODY or denied.covering(hit.start) or aside.covering(hit.start):
            continue
        clause = sheet.stretch(sheet.clause, hit.start)
        told = sheet.within("perceive", clause[0], hit.start)
        if hit.value in ("seat", "floor") and _has_speed(sheet, 0, len(sheet.words)):
            return True
        if any(h.value == "feel" and denied.covering(h.start) is None for h in told):
            return True
    return False


def _advice(made: Findings) -> None:
    """ "If it were mine I would check the toe": what is told is no complaint of the writer."""
    made.there.clear()
    made.sensed.clear()
    made.shaken.clear()
    made.is_vibration, made.elsewhere = False, True


def _of_engine_or_price(sheet: Sheet, hit: Hit) -> bool:
    """ "jumps and the engine light comes on", "80 bucks"."""
    price = hit.start > 0 and sheet.words[hit.start - 1][0].isdigit()
    return price or sheet.any_of(("engine",), *sheet.stretch(sheet.sentence, hit.start))


def _course_told(sheet: Sheet, aside: Scopes) -> bool:
    """ "Anyone had a shimmy? It starts at 55": the course of what was asked about."""
    told = [hit for kind in ("starts", "peak", "stays") for hit in sheet.of(kind)]
    told = [hit for hit in told if aside.covering(hit.start) is None]
    return any(_has_speed(sheet, *sheet.stretch(sheet.sentence, hit.start)) for hit in told)


def _sense(sheet: Sheet, hit: Hit, made: Findings) -> None:
    if hit.flag == "quiet":
        if hit.value == "hum" and _accessory_hums(sheet, hit):
            return
    elif _over_bumps(sheet, hit):
        return
    elif _of_something_else(sheet, hit):
        made.not_rolling = True
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
            if word.isdecimal() and LOW_MPH <= int(word[:4]) <= HIGH_MPH:
                return not sheet.any_of(("other_unit",), hit.end + 1, hit.end + 2)
    return False


def _accessory_hums(sheet: Sheet, hit: Hit) -> bool:
    """ "the roof AC hums", "humming from the blower"."""
    before = sheet.last_in("accessory", max(0, hit.start - 2), hit.start)
    if before is not None and before.end == hit.start:
        return True
    after = sheet.first_in("accessory", hit.end, hit.end + SUBJECT_AFTER)
    return after is not None and LINKS.issuperset(sheet.words[hit.end : after.start])


def _over_bumps(sheet: Sheet, hit: Hit) -> bool:
    """ "bounces over the tracks": what every vehicle does, when it does not last."""
    sentence = sheet.stretch(sheet.sentence, hit.start)
    if hit.value not in ("hop", "shake") or _has_speed(sheet, *sentence):
        return False
    lasting = ("peak", "until", "slowing", "stays", "starts", "resolved")
    return sheet.any_of(("rough",), *sentence) and not sheet.any_of(lasting, *sentence)


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
    if _by_engine_speed(sheet, sentence, clause):
        return True
    if _has_speed(sheet, *sentence):
        return False
    on_road = sheet.any_of(("rolling",), *clause)
    if hit.value == "buzz" and not on_road and sheet.any_of(("engine_speed",), *sentence):
        return True
    if sheet.any_of(("standstill",), *sentence):
        return all(h.value == "part" for h in sheet.within("rolling", *clause))
    after = sheet.first_in("accessory", hit.end, min(sentence[1], hit.end + SUBJECT_AFTER))
    if after is not None and not LINKS.issuperset(sheet.words[hit.end : after.start]):
        after = None  # "vibration that makes the dishes rattle"
    return (subject is not None or after is not None) and not on_road


def _by_engine_speed(sheet: Sheet, sentence: tuple[int, int], clause: tuple[int, int]) -> bool:
    """ "vibrates at 1300 rpm", and nothing of the road nor of pulling a grade."""
    if not sheet.any_of(("engine_speed",), *clause) or _has_speed(sheet, *clause):
        return False
    under_way = any(h.value.startswith("condition.") for h in sheet.within("symptom", *sentence))
    return not under_way and not sheet.any_of(("unit", "rolling"), *sentence)
