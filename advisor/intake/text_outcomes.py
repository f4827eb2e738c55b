"""What becomes of a complaint, told by grammar: a word for it beside "gone", "less" or "back"."""

from __future__ import annotations

from advisor.intake.text_lexicon import Hit
from advisor.intake.text_sheet import Sheet

FATES = {"over": "cured", "goes_on": "no_change", "eased": "better", "returned": "came_back"}
PLAINLY = {"unprovoked": "cured", "at_peace": "cured", "bearable": "better"}
TELLING = frozenset((*FATES, *PLAINLY, "good_while", "steady", "stops"))
FATE_REACH = 7  # words from the complaint to what became of it
BACK_REACH = 3
PRONOUNS = frozenset(("it", "they"))
LIKENING = frozenset(("where", "as", "just"))  # they part clauses, but not here
STOPS_REACH = 2
SHORT = 3  # words of a sentence that tells no more than this, with the stop before it
THEN_REACH = 16  # words from "for two weeks" to "then again"
GOES_REACH = 4  # words from "rides" to "straight"
WHEN_REACH = 4  # words after it that say when
PARTLY = frozenset(
    ("nearly", "almost", "mostly", "pretty", "fairly", "largely", "somewhat", "partly")
)
FOLLOWS = frozenset(
    ("now", "again", "and", "after", "then", "since", "with", "completely", "entirely", "for",
     "altogether", "too", "there", "at", "on", "by", "from", "to", "in", "this", "that", "all",
     "but", "as")
)  # fmt: skip


def outcomes(sheet: Sheet, first: int) -> list[Hit]:
    """Every result told, in order: the phrases, and what grammar adds from words[first] on."""
    said = sheet.of("result")
    telling = [cue for cue in sheet.of("cue") if cue.value in TELLING and cue.start >= first]
    if not telling:
        return said
    taken = {at for hit in said for at in range(hit.start, hit.end)}
    made = []
    for cue in telling:
        if cue.value != "good_while" and not taken.isdisjoint(range(cue.start, cue.end)):
            continue
        value = _fate(sheet, cue)
        if value:
            made.append(Hit("result", value, cue.start, cue.end, "told"))
    if not made:
        return said
    return sorted(said + made, key=lambda hit: hit.start)


def _fate(sheet: Sheet, cue: Hit) -> str:
    """What a word tells of the complaint in its clause, or nothing."""
    if cue.value in FATES:
        return _fate_of_complaint(sheet, cue)
    if cue.value in PLAINLY:
        return PLAINLY[cue.value]
    if cue.value == "stops":
        felt = _complaint_in(sheet, cue.end, cue.end + STOPS_REACH, named=True)
        return "cured" if felt and not _at_some_speed(sheet, cue) else ""
    if cue.value == "good_while":
        return "came_back" if _then_again(sheet, cue) else ""
    if cue.value == "steady":
        start = sheet.stretch(sheet.clause, cue.start)[0]
        if _goes_well(sheet, max(start, cue.start - GOES_REACH), cue) and _ends(sheet, cue):
            return "" if _at_some_speed(sheet, cue) else "cured"
    return ""


def _fate_of_complaint(sheet: Sheet, cue: Hit) -> str:
    start, end = sheet.stretch(sheet.clause, cue.start)
    if start == cue.start > 0 and sheet.words[start] in LIKENING:
        start = sheet.stretch(sheet.clause, start - 1)[0]
    if _alone(sheet, cue):
        return FATES[cue.value]
    if cue.value == "returned":
        near = max(start, cue.start - BACK_REACH)
        numbers = any(word[0].isdigit() for word in sheet.words[near : cue.start])
        felt = sheet.any_of(("sensation",), near, cue.start) and not numbers
        return FATES[cue.value] if felt and _ends(sheet, cue) else ""
    if not _complaint_in(sheet, max(start, cue.start - FATE_REACH), cue.start):
        felt = sheet.any_of(("sensation",), cue.end, min(end, cue.end + FATE_REACH))
        return "no_change" if cue.value == "goes_on" and felt else ""
    if cue.value == "goes_on":
        return FATES[cue.value]
    if _at_some_speed(sheet, cue) or (cue.value == "over" and not _ends(sheet, cue)):
        return ""
    if cue.value == "over" and _for_a_while(sheet, cue):
        return "came_back"
    if sheet.any_of(("deny",), max(start, cue.start - 2), cue.start):
        return "no_change" if cue.value == "over" else ""
    partly = not PARTLY.isdisjoint(sheet.words[max(start, cue.start - 2) : cue.start])
    return "better" if partly else FATES[cue.value]


def _for_a_while(sheet: Sheet, cue: Hit) -> bool:
    """ "the buzz stopped for a month"."""
    return any(later.value == "good_while" for later in sheet.within("cue", cue.end, cue.end + 1))


def _alone(sheet: Sheet, cue: Hit) -> bool:
    """ "Rotors turned. Same.": a sentence of its own."""
    start, end = sheet.stretch(sheet.sentence, cue.start)
    return start > 0 and end - start <= SHORT and cue.end == end and cue.start - start <= 1


def _then_again(sheet: Sheet, cue: Hit) -> bool:
    """ "for ten days it ran fine, then the buzz returned"."""
    for later in sheet.within("cue", cue.end, cue.end + THEN_REACH):
        if later.value == "returned" and sheet.told_between(cue.start, later.start) <= 1:
            return True
    later_said = sheet.within("result", cue.end, cue.end + THEN_REACH)
    return any(hit.value in ("came_back", "no_change") for hit in later_said)


def _complaint_in(sheet: Sheet, start: int, end: int, named: bool = False) -> bool:
    """A sensation, or "it", "the complaint", stands there. named: no pronoun."""
    if sheet.any_of(("sensation",), start, end):
        return True
    if not named and not PRONOUNS.isdisjoint(sheet.words[start:end]):
        return True
    return any(cue.value == "complaint" for cue in sheet.within("cue", start, end))


def _ends(sheet: Sheet, cue: Hit) -> bool:
    """What was said ends there or only adds when or where: not "the left wheel"."""
    after = sheet.words[cue.end] if cue.end < len(sheet.words) else "."
    return not after[0].isalnum() or after in FOLLOWS


def _at_some_speed(sheet: Sheet, cue: Hit) -> bool:
    """ "slow to 50 and it quits", "gone by 45": what it does on the road, not what came of work."""
    start, end = sheet.stretch(sheet.sentence, cue.start)
    if any(hit.value == "when" for hit in sheet.within("break", start, cue.start)):
        return True
    if sheet.any_of(("slowing", "until", "limit"), start, cue.start):
        return True
    after = sheet.words[cue.end : min(end, cue.end + WHEN_REACH)]
    return any(word[0].isdigit() for word in after) or sheet.any_of(
        ("slowing", "until", "below", "above"), cue.end, min(end, cue.end + WHEN_REACH)
    )


def _goes_well(sheet: Sheet, start: int, cue: Hit) -> bool:
    """ "rides straight": the vehicle's going, and nothing shakes or is denied in between."""
    goes = any(hit.value in ("rides", "goes") for hit in sheet.within("cue", start, cue.start))
    partly = not PARTLY.isdisjoint(sheet.words[start : cue.start])
    return (
        goes and not partly and not sheet.any_of(("deny", "sensation", "thing"), start, cue.start)
    )
