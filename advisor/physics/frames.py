"""Short overlapping frames of a long signal: what every picture of speed or time is built on."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class Frames:
    """Power of half-overlapped Hann frames.

    time_s (k,): middle of each frame; frequency_hz (f,); power (k, f): squared amplitude of a tone;
    frame_s: length of one frame. Frames that touch a gap are left out.
    """

    time_s: np.ndarray
    frequency_hz: np.ndarray
    power: np.ndarray
    frame_s: float


def frame_power(
    signal: np.ndarray,
    sample_rate_hz: float,
    frame_s: float,
    *,
    valid: np.ndarray | None = None,
    max_hz: float | None = None,
    padding: int = 1,
    chunk: int = 256,
) -> Frames:
    """Frames of `signal` (n,), each with its mean removed; by scipy's short-time FFT.

    valid (n,): False inside gaps; padding: zero padding of the FFT; max_hz: highest kept.
    Raises ValueError when no whole frame fits.
    """
    from scipy.fft import next_fast_len
    from scipy.signal import ShortTimeFFT

    size = round(frame_s * sample_rate_hz)
    hop = max(1, size // 2)
    if size < 8 or len(signal) < size:
        raise ValueError("the recording is shorter than one frame")
    sft = ShortTimeFFT.from_window(
        "hann",
        sample_rate_hz,
        size,
        size - hop,
        fft_mode="onesided",
        mfft=next_fast_len(size * padding, real=True),
        scale_to="magnitude",
    )
    keep = sft.f <= (max_hz or sample_rate_hz)
    first, last = sft.lower_border_end[1], sft.upper_border_begin(len(signal))[1]
    whole = _whole_frames(valid, first, last, hop, size)
    parts = [np.zeros((0, int(keep.sum())))]
    for start in range(first, last, chunk):
        stop = min(start + chunk, last)
        part = sft.stft_detrend(signal, "constant", start, stop)[keep]
        parts.append(4 * np.abs(part.T[whole[start - first : stop - first]]) ** 2)
    time_s = (np.arange(first, last) * hop)[whole] / sample_rate_hz
    return Frames(time_s, sft.f[keep], np.concatenate(parts), size / sample_rate_hz)


def _whole_frames(
    valid: np.ndarray | None, first: int, last: int, hop: int, size: int
) -> np.ndarray:
    """Which frames touch no gap: (last - first,) of bool."""
    if valid is None:
        return np.ones(last - first, bool)
    bad_so_far = np.concatenate([[0], np.cumsum(~valid)])
    begin = np.clip(np.arange(first, last) * hop - size // 2, 0, len(valid))
    end = np.clip(begin + size, 0, len(valid))
    return bad_so_far[end] == bad_so_far[begin]


def slow_down(
    signal: np.ndarray, sample_rate_hz: float, needed_hz: float
) -> tuple[np.ndarray, float, int]:
    """Decimate to the lowest rate that keeps `needed_hz`: (signal, sample rate, factor)."""
    from scipy.signal import decimate

    factor = int(sample_rate_hz // (2.56 * needed_hz))
    if factor < 2:
        return signal, sample_rate_hz, 1
    return decimate(signal, factor, ftype="fir"), sample_rate_hz / factor, factor
