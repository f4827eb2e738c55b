"""Two meanings close together that make a finding: an action and a part, nuts and loose."""

from __future__ import annotations

from dataclasses import dataclass

from advisor.intake.text_lexicon import Hit, PairTable, Two
from advisor.intake.text_sheet import Sheet

OBJECT_REACH = 3  # words
PART_BEFORE = 4  # words between a part and its own verb
STATES = frozenset(("are", "is"))
OWNED = frozenset(("the", "my", "our", "their"))
PASSIVE = frozenset(("was", "were", "got", "been", "are", "is"))


@dataclass(frozen=True)
class Pairing:
    """What a pair makes, from words[start:end]."""

    finds: str
    first: Hit
    second: Hit

    @property
    def start(self) -> int:
        """The first word of the two."""
        return min(self.first.start, self.second.start)

    @property
    def end(self) -> int:
        """After the last word of the two."""
        return max(self.first.end, self.second.end)


def pairings(sheet: Sheet, pairs: PairTable) -> list[Pairing]:
    """Every pair found: work within one segment, dangers within one sentence."""
    found = []
    for kind, by_value in pairs.items():
        whatever = by_value.get("", ())
        for second in sheet.of(kind):
            own = by_value.get(second.value, whatever)
            for pair in own if own is whatever or not whatever else own + whatever:
                near = _near(sheet, pair, second)
                if near:
                    first = min(near, key=lambda f: abs(f.start - second.start))
                    found.append(Pairing(pair.finds, first, second))
    return found


def _near(sheet: Sheet, pair: Two, second: Hit) -> list[Hit]:
    """The first members of a pair that stand close enough to a second one."""
    hits = sheet.named(pair.kind, pair.value) if pair.value else sheet.of(pair.kind)
    return [first for first in hits if _close(sheet, first, second, pair.within)]


def _close(sheet: Sheet, first: Hit, second: Hit, within: int) -> bool:
    early, late = (first, second) if first.start <= second.start else (second, first)
    if not early.end <= late.start <= early.end + within:
        return False
    stretch = sheet.segment if first.kind == "action" else sheet.sentence
    if stretch[early.start] != stretch[late.start]:
        return False
    if first.kind != "action":
        return True
    if first.flag == "weak" and early is second and early.end < late.start:
        return False  # "new shocks" or "shocks new", but not "the shocks are new"
    if first.flag == "weak" and not OWNED.isdisjoint(sheet.words[early.end : late.start]):
        return False  # "new tires the wheel still shakes"
    if early is first and _has_its_object(sheet, first, second):
        return False
    if early is first and not STATES.isdisjoint(sheet.words[early.end : late.start]):
        return False  # "bearings repacked, rotors are true, tires are round"
    if early is second and _turns_to_another(sheet, first):
        return False
    if early is first and _has_own_verb(sheet, first, second):
        return False
    return not _other_work(sheet, early.end, late.start)


def _has_own_verb(sheet: Sheet, action: Hit, thing: Hit) -> bool:
    """ "replaced the rotors and the tires were rotated", "new drums put on and the tires
    balanced": the tires and wheels belong to what follows."""
    at, words = thing.end, sheet.words
    passive = at < len(words) and words[at] in PASSIVE
    later = sheet.first_in("action", at, at + 2) or sheet.first_in("work", at, at + 2)
    over = any(work.end > at for work in sheet.within("work", thing.start, at))
    own = over or (later is not None and (passive or later.start == at))
    if not own:
        return False
    if passive or sheet.any_of(("thing",), action.end, thing.start):
        return True
    return over and sheet.any_of(("thing",), action.start - PART_BEFORE, action.start)


def _has_its_object(sheet: Sheet, action: Hit, thing: Hit) -> bool:
    """ "straightened it the tires quit scrubbing": the action has its object."""
    cues = sheet.within("cue", action.end, action.end + 1)
    return any(cue.value == "it" and cue.end < thing.start for cue in cues)


def _turns_to_another(sheet: Sheet, action: Hit) -> bool:
    """ "balanced the tires and swapped out the damper": the action has a part of its own."""
    if action.start == 0 or sheet.words[action.start - 1] != "and":
        return False
    return sheet.first_in("thing", action.end, action.end + OBJECT_REACH) is not None


def _other_work(sheet: Sheet, start: int, end: int) -> bool:
    """Another piece of work stands between an action and a part: "shocks replaced, tires"."""
    return any(sheet.first_in(kind, start, end) is not None for kind in ("action", "work"))
