"""One recording put together: what was read, what turns, what it may mean, how bad it is."""

from __future__ import annotations

import math
from pathlib import PurePath

from advisor.evidence.recording_checks import CHECKS
from advisor.evidence.recording_pictures import pictures_of
from advisor.evidence.recording_words import (
    duration,
    hz_range,
    listing,
    read_words,
    speed_words,
    verdict_on,
    verdict_words,
    with_error,
)
from advisor.evidence.recordings import drive_findings
from advisor.intake.recording_drive import Said, read_drive
from advisor.model.case import Vehicle
from advisor.model.diagnosis import PackStamp, Picture
from advisor.model.pack import Pack
from advisor.model.recording import DriveFindings
from advisor.model.recording_sheet import Grid, Part, RecordingSheet
from advisor.physics.units import m_s_to_mph
from advisor.recordings.comfort import comfort_part
from advisor.recordings.data import recording_data

MOST_PEAKS = 8
SHORT_S = 60.0
HOW_LONG = (
    "At least 60 seconds steady at the complaint speed, one slow run-up of 60 to 120 seconds from "
    "15 mph below it to 10 above, a coast in neutral through the same speeds where that is safe "
    "and allowed (own choice)."
)


def recording_sheet(path: str, said: Said, vehicle: Vehicle, pack: Pack) -> RecordingSheet:
    """Read a recording and work it out for a vehicle. Raises AdvisorError for a wrong option and
    InputProblems when nothing can be said about the file."""
    return sheet_of(drive_findings(read_drive(path, said), vehicle, pack), pack)


def sheet_of(found: DriveFindings, pack: Pack) -> RecordingSheet:
    """Everything one recording says."""
    pictures = {picture.kind: picture for picture in pictures_of(found)}
    parts = [
        _what_was_read(found),
        _what_to_beware(found),
        _order_or_resonance(found, pictures.get("waterfall")),
        _steady(found),
        _orders(found, pictures.get("order_spectrum")),
        _causes(found, pack),
        _length(found),
        comfort_part(found),
    ]
    kind = pack.inspections[CHECKS["wheel"]]
    return RecordingSheet(
        title=f"Recording {PurePath(found.drive.path).name}",
        lead=(_first_words(found), *(f"Not evidence for a case: {r}." for r in found.not_counted)),
        parts=tuple(part for part in parts if part is not None),
        cautions=tuple(pack.cautions[id_].text for id_ in kind.cautions),
        data=recording_data(found),
        pack=PackStamp(version=pack.info.version, sha256=pack.sha256, overlay=pack.overlay),
    )


def _first_words(found: DriveFindings) -> str:
    """The answer in one sentence."""
    said = verdict_words(found)
    loud = [line.sought.name for line in found.lines if line.stands_out >= 0.5]
    if said and not said[0].startswith("Undecided"):
        return said[0]
    if found.analysis.speed_from == "ridge":
        return "Speed read from the vibration: the strongest ridge was taken as wheel order 1."
    if loud:
        return f"Standing out: {listing(loud)}."
    if found.lines:
        return "None of the orders looked for stands out."
    return "No order could be measured; see below what would be needed."


def _what_was_read(found: DriveFindings) -> Part:
    return Part(
        "What was read",
        text=(read_words(found.drive), speed_words(found)),
        items=tuple(f"guessed: {guess}" for guess in found.drive.guesses),
    )


def _what_to_beware(found: DriveFindings) -> Part | None:
    notes = [*found.drive.flaws, *found.analysis.notes, *found.looks]
    return Part("What to beware of", items=tuple(notes)) if notes else None


def _order_or_resonance(found: DriveFindings, picture: Picture | None) -> Part | None:
    said = verdict_words(found)
    if not said and picture is None:
        return None
    return Part("Order or fixed frequency", tuple(said), pictures=_some(picture))


def _some(picture: Picture | None) -> tuple[Picture, ...]:
    return (picture,) if picture is not None else ()


def _steady(found: DriveFindings) -> Part | None:
    """The steady-speed spectrum, the lines felt most first."""
    stretch, unit = found.analysis.stretch, found.drive.unit
    if stretch is None:
        return None
    rate = found.drive.samples.sample_rate_hz
    text = f"Steadiest stretch: {duration((stretch.stop - stretch.first) / rate)}"
    if not math.isnan(stretch.mean_m_s):
        text += f" from {stretch.first / rate:.0f} s on, at {m_s_to_mph(stretch.mean_m_s):.0f} mph"
    if not found.steady:
        return Part("At steady speed", text=(f"{text}. No line stands out of the noise.",))
    rows = tuple(
        (
            with_error(p.hz, p.hz_sd),
            with_error(p.amplitude, p.amplitude_sd),
            p.axis,
            " or ".join(p.may_be) or "none of those looked for",
        )
        for p in found.steady[:MOST_PEAKS]
    )
    grid = Grid(("Hz", f"amplitude, {unit}", "axis", "may be"), rows)
    return Part("At steady speed", text=(f"{text}. Felt most first.",), grid=grid)


def _orders(found: DriveFindings, picture: Picture | None) -> Part | None:
    if not found.lines:
        return None
    rows = tuple(
        (
            line.sought.name,
            hz_range(line.hz_low, line.hz_high),
            with_error(line.amplitude, line.amplitude_sd),
            line.axis,
            f"{100 * line.felt:.0f} %",
            "" if line.times_usual is None else f"{line.times_usual:.1f}",
            verdict_on(line),
        )
        for line in found.lines
    )
    text = (
        "Amplitudes are peaks, averaged over the drive, with one standard deviation. Felt: "
        "amplitude times the ISO 2631-1 weighting at its frequency, against the strongest line. "
        "Times usual: against what a sound vehicle shows (judgement, rules/recordings.yaml)."
    )
    head = ("order", "Hz", f"amplitude, {found.drive.unit}", "axis", "felt", "times usual", "says")
    return Part("Orders", (text,), grid=Grid(head, rows), pictures=_some(picture))


def _causes(found: DriveFindings, pack: Pack) -> Part | None:
    if not found.speaks or found.speeds_mph is None:
        return None
    heading = "Whose orders these are"
    if found.analysis.speed_from == "ridge":
        return Part(heading, text=("Not worked out without a speed of its own.",))
    items = tuple(
        f"{ratio_words(s.log10_ratio)} ({listing(s.orders)}): "
        + "; ".join(pack.causes[id_].name for id_ in s.causes)
        for s in found.speaks
    )
    text = [
        "How many times likelier these lines are with a cause than without it; in parentheses the "
        "orders it makes. Causes in one line make the same orders, so a recording cannot tell "
        "them apart, and nothing else that is known of the complaint is in these numbers. The "
        "chances behind them are judgement (rules/recordings.yaml)."
    ]
    if found.not_counted:
        text.append("Take these figures as a hint only: see what to beware of.")
    return Part(heading, tuple(text), items)


def ratio_words(log10_ratio: float) -> str:
    """'8 times likelier', '5 times less likely', or that it says little."""
    ratio = 10 ** abs(log10_ratio)
    if ratio < 1.5:
        return "about as likely"
    times = f"{ratio:.0f}" if ratio >= 2.95 else f"{ratio:.1f}"
    return f"{times} times likelier" if log10_ratio > 0 else f"{times} times less likely"


def _length(found: DriveFindings) -> Part:
    items = [
        f"to tell {name}: {seconds:.0f} s steady" for name, seconds in sorted(found.lengths.items())
    ]
    length = found.drive.duration_s
    text = HOW_LONG
    if length < SHORT_S:
        text = f"This one is {duration(length)}, which is short. {HOW_LONG}"
    return Part("How long to record", (text,), tuple(items))
