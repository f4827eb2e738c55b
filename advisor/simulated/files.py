"""A simulated complaint as a folder of files, written whole or not at all."""

from __future__ import annotations

import io
import shutil
import tempfile
from collections.abc import Iterable, Sequence
from pathlib import Path

from advisor.errors import AdvisorError
from advisor.physics.forward.record import Recorded
from advisor.physics.units import STANDARD_GRAVITY_M_S2, m_s_to_mph
from advisor.simulated.readings import SCALE_SD_OZ, BalanceReading, DialReading

FULL_SCALE_M_S2 = 4 * STANDARD_GRAVITY_M_S2  # of a WAV file


def write_folder(folder: Path, files: dict[str, bytes]) -> None:
    """Write all files into a new folder, through one beside it that is renamed at the end.

    Raises AdvisorError where the folder exists and holds something, or cannot be written.
    """
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise AdvisorError(f"{folder}: is there already; give a new or an empty folder")
    beside = None
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        beside = Path(tempfile.mkdtemp(prefix=f".{folder.name}.", dir=folder.parent))
        for name, content in files.items():
            (beside / name).write_bytes(content)
        beside.chmod(0o755)
        beside.replace(folder)
    except OSError as error:
        raise AdvisorError(f"{folder}: cannot write: {(error.strerror or '').lower()}") from None
    finally:
        if beside is not None and beside.exists():
            shutil.rmtree(beside, ignore_errors=True)


def recording_csv(recorded: Recorded) -> bytes:
    """Time, three axes at the seat rail and the steering-wheel rim."""
    head = "time_s,vertical_m_s2,lateral_m_s2,fore_aft_m_s2,wheel_rim_m_s2"
    columns = (recorded.time_s, recorded.up, recorded.sideways, recorded.forward, recorded.rim)
    rows = zip(*(column.tolist() for column in columns), strict=True)
    lines = [f"{t:.5f},{u:.4f},{s:.4f},{f:.4f},{r:.4f}" for t, u, s, f, r in rows]
    return _text([head, *lines])


def recording_wav(recorded: Recorded) -> bytes:
    """Three axes as fractions of FULL_SCALE_M_S2, 32-bit float."""
    import numpy as np
    from scipy.io import wavfile

    axes = np.column_stack([recorded.up, recorded.sideways, recorded.forward]) / FULL_SCALE_M_S2
    file = io.BytesIO()
    wavfile.write(file, round(recorded.rate_hz), axes.astype(np.float32))
    return file.getvalue()


def speed_csv(recorded: Recorded) -> bytes:
    """The GPS log."""
    rows = zip(recorded.gps_time_s.tolist(), recorded.gps_speed_m_s.tolist(), strict=True)
    return _text(["time_s,speed_mph", *(f"{t:.3f},{m_s_to_mph(v):.2f}" for t, v in rows)])


def dial_files(readings: Iterable[DialReading], place: str) -> dict[str, bytes]:
    """One file a surface, as `advisor runout` reads them: angles from a marked stud."""
    files: dict[str, list[str]] = {}
    head = "kind,of,place,unit,counted_from,set_up,wheel_turn_degrees,tire_turn_degrees"
    for r in readings:
        lines = files.setdefault(f"dial-{place}-{r.surface}.csv", [f"{head},position,reading"])
        lines.append(
            f"runout,{r.surface},{place},in,stud,{r.set_up},{r.wheel_turn_deg:g},"
            f"{r.tire_turn_deg:g},{r.angle_deg:g},{r.reading_in:.3f}"
        )
    return {name: _text(lines) for name, lines in files.items()}


def balance_files(readings: Iterable[BalanceReading], place: str) -> dict[str, bytes]:
    """Balancer readings, and the two-speed test, as `advisor balance` reads them."""
    shared = f"balance,{{}},{place},oz,stud"
    head = "kind,method,place,unit,counted_from"
    measured = [f"{head},of,amount,at"]
    nulling = [f"{head},speed_mph,weight,weight_at,sd"]
    for r in readings:
        if r.of == "assembly":
            row = f"{r.of},{r.add_oz:g},{r.angle_deg:g}"
            measured.append(f"{shared.format('measured')},{row}")
        else:
            row = f"{r.speed_mph:g},{r.add_oz:g},{r.angle_deg:g},{SCALE_SD_OZ:g}"
            nulling.append(f"{shared.format('two_speed')},{row}")
    # Of two spins the first is the reading; the second only shows whether it repeats.
    return {
        f"balance-{place}.csv": _text(measured[:2]),
        f"balance-{place}-second-spin.csv": _text([measured[0], *measured[2:]]),
        f"two-speed-{place}.csv": _text(nulling),
    }


def _text(lines: Sequence[str]) -> bytes:
    return ("\n".join(lines) + "\n").encode()
