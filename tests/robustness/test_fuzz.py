"""Broken inputs of every kind end in a clear message or a result: no traceback, no hang.

5,000 inputs here; ADVISOR_FUZZ=200000 for a night's run.
"""

from __future__ import annotations

import os
import random
import time
import warnings
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from advisor.errors import AdvisorError
from advisor.intake.case_file import read_case_bytes
from advisor.intake.readings import readings_from_bytes
from advisor.intake.recording_file import read_recording
from advisor.pipeline import assess
from advisor.rulebook.load import load_folder
from tests.robustness.mutate import mutate, other_numbers

ROOT = Path(__file__).resolve().parents[2]
INPUTS = int(os.environ.get("ADVISOR_FUZZ", "5000"))
LONGEST_S = 5.0


@dataclass(frozen=True)
class Target:
    """A reader, what it is fed, its share of the inputs, and how they are broken."""

    seeds: list[bytes]
    read: Callable[[bytes], object]
    share: float
    broken: Callable[[bytes, random.Random], bytes] = mutate


def files(pattern: str, most_bytes: int = 60_000) -> list[bytes]:
    found = [p.read_bytes() for p in sorted(ROOT.glob(pattern))]
    return [content[:most_bytes] for content in found]


@pytest.fixture(scope="module")
def targets(tmp_path_factory) -> dict[str, Target]:
    import advisor

    pack = load_folder(ROOT / "rules").pack
    scratch = tmp_path_factory.mktemp("fuzz")

    def case(data: bytes) -> object:
        return assess(read_case_bytes(data, pack, "fuzz.yaml"), pack)

    def rules(data: bytes) -> object:
        from advisor.model.pack import Rule
        from advisor.yaml_marks import decode, parse, validate

        document = parse(decode(data, "fuzz.yaml"), "fuzz.yaml")
        return validate(document, document.data, list[Rule])

    def write_up(data: bytes) -> object:
        return advisor.read_write_up(data.decode("utf-8", "replace"), pack)

    def recording(suffix: str) -> Callable[[bytes], object]:
        def read(data: bytes) -> object:
            path = scratch / f"fuzz{suffix}"
            path.write_bytes(data)
            return read_recording(str(path))

        return read

    def sheet(kind: str, suffix: str) -> Callable[[bytes], object]:
        def read(data: bytes) -> object:
            from advisor.reading_sheet import reading_sheet

            vehicle = {"vehicle": "linehaul_tractor", "tire": "295/75R22.5"}
            return reading_sheet(f"fuzz{suffix}", data, kind, pack, **vehicle)

        return read

    def whole_recording(data: bytes) -> object:
        from advisor.intake.recording_columns import Columns
        from advisor.intake.recording_drive import Said
        from advisor.orders import named_vehicle
        from advisor.recordings.sheet import recording_sheet

        path = scratch / "whole.csv"
        path.write_bytes(data)
        said = Said(Columns(), "", "", Columns(), "", None)
        coach = named_vehicle(pack, "motorhome", "255/70R22.5", 4.30, None, None, None, None)
        return recording_sheet(str(path), said, coach, pack)

    texts = [b"HOPS 58-64 LF, bal twice no chg, lug nuts lose on RRO, not the brakes, 60+ mph only"]
    return {
        "case": Target(files("cases/*.yaml"), case, 0.3),
        "rules": Target(files("rules/evidence/*.yaml", 6_000), rules, 0.15),
        "reading-yaml": Target(
            files("cases/readings/*.yaml"), lambda d: readings_from_bytes(d, "x.yaml", pack), 0.1
        ),
        "reading-csv": Target(
            files("cases/readings/[br]*.csv"), lambda d: readings_from_bytes(d, "x.csv", pack), 0.1
        ),
        "recording-csv": Target(files("cases/readings/m23*.csv", 8_000), recording(".csv"), 0.1),
        "recording-wav": Target([wave()], recording(".wav"), 0.05),
        "write-up": Target(texts, write_up, 0.2),
        "runout-sheet": Target(
            files("cases/readings/runout*.yaml"), sheet("runout", ".yaml"), 0.04, other_numbers
        ),
        "balance-sheet": Target(
            files("cases/readings/balance*.csv"), sheet("balance", ".csv"), 0.04, other_numbers
        ),
        "recording-sheet": Target(
            files("cases/readings/m23*.csv"), whole_recording, 0.001, other_numbers
        ),
    }


def wave() -> bytes:
    import io

    import numpy as np
    from scipy.io import wavfile

    out = io.BytesIO()
    wavfile.write(out, 200, (np.sin(np.arange(4000) / 4) * 9000).astype(np.int16))
    return out.getvalue()


NAMES = [
    "case", "rules", "reading-yaml", "reading-csv", "recording-csv", "recording-wav", "write-up",
    "runout-sheet", "balance-sheet", "recording-sheet",
]  # fmt: skip


@pytest.mark.parametrize("name", NAMES)
def test_broken_input_is_answered_not_crashed(targets, name):
    target = targets[name]
    assert target.seeds, f"no seed for {name}"
    rng = random.Random(f"{name}-1")
    answered = refused = 0
    for _ in range(max(1, int(INPUTS * target.share))):
        data = target.broken(rng.choice(target.seeds), rng)
        start = time.perf_counter()
        try:
            with warnings.catch_warnings():
                warnings.simplefilter("error")
                target.read(data)
            answered += 1
        except AdvisorError as error:
            refused += 1
            assert str(error).strip(), "a refusal says why"
        except Exception as error:
            kept = Path(os.environ.get("TMPDIR", "/tmp")) / f"fuzz-{name}.bin"
            kept.write_bytes(data)
            raise AssertionError(f"{name}: {type(error).__name__}: {error}; kept {kept}") from error
        assert time.perf_counter() - start < LONGEST_S
    # any text can be read as a write-up, and other numbers mostly fit; the rest must have met both
    dull = not answered or (not refused and name != "write-up" and target.broken is mutate)
    assert not dull, f"{name}: {answered} answered, {refused} refused: a dull fuzz"
