"""A recording of a case: the note on the bench sheet and what enters the ranking."""

from __future__ import annotations

from pathlib import PurePath

from advisor.evidence.reading_result import Result, Said, Shop
from advisor.evidence.recording_checks import CHECKS
from advisor.evidence.recording_pictures import pictures_of
from advisor.evidence.recording_words import (
    line_words,
    read_words,
    speed_words,
    steady_words,
    verdict_words,
)
from advisor.evidence.recordings import drive_findings
from advisor.model.recording import Drive, DriveFindings

MOST_LINES, MOST_PEAKS = 3, 3


def recording_result(drive: Drive, shop: Shop) -> Result:
    """The strongest lines and the verdict in words, pictures, and the checks they answer."""
    found = drive_findings(drive, shop.vehicle, shop.pack, shop.speed)
    title = f"Recording {drive.name or PurePath(drive.path).name}"
    said = Said("recording", title, drive.place)
    said.lines += note_lines(found)
    said.problems += [*drive.flaws, *found.looks]
    said.problems += [f"not counted: {reason}" for reason in found.not_counted]
    said.pictures += pictures_of(found)
    said.softs += found.softs
    said.frequencies += [found.frequency] if found.frequency else []
    said.numbers = numbers_of(found)
    kind = shop.pack.inspections[CHECKS["wheel"]]
    said.beside(kind.cautions)
    said.cite([kind.source])
    return said.result()


def note_lines(found: DriveFindings) -> list[str]:
    """The recording in a few lines, the verdict first."""
    loudest = sorted(found.lines, key=lambda line: (-line.stands_out, -line.felt))[:MOST_LINES]
    told = [line for line in loudest if line.there >= 0.5 and line.stands_out >= 0.2]
    unit = found.drive.unit
    made = [*verdict_words(found)]
    made += [line_words(line, unit) for line in told or loudest[:1]]
    if not loudest:
        made += [steady_words(line, unit) for line in found.steady[:MOST_PEAKS]]
    made += [read_words(found.drive), speed_words(found)]
    return [text[:1].upper() + text[1:] for text in [*made, *map(_sentence, found.analysis.notes)]]


def _sentence(text: str) -> str:
    return text if text.endswith(".") else f"{text}."


def numbers_of(found: DriveFindings) -> dict[str, object]:
    """The same for other programs; units in the names, amplitudes in the unit given."""
    verdict = found.analysis.verdict
    made: dict[str, object] = {
        "unit": found.drive.unit,
        "speed_mph": [round(v, 1) for v in found.speeds_mph] if found.speeds_mph else None,
        "verdict": verdict.kind if verdict else None,
        "lines": {
            line.sought.name: {
                "amplitude": round(line.amplitude, 5),
                "amplitude_sd": round(line.amplitude_sd, 5),
                "felt_share": round(line.felt, 3),
                "stands_out": round(line.stands_out, 3),
            }
            for line in found.lines
        },
    }
    return made
