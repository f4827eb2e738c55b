"""Read a WAV file as one to three axes at fractions of full scale."""

from __future__ import annotations

import warnings

import numpy as np

from advisor.intake.recording_finding import Finding
from advisor.intake.recording_layout import problem
from advisor.intake.recording_table import ABSURD


def read_wave(path: str) -> tuple[float, np.ndarray, list[Finding]]:
    """(sample rate in Hz, values (axes, n) from -1 to 1, findings), read by scipy.

    Raises InputProblems for a file that is missing, no WAV, or too short.
    """
    from scipy.io import wavfile

    try:
        with warnings.catch_warnings():
            # Chunks scipy does not know hold text, not samples.
            warnings.simplefilter("ignore", wavfile.WavFileWarning)
            rate_hz, raw = wavfile.read(path)
    except OSError as error:
        raise problem(path, f"cannot be read: {error.strerror or error}") from None
    except UnboundLocalError:  # how scipy ends on a file without a format or without samples
        raise problem(path, "a WAV file without samples", hint="record again") from None
    except (ValueError, EOFError, ZeroDivisionError) as error:
        raise problem(path, f"no readable WAV file: {error}", allowed="PCM or float WAV") from None
    raw = raw[:, None] if raw.ndim == 1 else raw
    if len(raw) < 16 or rate_hz <= 0:
        raise problem(
            path, f"{len(raw)} samples", allowed="at least 16", hint="record at least 10 s"
        )
    findings = []
    if raw.shape[1] > 3:
        findings.append(
            Finding(f"{raw.shape[1]} channels", "the first three are used", "say which are axes")
        )
    values = _fractions(raw[:, :3])
    if not (np.abs(values) < ABSURD).all():  # not-a-number and infinity are not below it either
        raise problem(path, "samples that are no numbers", hint="export again")
    return float(rate_hz), values, findings


def _fractions(raw: np.ndarray) -> np.ndarray:
    """Whole numbers to fractions of full scale; 24-bit samples come left-justified in 32."""
    values = np.array(raw.T, dtype=float, order="C")
    if raw.dtype == np.uint8:
        return (values - 128) / 128
    if np.issubdtype(raw.dtype, np.integer):
        return values / -float(np.iinfo(raw.dtype).min)
    return values
