"""Conditions and places where it is not felt: "coasting, nothing", "the seat stays still"."""

from __future__ import annotations

from advisor.intake.text_found import BODY, Findings
from advisor.intake.text_lexicon import Hit
from advisor.intake.text_scope import Scopes
from advisor.intake.text_sheet import FULL_STOPS, MARKS, Sheet

RULED_OUT_REACH, SPARED_REACH = 4, 4
LONGEST, LEAD = 8, 4  # words of "it is dead calm"; words before the condition that it may have
HIGHWAY = "condition.highway"
# words around a bare no: "there is none of it", "not at all"
FILLER = frozenset(
    ("there", "theres", "is", "it", "its", "i", "we", "you", "get", "feel", "have", "at", "all",
     "of", "a", "the", "and", "then", "so", "much", "really", "that", "are", "do", "does", "tho",
     "though")
)  # fmt: skip
LESS = frozenset(
    ("less", "let", "lets", "better", "lessens", "lessened", "eases", "improves", "reduces",
     "decreases", "smoother")
)  # fmt: skip
NO = frozenset(("no", "not", "none", "nothing", "never", "isnt", "doesnt", "zero"))
LINK = frozenset(
    ("when", "while", "if", "in", "on", "with", "under", "the", "a", "i", "its", "im", "is", "it",
     "you", "we", "through", "around", "running", "as", "soon", "once",
     "second", "moment", "minute", "instant", "coming", "going")
)  # fmt: skip
SAYING = ("sensation", "thing", "work", "action", "symptom", "felt")


def is_ruled_out(sheet: Sheet, hit: Hit, denied: Scopes) -> bool:
    """ "coasting is fine", "when I brake, nothing", "calm when empty"; or named only to say that
    it makes no difference: "whether loaded or empty"."""
    if not hit.value.startswith("condition."):
        return False
    start, end = sheet.stretch(sheet.clause, hit.start)
    told = next((h for h in sheet.within("plain", hit.end, end) if h.value == "no_effect"), None)
    if told is not None and not sheet.any_of(("thing",), hit.end, told.start):
        return True
    if _same_before(sheet, hit):
        return True
    if hit.value != HIGHWAY and _smooth(sheet, hit, start, end, denied):
        return True
    start = sheet.stretch(sheet.segment, hit.start)[0]
    return sheet.first_in("whether", max(start, hit.start - 8), hit.start + 1) is not None


def _same_before(sheet: Sheet, hit: Hit) -> bool:
    """ "makes no difference if I brake", "the same under braking"."""
    return any(
        told.start < hit.start and LINK.issuperset(sheet.words[told.end : hit.start])
        for told in sheet.named("plain", "no_effect")
    )


def _smooth(sheet: Sheet, hit: Hit, start: int, end: int, denied: Scopes) -> bool:
    """What is said of the condition in its clause, right before it or in the next clause."""
    if _good(sheet, hit.end, min(end, hit.end + RULED_OUT_REACH), denied) and not sheet.any_of(
        ("sensation", "thing"), start, end
    ):
        return True
    if _told_here(sheet, start, end, denied):
        return False  # "hops empty, planted when loaded"
    if _calm_before(sheet, hit, denied):
        return True
    rest = [word for word in sheet.words[hit.end : end] if word not in FILLER and word[0].isalnum()]
    if rest:
        return _is_calm(sheet, hit, (hit.end, end), denied)
    if _belongs_before(sheet, start):
        return False
    if hit.start - start > LEAD or sheet.any_of(SAYING, start, hit.start):
        return False
    mark = sheet.words[end] if end < len(sheet.words) else "."
    if mark in FULL_STOPS and mark != "?":
        return False
    then = sheet.stretch(sheet.clause, end)
    return then[1] - then[0] <= LONGEST + 1 and _is_calm(sheet, hit, then, denied)


def _good(sheet: Sheet, start: int, end: int, denied: Scopes) -> bool:
    good = [*sheet.within("fine", start, end), *sheet.within("ends", start, end)]
    return any(denied.covering(h.start) is None for h in good)


def _told_here(sheet: Sheet, start: int, end: int, denied: Scopes) -> bool:
    """The stretch names a sensation that is there."""
    return any(denied.covering(h.start) is None for h in sheet.within("sensation", start, end))


def _belongs_before(sheet: Sheet, start: int) -> bool:
    """ "it shakes when I brake, ...": no comma parts it from what it is a condition of."""
    word = sheet.words[start]
    parted = not word[0].isalnum() or word in ("and", "but")
    return not parted and start > 0 and sheet.words[start - 1] not in MARKS


def _is_calm(sheet: Sheet, of: Hit, at: tuple[int, int], denied: Scopes) -> bool:
    """The stretch says that nothing is felt, and tells of nothing else."""
    start, end = at
    if sheet.any_of(("thing", "work", "action"), start, end):
        return False
    if _told_here(sheet, start, end, denied):
        return _goes_away(sheet, start, end, denied)
    calm = [cue for cue in sheet.within("plain", start, end) if cue.value == "calm"]
    if calm:
        other = any(h.value != of.value for h in sheet.within("symptom", start, calm[0].start))
        return not other and not _condition_follows(sheet, calm[-1].end)
    if sheet.clause[start] != sheet.clause[of.start] and _good(sheet, start, end, denied):
        return not sheet.any_of(("symptom",), start, end)
    return _bare_no(sheet, start, end)


def _goes_away(sheet: Sheet, start: int, end: int, denied: Scopes) -> bool:
    """ ", and the vibration disappears"."""
    named = sheet.last_in("sensation", start, end)
    ends = sheet.first_in("ends", named.end, named.end + 2) if named is not None else None
    if ends is None or ends.end > end or _only_less(sheet, ends):
        return False
    return denied.covering(ends.start) is None and not _condition_follows(sheet, ends.end)


def _bare_no(sheet: Sheet, start: int, end: int) -> bool:
    """ "not at all", "there is no shake"; not "accelerating, not when coasting"."""
    nos = [at for at in range(start, end) if sheet.words[at] in NO]
    if not nos or _condition_follows(sheet, nos[-1] + 1):
        return False
    shaking = {at for h in sheet.within("sensation", start, end) for at in range(h.start, h.end)}
    rest = [sheet.words[at] for at in range(start, end) if at not in shaking]
    if (
        end < len(sheet.words)
        and sheet.words[end] not in MARKS
        and not sheet.any_of(("contrast",), end, end + 1)
    ):
        return False  # "not just a little"
    return all(word in FILLER or word in NO or not word[0].isalnum() for word in rest)


def _condition_follows(sheet: Sheet, at: int) -> bool:
    """ "planted when loaded": the calm belongs to what follows."""
    for hit in sheet.within("symptom", at, at + 4):
        if hit.value.startswith("condition.") and LINK.issuperset(sheet.words[at : hit.start]):
            return True
    return False


def _calm_before(sheet: Sheet, hit: Hit, denied: Scopes) -> bool:
    """ "planted when loaded", "it is fine coasting"."""
    start = sheet.stretch(sheet.segment, hit.start)[0]
    near = max(start, hit.start - LONGEST)
    calm = [cue for cue in sheet.within("plain", near, hit.start) if cue.value == "calm"]
    calm += [h for h in sheet.within("fine", near, hit.start) if h.value != "last"]
    ends = [h for h in sheet.within("ends", near, hit.start) if not _only_less(sheet, h)]
    for cue in calm + ends:
        if denied.covering(cue.start) is not None or cue.end >= hit.end:
            continue
        clause = sheet.stretch(sheet.clause, cue.start)
        spoken = ("thing",) if cue.kind == "ends" else ("thing", "sensation")
        if sheet.any_of(spoken, clause[0], cue.end):
            continue
        if LINK.issuperset(sheet.words[cue.end : hit.start]):
            return True
    return False


def _only_less(sheet: Sheet, hit: Hit) -> bool:
    return not LESS.isdisjoint(sheet.words[hit.start : hit.end])


def spared(sheet: Sheet, denied: Scopes, aside: Scopes, made: Findings) -> None:
    """ "the seat is unaffected": the place is named to say that it is not felt there."""
    for cue in sheet.named("plain", "spared") if made.is_vibration else ():
        if aside.covering(cue.start) is not None:
            continue
        start = max(sheet.stretch(sheet.clause, cue.start)[0], cue.start - SPARED_REACH)
        place = sheet.last_in("felt", start, cue.start)
        if place is None or place.value not in BODY or _for_a_while(sheet, cue):
            continue
        if not sheet.any_of(("sensation", "thing"), place.end, cue.start):
            id_ = f"felt_at.{place.value}"
            made.there = [f for f in made.there if f[:2] != (id_, place.start)]
            made.denied.append((id_, place.start, cue.end))


def _for_a_while(sheet: Sheet, cue: Hit) -> bool:
    """ "the pedal was quiet for a week, then it came back"."""
    end = sheet.stretch(sheet.sentence, cue.start)[1]
    return sheet.any_of(("until",), cue.end, end) or "then" in sheet.words[cue.end : end]
