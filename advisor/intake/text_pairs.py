"""Two meanings close together that make a finding: an action and a part, nuts and loose."""

from __future__ import annotations

from dataclasses import dataclass

from advisor.intake.text_lexicon import Hit, PairTable, Two
from advisor.intake.text_sheet import Sheet

LONGEST_PHRASE = 10  # words


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
        for second in sheet.of(kind):
            for pair in (*by_value.get(second.value, ()), *by_value.get("", ())):
                near = _near(sheet, pair, second)
                if near:
                    first = min(near, key=lambda f: abs(f.start - second.start))
                    found.append(Pairing(pair.finds, first, second))
    return found


def _near(sheet: Sheet, pair: Two, second: Hit) -> list[Hit]:
    """The first members of a pair that stand close enough to a second one."""
    reach = pair.within + LONGEST_PHRASE
    hits = sheet.within(pair.kind, max(0, second.start - reach), second.end + reach)
    return [
        first
        for first in hits
        if (not pair.value or first.value == pair.value)
        and _close(sheet, first, second, pair.within)
    ]


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
    return not _other_work(sheet, early.end, late.start)


def _other_work(sheet: Sheet, start: int, end: int) -> bool:
    """Another piece of work stands between an action and a part: "shocks replaced, tires"."""
    return any(sheet.first_in(kind, start, end) is not None for kind in ("action", "work"))
