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
        raw = sheet.text[slice(*sheet.spans[end])]
        initial = len(raw) == 1 and raw.isupper() and raw.isalpha()
        if not (raw[:1].isupper() and raw.isalpha() and (initial or words[end] not in vocabulary)):
            break
        end += 1
    return end if end > at else 0
