"""Numbers that are road speeds, with what stands around them: 60mph, 55-65, 60+, above 100 km/h."""

from __future__ import annotations

import re
from dataclasses import dataclass

from advisor.intake.text_lexicon import Hit
from advisor.intake.text_sheet import Sheet
from advisor.physics.units import kmh_to_mph

LOWEST, HIGHEST_MPH, HIGHEST_KMH = 3.0, 95.0, 150.0
LOWEST_BARE = 15.0
NUMBER = re.compile(r"[0-9]{1,3}(?:\.[0-9])?$")
DIGITS = frozenset("0123456789")
DIGIT = re.compile(r"[0-9]")
MARKS_BEFORE = frozenset("$#/:.°")
MARKS_AFTER = frozenset("%\"/:'$°*")
NOUN_REACH = 4  # words
LONGEST_LEAD = 8  # words of "above" and the like, with "about" after them
LISTED = frozenset((",", "and", "or", "&"))
DECADE = {"low": (0.0, 3.0), "mid": (3.0, 7.0), "high": (7.0, 9.0)}


@dataclass(frozen=True)
class Speed:
    """A road speed in words[start:end], mph. shape: point, range, above or below; sure: has a
    unit; kmh: was given in km/h."""

    low: float | None
    high: float | None
    shape: str
    start: int
    end: int
    sure: bool
    kmh: bool = False


@dataclass(frozen=True)
class _Number:
    value: float
    start: int
    end: int


def speeds(sheet: Sheet) -> list[Speed]:
    """The road speeds of a text, in order."""
    numbers = _numbers(sheet)
    if not numbers:
        return []
    found: list[Speed] = []
    index = 0
    while index < len(numbers):
        last = found[-1] if found else None
        second = _second(sheet, numbers, index)
        speed = _speed(sheet, numbers[index], second, last)
        if speed is None and second is not None and not _counts_else(sheet, numbers[index], second):
            second = None
            speed = _speed(sheet, numbers[index], None, last)
        if speed is not None:
            found.append(speed)
        index += 1 if second is None else 2
    return _bare_only_in_company(sheet, found)


def _counts_else(sheet: Sheet, first: _Number, second: _Number) -> bool:
    """ "54 to 10 degrees", "a temperature from 54 to 10": both numbers count the same."""
    noun = sheet.last_in("number_noun", first.start - NOUN_REACH, first.start)
    if noun is not None and noun.end == first.start:
        return True
    return sheet.any_of(("other_unit",), second.end, second.end + 1) and not _decade(sheet, second)


def _numbers(sheet: Sheet) -> list[_Number]:
    found = []
    if DIGIT.search(sheet.text):
        found = [
            _Number(float(word), at, at + 1)
            for at, word in enumerate(sheet.words)
            if word[0] in DIGITS and NUMBER.match(word)
        ]
    spelled = sheet.hits.get("number")
    if spelled:
        found += [_spelled(sheet, hit) for hit in spelled]
        found.sort(key=lambda number: number.start)
    return found


def _spelled(sheet: Sheet, ten: Hit) -> _Number:
    """ "sixty", "sixty-three"."""
    value, end = float(ten.value), ten.end
    digit = sheet.first_in("digit", end, end + 2)
    if value % 10 == 0 and digit is not None and sheet.words[end : digit.start] in ([], ["-"]):
        return _Number(value + float(digit.value), ten.start, digit.end)
    return _Number(value, ten.start, end)


def _unit(sheet: Sheet, at: int) -> tuple[Hit | None, int]:
    """The speed unit after words[:at], past "-", "+", "ish", "or so"; and where it ends."""
    end = at
    for _ in range(4):
        hit = sheet.first_in("unit", at, at + 1)
        if hit is not None:
            return hit, hit.end
        soft = sheet.first_in("soft_about", at, at + 1)
        if soft is not None:
            at = end = soft.end
        elif at < len(sheet.words) and sheet.words[at] in "-+.":
            at += 1
        else:
            break
    return None, end


def _second(sheet: Sheet, numbers: list[_Number], index: int) -> _Number | None:
    """The number that makes a range with this one: 55-65, 55 to 65, between 55 and 65."""
    if index + 1 == len(numbers):
        return None
    first, second = numbers[index], numbers[index + 1]
    at = _unit(sheet, first.end)[1]
    between = sheet.last_in("between", first.start - 4, first.start)
    joint = sheet.first_in("to", at, at + 1)
    if joint is None or joint.start != at or second.start - joint.end > 2:
        return None
    gap = range(joint.end, second.start)
    if any(not sheet.any_of(("at", "to", "above"), i, i + 1) for i in gap):
        return None
    if sheet.any_of(("above", "below"), joint.end, second.start) and between is None:
        return None
    word = sheet.words[joint.start]
    if word in ("and", "&") and between is None:
        return None
    if "down" in (word, sheet.words[joint.end - 2]) and sheet.any_of(
        ("slowing",), max(0, first.start - 6), first.start
    ):
        return None  # "slowed from 60 down to 45 before it quit"
    return second if second.value > first.value or between is not None else None


def _speed(
    sheet: Sheet, first: _Number, second: _Number | None, before: Speed | None
) -> Speed | None:
    """One speed or range, or None when these numbers are something else. before: the last one."""
    last = second or first
    unit, end = _unit(sheet, last.end)
    if unit is None and second is not None:
        unit = _unit(sheet, first.end)[0]
    if unit is None and not _may_be_bare(sheet, first, last):
        return None
    if unit is None and second is None and not _has_cue(sheet, first, before):
        return None
    kmh = unit.value == "kmh" if unit is not None else before is not None and before.kmh
    values = sorted({first.value, last.value})
    top = HIGHEST_KMH if kmh else HIGHEST_MPH
    least = LOWEST if unit is not None else LOWEST_BARE
    if second is not None and sheet.last_in("between", first.start - 3, first.start) is not None:
        least = LOWEST  # "worst between 10 and 20"
    from_rest = len(values) > 1 and values[0] == 0
    if from_rest or (len(values) > 1 and unit is not None):
        least = 0.0  # "from 1 mph to 60 mph"
    if values[0] < least or values[-1] > top:
        return None
    if kmh:
        values = [round(kmh_to_mph(value), 1) for value in values]
    end = max(end, last.end)
    if from_rest:
        return Speed(None, values[-1], "below", first.start, end, unit is not None, kmh)
    return _shaped(sheet, values, first.start, end, unit is not None, kmh)


def _may_be_bare(sheet: Sheet, first: _Number, last: _Number) -> bool:
    """Without a unit: nothing around it says that it is a number of something else."""
    words = sheet.words
    before = words[first.start - 1] if first.start else ""
    after = words[last.end] if last.end < len(words) else ""
    if before == ":" and not (first.start > 1 and words[first.start - 2][0] in DIGITS):
        before = ""  # "just road speed: 59", but not 10:59
    if before == "." and sheet.spans[first.start - 1][1] < sheet.spans[first.start][0]:
        before = ""  # the end of a sentence, not a decimal point
    if (before in MARKS_BEFORE and before) or (after in MARKS_AFTER and after):
        return before not in MARKS_BEFORE and _decade(sheet, last)  # "in the 50's"
    if "." in words[first.start] or "." in words[last.start]:
        return False
    at = last.end + 1 if after in ("-", "+") else last.end
    if sheet.any_of(("other_unit",), at, at + 1) and not _decade(sheet, last):
        return False
    if sheet.any_of(("other_unit",), first.end, first.end + 1) and last is not first:
        return False
    nouns = sheet.last_in("number_noun", first.start - 3, first.start)
    return nouns is None or nouns.end != first.start


def _has_cue(sheet: Sheet, number: _Number, before: Speed | None) -> bool:
    """A word before or after a bare number that speeds are named with, or a list of speeds."""
    at = number.start
    end = before.end if before is not None else at
    if end < at <= end + 2 and all(word in LISTED for word in sheet.words[end:at]):
        return True
    named = sheet.last_in("sensation", max(0, at - 4), at)
    if named is not None and named.end == at:  # "shimmy 55"
        return True
    after = sheet.words[number.end : number.end + 2]
    if "ish" in after[:1] or after == ["-", "ish"]:
        return True
    near = ("at", "above", "below", "between", "until")
    if sheet.any_of(near, max(0, at - 2), at):
        return True
    led = sheet.last_in("at", max(0, at - 4), at)
    if led is not None and led.end == at:  # "get it up to sixty"
        return True
    if sheet.any_of(("upward", "downward"), number.end, number.end + 1):
        return True
    if sheet.words[number.end : number.end + 1] == ["and"] and sheet.any_of(
        ("sensation",), number.end, number.end + 4
    ):
        return True  # "55 and it shakes"
    told = number.end, min(number.end + 4, sheet.stretch(sheet.sentence, at)[1])
    return sheet.any_of(("starts", "ends"), *told)  # "59 and it begins, 66 it ends"


def _decade(sheet: Sheet, number: _Number) -> bool:
    """ "60s", "the 60's": ten speeds."""
    at = number.end
    words = sheet.words[at : at + 2]
    glued = at < len(words) or True
    plural = bool(words) and (words[0] == "s" or words == ["'", "s"])
    return plural and glued and number.value % 10 == 0


def _shaped(
    sheet: Sheet, values: list[float], start: int, end: int, sure: bool, kmh: bool
) -> Speed:
    """Point, range, above or below, by the words around it."""
    low, high = values[0], values[-1]
    up, down = _open_end(sheet, "upward", start, end), _open_end(sheet, "downward", start, end)
    if len(values) == 1 and _decade(sheet, _Number(low, start, start + 1)):
        part = sheet.last_in("tens_part", start - 2, start)
        a, b = DECADE[part.value] if part is not None else (0.0, 9.0)
        up = sheet.first_in("upward", start + 2, start + 3)
        if up is not None:
            return Speed(low + a, None, "above", start, start + 2, sure, kmh)
        return Speed(low + a, low + b, "range", start, start + 2, sure, kmh)
    if len(values) > 1:
        if up is not None and up.end - up.start > 1:
            return Speed(low, None, "above", start, up.end, sure, kmh)
        return Speed(low, high, "range", start, end, sure, kmh)
    if up is not None:
        return Speed(low, None, "above", start, max(end, up.end), sure, kmh)
    if down is not None:
        return Speed(None, high, "below", start, max(end, down.end), sure, kmh)
    for kind in ("above", "below"):
        hit = sheet.last_in(kind, max(0, start - LONGEST_LEAD), start)
        if hit is not None and _adjoins(sheet, hit.end, start):
            bottom, top = (low, None) if kind == "above" else (None, high)
            return Speed(bottom, top, kind, hit.start, end, sure, kmh)
    return Speed(low, high, "point", start, end, sure, kmh)


def _open_end(sheet: Sheet, kind: str, start: int, end: int) -> Hit | None:
    """ "and up", "+", "or less" after the number, or between it and its unit."""
    hit = sheet.first_in(kind, end, end + 1) or sheet.first_in(kind, start + 1, end)
    if hit is not None and hit.value == "from":  # "from 40 on", but not "60 on the highway"
        return hit if sheet.last_in("between", start - 2, start) is not None else None
    return hit


def _adjoins(sheet: Sheet, start: int, end: int) -> bool:
    """Only words like "about" stand between."""
    return all(sheet.any_of(("at",), i, i + 1) or sheet.words[i] == "(" for i in range(start, end))


def _bare_only_in_company(sheet: Sheet, found: list[Speed]) -> list[Speed]:
    """A bare number counts in a sentence that speaks of a sensation or course, or where some other
    speed has its unit."""
    course = any(kind in sheet.hits for kind in ("starts", "peak", "ends"))
    company = "sensation" in sheet.hits or any(speed.sure for speed in found)
    company = company or (course and "felt" in sheet.hits)
    return [speed for speed in found if speed.sure or company]
