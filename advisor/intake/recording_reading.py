"""`kind: recording` in a case: a file beside it and what is said about its columns and speed."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from advisor.errors import InputProblems
from advisor.intake.beside import ALLOWED, outside
from advisor.intake.checker import Checker
from advisor.intake.reading_fields import Fields
from advisor.intake.recording_columns import Columns
from advisor.intake.recording_drive import FASTEST_SAMPLES_HZ, Said, UnclearOption, read_drive
from advisor.intake.recording_units import ACCELERATION_UNITS, SPEED_UNITS, TIME_UNITS
from advisor.model.place import Place
from advisor.model.recording import Drive
from advisor.yaml_marks import Key

KIND = "recording"
KEYS = (
    "kind", "file", "name", "place", "time", "time_unit", "axes", "unit", "sample_rate_hz",
    "full_scale", "speed", "speed_file", "speed_column", "speed_unit", "engine_rpm",
)  # fmt: skip


def read_recording_item(
    item: Mapping[str, Any], at: Key, check: Checker, folder: Path | None, place: Place | None
) -> Drive | None:
    """One mapping -> a recording; problems go to the checker. folder: where the case file lies."""
    before = len(check.problems)
    f = Fields(item, at, check, KEYS)
    said = _said(f, folder)
    if not f.has("file"):
        f.problem("", 'the key "file" is missing', "a recording beside the case file")
    elif folder is None:
        f.problem("file", "a case from standard input cannot name a file beside it")
    else:
        for key in ("file", "speed_file"):
            if f.has(key) and (why := outside(folder, f.text(key))):
                f.problem(key, why, ALLOWED)
    if len(check.problems) > before or folder is None:
        return None
    try:
        return read_drive(str(folder / f.text("file")), said, place=place, name=f.text("name"))
    except InputProblems as error:
        check.problems.extend(error.problems)
    except UnclearOption as error:
        f.problem(error.field, error.what, error.allowed)
    return None


def _said(f: Fields, folder: Path | None) -> Said:
    speed_unit = f.word("speed_unit", SPEED_UNITS, "") or ""
    columns = Columns(
        time=f.text("time"),
        axes=_axes(f),
        speed=f.text("speed_column"),
        time_unit=f.word("time_unit", TIME_UNITS, "") or "",
        acceleration_unit=f.word("unit", ACCELERATION_UNITS, "") or "",
        speed_unit=speed_unit,
        sample_rate_hz=f.number("sample_rate_hz", 1, FASTEST_SAMPLES_HZ, "hz"),
    )
    log = f.text("speed_file")
    return Said(
        columns,
        speed=f.text("speed"),
        speed_file=str(folder / log) if log and folder else log,
        speed_columns=Columns(speed_unit=speed_unit),
        full_scale=f.text("full_scale"),
        engine_rpm=f.number("engine_rpm", 200, 6000, "rpm"),
    )


def _axes(f: Fields) -> tuple[str, ...]:
    """A list of column names, or one line of them with commas."""
    given = f.data.get("axes", "")
    names = given if isinstance(given, list) else str(given).split(",")
    return tuple(text for name in names if (text := str(name).strip()))
