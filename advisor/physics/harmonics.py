"""The sine and cosine columns of a runout fit, and what a set of positions cannot tell apart."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from numpy.typing import ArrayLike, NDArray

# A lobe count is named when a unit of it moves the fitted harmonic by this much (judgement).
NAMED_LEAK = 0.5


def design_matrix(angle_rad: ArrayLike, highest_order: int) -> NDArray[np.float64]:
    """Columns 1, cos t, sin t, cos 2t, sin 2t, ... for the positions `angle_rad`.

    Shape (N, 1 + 2 * highest_order).
    """
    angle = np.asarray(angle_rad, dtype=float)
    columns = [np.ones_like(angle)]
    for order in range(1, highest_order + 1):
        columns += [np.cos(order * angle), np.sin(order * angle)]
    return np.column_stack(columns)


def aliasing_lobes(n_positions: int, order: int = 1, most_lobes: int = 24) -> tuple[int, ...]:
    """Lobe counts that N equally spaced positions cannot tell from harmonic `order`.

    L lobes fold onto it when N divides L - order or L + order (sampling theorem; own derivation,
    checked by the fit itself in the tests).
    """
    return tuple(
        lobes
        for lobes in range(1, most_lobes + 1)
        if lobes != order and 0 in ((lobes - order) % n_positions, (lobes + order) % n_positions)
    )


def lobe_leaks(
    angle_rad: ArrayLike, highest_order: int, lobes: Iterable[int], onto: int = 1
) -> dict[int, float]:
    """Largest amplitude that one unit of each lobe count puts on fitted harmonic `onto`.

    Works for any spacing: 1 is a full alias, 0 none. Lobe counts that are themselves fitted leak
    nothing. Own derivation: the least-squares solution is linear in the readings, so the leak is
    the spectral norm of the solver times the lobe's two columns.
    """
    angle = np.asarray(angle_rad, dtype=float)
    solver = np.linalg.pinv(design_matrix(angle, highest_order))[2 * onto - 1 : 2 * onto + 1]
    leaks = {}
    for count in lobes:
        if count <= highest_order:
            leaks[count] = 0.0
            continue
        pattern = np.column_stack([np.cos(count * angle), np.sin(count * angle)])
        leaks[count] = float(np.linalg.norm(solver @ pattern, 2))
    return leaks


def named_lobes(
    angle_rad: ArrayLike, highest_order: int, onto: int = 1, most_lobes: int = 24
) -> tuple[int, ...]:
    """Lobe counts that these positions would show as harmonic `onto`."""
    leaks = lobe_leaks(angle_rad, highest_order, range(2, most_lobes + 1), onto)
    return tuple(count for count, leak in leaks.items() if count != onto and leak >= NAMED_LEAK)
