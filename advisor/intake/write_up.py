"""A driver's own words -> what they report, each value with the text it came from.

Reading never invents: only words of the rule pack's wording mean anything.
"""

from __future__ import annotations

from advisor.intake.text_dangers import dangers
from advisor.intake.text_findings import findings
from advisor.intake.text_lexicon import Lexicon
from advisor.intake.text_people import people
from advisor.intake.text_scope import asides, denials
from advisor.intake.text_sheet import Sheet
from advisor.intake.text_speeds import felt_range, roles
from advisor.intake.text_summary import Gathered, summary
from advisor.intake.text_work import jobs
from advisor.model.read import ReadWriteUp
from advisor.model.wording import Wording


class Reader:
    """Reads write-ups; compiled once from a wording, then stateless but for its memory of
    spellings."""

    def __init__(self, wording: Wording):
        self.lexicon = Lexicon(wording)

    def knows(self, word: str) -> bool:
        """True when a word, or what it may be a misspelling of, means something here."""
        spelled = self.lexicon.spelling[word.lower().replace("'", "")]
        return any(part in self.lexicon.words for part in spelled.split())

    def read(self, text: str) -> ReadWriteUp:
        """Read one write-up; any text is readable, and most texts say little."""
        lexicon = self.lexicon
        sheet = Sheet(text, lexicon)
        personal = people(sheet, lexicon.words)
        if not sheet.hits:
            return ReadWriteUp(text, personal=personal)
        aside, denied = asides(sheet), denials(sheet)
        told = findings(sheet, denied, aside)
        said = roles(sheet, denied, aside, told)
        speed, pattern = felt_range(sheet, said) if told.is_vibration else (None, "")
        gathered = Gathered(
            told=told,
            danger=dangers(sheet, lexicon.danger_pairs, denied, aside),
            work=jobs(sheet, lexicon.work_pairs, denied, aside, told),
            said=said,
            speed=speed,
            pattern=pattern,
        )
        return summary(sheet, gathered, personal)


def compile_wording(wording: Wording) -> Reader:
    """A reader for a wording; raises ValueError when a phrase is not well formed."""
    return Reader(wording)
