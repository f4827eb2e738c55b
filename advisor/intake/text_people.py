"""Names, phone numbers and addresses in a write-up, so that reports can leave them out."""

from __future__ import annotations

import re

from advisor.intake.text_sheet import Sheet
from advisor.model.case import Span

PHONE = re.compile(
    r"(?<![\d/.])(?:\+?\d{1,2}[-. ])?(?:\(\d{3}\) ?|\d{3}[-. ])?\d{3}[-. ]\d{4}(?!\d)"
)
PHONE_TAIL = re.compile(r"\d{3}[-. ]\d{4}")
MAIL = re.compile(r"[\w.+-]{1,64}@[\w-]{1,63}(?:\.[\w-]{1,63}){1,4}")
LONGEST_NAME = 3


def people(sheet: Sheet, vocabulary: frozenset[str]) -> tuple[Span, ...]:
    """Spans to hide, in order."""
    text = sheet.text
    found = []
    if "@" in text:
        found += [Span(m.start(), m.end(), m[0]) for m in MAIL.finditer(text)]
    if PHONE_TAIL.search(text):
        found += [Span(m.start(), m.end(), m[0]) for m in PHONE.finditer(text)]
    for cue in sheet.of("name_cue"):
        end = _name_end(sheet, cue.end, vocabulary)
        start = cue.end + (1 if end and sheet.words[cue.end] in ":.-" else 0)
        if end > start:
            found.append(sheet.span(start, end))
    return tuple(sorted(set(found), key=lambda span: (span.start, span.end)))


def _name_end(sheet: Sheet, at: int, vocabulary: frozenset[str]) -> int:
    """Capitalized words that mean nothing here are taken for a name; 0 when there is none.

    In a text all in capitals only after a colon, because every word looks like a name there.
    """
    words = sheet.words
    colon = at < len(words) and words[at] == ":"
    if at < len(words) and words[at] in ":.-":
        at += 1
    if sheet.text.isupper() and not colon:
        return 0
    end = at
    while end < min(len(words), at + LONGEST_NAME):
        if words[end] == "." and end > at and len(words[end - 1]) == 1:
            end += 1  # after an initial
            continue
        if not (_like_a_name(sheet, end, vocabulary) or _first_name(sheet, end, at, vocabulary)):
            break
        end += 1
    return end if end > at else 0


def _like_a_name(sheet: Sheet, at: int, vocabulary: frozenset[str]) -> bool:
    """A capitalized word that means nothing here, or an initial."""
    if at >= len(sheet.words):
        return False
    raw = sheet.text[slice(*sheet.spans[at])]
    initial = len(raw) == 1 and raw.isupper() and raw.isalpha()
    known = sheet.words[at] in vocabulary
    return raw[:1].isupper() and raw.isalpha() and (initial or not known)


def _first_name(sheet: Sheet, at: int, start: int, vocabulary: frozenset[str]) -> bool:
    """ "Bob Hale": a capitalized word of the wording, without its sense, before a name."""
    if at != start or not _like_a_name(sheet, at, frozenset()):
        return False
    senseless = not any(hit.start <= at < hit.end for hits in sheet.hits.values() for hit in hits)
    return senseless and _like_a_name(sheet, at + 1, vocabulary)
