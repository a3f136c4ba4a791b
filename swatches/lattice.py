"""Arithmetic of repeats: pairs of steps after which a print is the same again, in inches."""

from __future__ import annotations

from math import atan2, degrees, hypot

import numpy as np
from numpy.typing import NDArray

__all__ = ["Step", "coarser_lattices", "lattice_name", "reduced", "square_cell"]

Step = tuple[float, float]
Pair = tuple[Step, Step]

_SQUARE_DEG = 25.0
_MOST_CELLS = 12
_HALF = 0.06


def reduced(first: Step, second: Step) -> Pair:
    """The two shortest steps of the same lattice, the more sideways one first, pointing right and down.

    Source: Gauss's reduction, as in Cohen, A Course in Computational Algebraic Number Theory, 1.3.14.
    """
    a, b = np.array(first, dtype=np.float64), np.array(second, dtype=np.float64)
    for _ in range(100):
        if a @ a > b @ b:
            a, b = b, a
        times = round(float(a @ b) / float(a @ a))
        if times == 0:
            break
        b = b - times * a
    if abs(a[0]) * hypot(*b) < abs(b[0]) * hypot(*a):
        a, b = b, a
    a, b = (a if a[0] >= 0 else -a), (b if b[1] >= 0 else -b)
    return (float(a[0]), float(a[1])), (float(b[0]), float(b[1]))


def coarser_lattices(most: int) -> tuple[NDArray[np.int64], ...]:
    """Every lattice inside another whose cell is 2 to `most` times as large, as steps (2, 2) of the old.

    Source: Hermite normal forms; there are as many as the sum of the divisors.
    """
    found = []
    for times in range(2, most + 1):
        for a in range(1, times + 1):
            if times % a == 0:
                found += [np.array([[a, 0], [shift, times // a]]) for shift in range(a)]
    return tuple(found)


def square_cell(pair: Pair) -> tuple[NDArray[np.int64], NDArray[np.float64]] | None:
    """The smallest cell with sides nearly across and down: whole steps (2, 2) of the pair, and inches (2, 2).

    None where none of at most 12 primitive cells lies within 25 degrees of both.
    """
    steps = np.array(pair)
    reach = np.arange(-_MOST_CELLS, _MOST_CELLS + 1)
    whole = np.stack(np.meshgrid(reach, reach), axis=-1).reshape(-1, 2)
    whole = whole[(whole != 0).any(axis=1)]
    moves = whole @ steps
    length = np.hypot(*moves.T)
    turn_x = np.degrees(np.arctan2(np.abs(moves[:, 1]), moves[:, 0]))
    turn_y = np.degrees(np.arctan2(np.abs(moves[:, 0]), moves[:, 1]))
    across, down = turn_x < _SQUARE_DEG, turn_y < _SQUARE_DEG
    best: tuple[float, int, int] | None = None
    for i in np.nonzero(across)[0][np.argsort(length[across], kind="stable")][:40]:
        for j in np.nonzero(down)[0][np.argsort(length[down], kind="stable")][:40]:
            cells = abs(int(whole[i, 0] * whole[j, 1] - whole[i, 1] * whole[j, 0]))
            if not 0 < cells <= _MOST_CELLS:
                continue
            corner = atan2(moves[j, 1], moves[j, 0]) - atan2(moves[i, 1], moves[i, 0])
            skew = abs(degrees(corner) - 90)
            # A corner a few degrees off right is bought only by a much smaller cell.
            cost = cells * (1 + (skew / 1.5) ** 2 + (max(turn_x[i], turn_y[j]) / 12) ** 2)
            if best is None or cost < best[0]:
                best = (cost, int(i), int(j))
    if best is None:
        return None
    rows = np.stack([whole[best[1]], whole[best[2]]])
    return rows, np.asarray(rows @ steps, dtype=np.float64)


def lattice_name(pair: Pair) -> str:
    """How the trade calls a repeat: "straight", "half-drop or brick", "third-drop" or "diagonal"."""
    cell = square_cell(pair)
    if cell is None:
        return "diagonal"
    whole, _ = cell
    cells = abs(round(float(np.linalg.det(whole))))
    return {1: "straight", 2: "half-drop or brick", 3: "third-drop"}.get(cells, "diagonal")
