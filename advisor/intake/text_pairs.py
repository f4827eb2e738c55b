"""Two meanings close together that make a finding: an action and a part, nuts and loose."""

from __future__ import annotations

from dataclasses import dataclass

from advisor.intake.text_lexicon import Hit, Two
from advisor.intake.text_sheet import Sheet

WIDEST = 30  # words; wider than any pair reaches


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


def pairings(sheet: Sheet, pairs: tuple[Two, ...]) -> list[Pairing]:
    """Every pair found: work within one segment, dangers within one sentence."""
    found = []
    hits = sheet.hits
    for pair in pairs:
        if pair.kind not in hits or pair.other_kind not in hits:
            continue
        for second in hits[pair.other_kind]:
            if pair.other_value and second.value != pair.other_value:
                continue
            near = [
                first
                for first in sheet.within(
                    pair.kind, max(0, second.start - WIDEST), second.end + WIDEST
                )
                if (not pair.value or first.value == pair.value)
                and _close(sheet, first, second, pair.within)
            ]
            if near:
                first = min(near, key=lambda f: abs(f.start - second.start))
                found.append(Pairing(pair.finds, first, second))
    return found


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
