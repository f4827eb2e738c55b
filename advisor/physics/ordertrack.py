"""How strong each order of wheel rotation is over a run, with its error."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from advisor.physics.frames import frame_power
from advisor.physics.revolutions import AngleSignal
from advisor.physics.spectrum import independent_blocks

MIN_BLOCK_TURNS, MAX_BLOCK_TURNS = 16, 64
CLOSEST_ORDERS = 1.0 / MAX_BLOCK_TURNS


@dataclass(frozen=True)
class OrderAmplitude:
    """One order averaged over a run.

    amplitude: peak, root mean square over the blocks, noise taken off; amplitude_sd: its standard
    deviation; noise_amplitude: what noise alone shows here, one standard deviation. Signal's unit.
    """

    order: float
    amplitude: float
    amplitude_sd: float
    noise_amplitude: float


@dataclass(frozen=True)
class OrderTrack:
    """Orders block by block.

    rate_hz (k,): wheel turns a second; amplitude_by_block (k, m): noise included; averages: one
    for each of the m orders; block_turns: length of a block, half overlapped.
    """

    averages: tuple[OrderAmplitude, ...]
    rate_hz: np.ndarray
    amplitude_by_block: np.ndarray
    block_turns: int


@dataclass(frozen=True)
class OrderSpectrum:
    """Amplitude (peak) against order, both (f,); block_turns long blocks averaged power-wise."""

    order: np.ndarray
    amplitude: np.ndarray
    block_turns: float
    blocks: int


def order_spectrum(angle: AngleSignal, *, block_turns: float = 32.0) -> OrderSpectrum:
    """Hann amplitude spectrum over wheel angle; resolution 2 / block_turns orders.

    Raises ValueError when no whole block of `block_turns` turns fits.
    """
    per_turn = angle.samples_per_revolution
    whole = len(angle.values) / per_turn
    frames = frame_power(
        angle.values,
        per_turn,
        min(block_turns, whole),
        valid=angle.valid,
        max_hz=angle.max_order,
        padding=4,
    )
    if not len(frames.time_s):
        raise ValueError(f"no stretch of {block_turns:g} wheel turns without a gap")
    amplitude = np.sqrt(frames.power.mean(axis=0))
    return OrderSpectrum(frames.frequency_hz, amplitude, frames.frame_s, len(frames.time_s))


def block_turns_for(orders: Sequence[float]) -> int:
    """Turns in a block that keep the two closest orders apart, 16 to 64."""
    gaps = np.diff(np.sort(np.asarray(orders, float)))
    closest = float(gaps.min()) if len(gaps) else 1.0
    if closest < CLOSEST_ORDERS:
        raise ValueError(f"orders nearer than {CLOSEST_ORDERS:.3f} cannot be told apart")
    return int(np.clip(math.ceil(1.5 / closest), MIN_BLOCK_TURNS, MAX_BLOCK_TURNS))


def order_amplitudes(
    angle: AngleSignal, orders: Sequence[float], *, block_turns: int | None = None
) -> OrderTrack:
    """Amplitude of each order by a joint least-squares fit in Hann-weighted blocks.

    The joint fit keeps near orders (wheel order 3, shaft ratio 3.08) from leaking into each other;
    noise is read beside each order from what the fit leaves. Own derivation; checked by Monte
    Carlo. Raises ValueError when orders are too near each other or no whole block fits.
    """
    turns = block_turns or block_turns_for(orders)
    size = turns * angle.samples_per_revolution
    fit, probe = _projections(size, turns, np.asarray(orders, float))
    starts = _block_starts(angle.valid, size)
    if not len(starts):
        raise ValueError(f"no stretch of {turns} wheel turns without a gap")
    fitted, left = _project(angle.values, starts, size, fit, probe)
    density = np.median(np.mean(np.abs(left) ** 2, axis=0), axis=1)
    noise_power = density * np.sum(np.abs(fit) ** 2, axis=1)
    power = np.mean(np.abs(fitted) ** 2, axis=0)
    averages = tuple(
        _average(order, float(p), float(n), len(starts))
        for order, p, n in zip(orders, power, noise_power, strict=True)
    )
    return OrderTrack(averages, angle.rate_hz[starts + size // 2], np.abs(fitted), turns)


def _average(order: float, power: float, noise: float, blocks: int) -> OrderAmplitude:
    clean = max(0.0, power - noise)
    # Power of a steady line plus complex noise; the last term is the error of the noise level.
    spread = math.sqrt((2 * clean * noise + noise**2 * 4 / 3) / independent_blocks(blocks))
    amplitude = math.sqrt(clean)
    floor = math.sqrt(noise) / independent_blocks(blocks) ** 0.25
    return OrderAmplitude(float(order), amplitude, math.sqrt(clean + spread) - amplitude, floor)


def _block_starts(valid: np.ndarray, size: int) -> np.ndarray:
    bad_so_far = np.concatenate([[0], np.cumsum(~valid)])
    starts = np.arange(0, len(valid) - size + 1, max(1, size // 2))
    return starts[bad_so_far[starts + size] == bad_so_far[starts]]


def _projections(size: int, turns: int, orders: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Rows that turn a block into complex amplitudes (m, size) and noise probes (m, 6, size)."""
    turn = np.arange(size) * (turns / size)
    window = np.sqrt(np.hanning(size + 2)[1:-1])[:, None]
    waves = np.exp(2j * np.pi * turn[:, None] * orders)
    model = np.hstack([np.ones((size, 1)), turn[:, None], waves.real, waves.imag])
    solve = np.linalg.pinv(window * model) * window.T
    m = len(orders)
    fit = solve[2 : 2 + m] - 1j * solve[2 + m :]
    probes = np.stack([_probe(turn, window[:, 0] ** 2, turns, order, orders) for order in orders])
    flat = probes.reshape(-1, size)
    # Probes must not see the fitted lines, only what is left of them.
    flat = flat - (flat @ model) @ solve
    flat /= np.linalg.norm(flat, axis=1, keepdims=True)
    return fit, flat.reshape(probes.shape)


def _probe(
    turn: np.ndarray, window: np.ndarray, turns: int, order: float, orders: np.ndarray
) -> np.ndarray:
    """Six windowed waves beside `order`, clear of all listed orders: (6, size)."""
    steps = np.array([2, -2, 3, -3, 4, -4, 5, -5, 6, -6, 7, -7, 8, -8, 9, -9])
    beside = order + steps / turns
    clear = np.abs(beside[:, None] - np.append(orders, 0.0)).min(axis=1) > 1.6 / turns
    beside = beside[clear & (beside > 0)][:6]
    if len(beside) < 6:
        beside = np.resize(beside if len(beside) else order + steps[:6] / turns, 6)
    return window * np.exp(-2j * np.pi * np.outer(beside, turn))


def _project(
    values: np.ndarray, starts: np.ndarray, size: int, fit: np.ndarray, probe: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """Apply the rows to all blocks, a hundred at a time: (k, m) and (k, m, 6)."""
    rows = np.vstack([fit, probe.reshape(-1, size)]).T
    windows = np.lib.stride_tricks.sliding_window_view(values, size)
    done = [windows[starts[i : i + 100]] @ rows for i in range(0, len(starts), 100)]
    out = np.concatenate(done)
    return out[:, : len(fit)], out[:, len(fit) :].reshape(len(starts), *probe.shape[:2])
