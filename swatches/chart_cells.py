"""Even squares in a photograph that lie in rows and columns, as the patches of a chart do."""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

__all__ = ["Grid", "Squares", "even_squares", "square_grids"]

_LEAST_SIDE_PX, _MOST_SIDE_PX = 5.0, 70.0
"""Of the even middle of a square; larger ones are looked for in a smaller picture."""
_MOST_LONG = 2.6
"""Ratio of the variances along and across a square: seen at a slant, and cut by a shadow's edge."""
_NEAR, _FAR = 1.0, 2.3
"""From square to square, in sides of their even middles: no gap, or one as wide as a third."""
_ALIKE = 1.5
_OFF = 0.25
_LEAST_CELLS = 8
_MOST_GRIDS = 40

Floats = NDArray[np.float64]
_Cell = tuple[int, int]


@dataclass(frozen=True, slots=True, eq=False)
class Squares:
    """Middles (n, 2), x and y from the corner of the first pixel, and the sides of their even parts (n,)."""

    middles_px: Floats
    sides_px: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Grid:
    """Squares in rows and columns, right-handed: column times row turns as x times y does."""

    to_photo: Floats
    """(3, 3): column and row, whole numbers at the middles of squares, to pixels."""
    cells: frozenset[_Cell]
    """The places, (column, row), at which a square was seen."""


def even_squares(picture_srgb8: NDArray[np.uint8], *, most_step: float) -> Squares:
    """The even parts of a picture that are about as long as wide and have no holes or arms.

    `most_step`: sRGB codes from lightest to darkest within 3 x 3 pixels, in any channel, of an even place.
    """
    soft = cv2.GaussianBlur(picture_srgb8, (0, 0), 0.8)
    box = np.ones((3, 3), np.uint8)
    step = cv2.subtract(cv2.dilate(soft, box), cv2.erode(soft, box)).max(axis=2)
    even = np.asarray(step <= most_step, dtype=np.uint8)
    _, labels, stats, middles = cv2.connectedComponentsWithStats(even, connectivity=4)
    area = stats[:, cv2.CC_STAT_AREA].astype(np.float64)
    wide, high = stats[:, cv2.CC_STAT_WIDTH], stats[:, cv2.CC_STAT_HEIGHT]
    fits = (area >= _LEAST_SIDE_PX**2) & (area <= _MOST_SIDE_PX**2)
    fits &= (np.maximum(wide, high) <= 1.7 * np.minimum(wide, high)) & (area >= 0.42 * wide * high)
    fits[0] = False
    kept = np.flatnonzero(fits)
    if len(kept) == 0:
        return Squares(np.empty((0, 2)), np.empty(0))
    square = _squareness(np.asarray(labels, np.int32), kept, np.asarray(middles, np.float64), area)
    kept = kept[square]
    return Squares(np.asarray(middles[kept] + 0.5), np.sqrt(area[kept]))


def _squareness(
    labels: NDArray[np.int32], kept: NDArray[np.int64], middles: Floats, area: Floats
) -> NDArray[np.bool_]:
    """Which parts are as compact as a square: twelve times the spread of a solid square is its area."""
    order = np.full(len(area), -1)
    order[kept] = np.arange(len(kept))
    rows, columns = np.nonzero(order[labels] >= 0)
    which = order[labels[rows, columns]]
    x, y = columns - middles[kept][which, 0], rows - middles[kept][which, 1]
    count = area[kept]
    xx, yy, xy = (np.bincount(which, part, len(kept)) / count for part in (x * x, y * y, x * y))
    half, root = (xx + yy) / 2 + 1 / 12, np.hypot((xx - yy) / 2, xy)
    long, short = half + root, np.maximum(half - root, 1e-6)
    full = count / (12 * np.sqrt(long * short))
    return np.asarray((long < _MOST_LONG * short) & (full > 0.86))


def square_grids(squares: Squares) -> list[Grid]:
    """Sets of squares that lie in rows and columns, the largest first; perspective is allowed for."""
    if len(squares.sides_px) < _LEAST_CELLS:
        return []
    # A third of a second to load; only a photograph with a chart needs it.
    from scipy.spatial import cKDTree

    tree = cKDTree(squares.middles_px)
    _, nearest = tree.query(squares.middles_px, k=min(10, len(squares.sides_px)))
    taken = np.zeros(len(squares.sides_px), dtype=bool)
    grids: list[tuple[int, Grid]] = []
    for seed in np.argsort(-squares.sides_px):
        basis = None if taken[seed] else _basis(squares, int(seed), nearest[seed])
        if basis is None:
            continue
        cells = _grown(squares, tree, int(seed), basis)
        if len(cells) < _LEAST_CELLS:
            continue
        taken[list(cells.values())] = True
        grid = _fitted(squares, cells)
        if grid is not None:
            grids.append((len(grid.cells), grid))
    grids.sort(key=lambda each: -each[0])
    return [grid for _, grid in grids[:_MOST_GRIDS]]


def _basis(squares: Squares, seed: int, nearest: NDArray[np.int64]) -> tuple[Floats, Floats] | None:
    """The steps to the nearest square alike and to the nearest one about square to that."""
    side = squares.sides_px[seed]
    ratio = squares.sides_px[nearest] / side
    steps = squares.middles_px[nearest] - squares.middles_px[seed]
    long = np.hypot(*steps.T)
    good = (ratio < _ALIKE) & (ratio > 1 / _ALIKE) & (long > _NEAR * side) & (long < _FAR * side)
    steps, long = steps[good], long[good]
    if len(steps) < 2:
        return None
    first = int(np.argmin(long))
    across = steps[first]
    turn = (across[0] * steps[:, 1] - across[1] * steps[:, 0]) / (long[first] * long)
    near = (np.abs(turn) > 0.8) & (long < _ALIKE * long[first])
    if not near.any():
        return None
    second = int(np.argmin(np.where(near, long, np.inf)))
    return across, steps[second] * (1 if turn[second] > 0 else -1)


def _grown(squares: Squares, tree: object, seed: int, basis: tuple[Floats, Floats]) -> dict[_Cell, int]:
    """Cell by cell from the seed; each step is the one that led to its neighbour, so that it may shrink."""
    cells: dict[_Cell, int] = {(0, 0): seed}
    steps: dict[_Cell, tuple[Floats, Floats]] = {(0, 0): basis}
    used = {seed}
    queue = deque([(0, 0)])
    while queue:
        cell = queue.popleft()
        here = squares.middles_px[cells[cell]]
        for axis, sign in ((0, 1), (0, -1), (1, 1), (1, -1)):
            beside = (cell[0] + sign, cell[1]) if axis == 0 else (cell[0], cell[1] + sign)
            if beside in cells:
                continue
            step = steps[cell][axis] * sign
            far, found = tree.query(here + step)  # type: ignore[attr-defined]
            ratio = squares.sides_px[found] / squares.sides_px[cells[cell]]
            if far > _OFF * np.hypot(*step) or found in used or not 1 / _ALIKE < ratio < _ALIKE:
                continue
            made = (squares.middles_px[found] - here) * sign
            kept = list(steps[cell])
            kept[axis] = (made + kept[axis]) / 2
            cells[beside], steps[beside] = int(found), (kept[0], kept[1])
            used.add(int(found))
            queue.append(beside)
    return cells


def _fitted(squares: Squares, cells: dict[_Cell, int]) -> Grid | None:
    places = np.array(list(cells), dtype=np.float64)
    if min(np.ptp(places, axis=0)) < 1:
        return None
    seen = squares.middles_px[list(cells.values())]
    pitch = np.median(squares.sides_px[list(cells.values())])
    cv2.setRNGSeed(11)
    found, good = cv2.findHomography(places, seen, cv2.RANSAC, 0.2 * float(pitch))
    if found is None or good is None:
        return None
    right = [cell for cell, fine in zip(cells, good.ravel(), strict=True) if fine]
    return Grid(np.asarray(found, dtype=np.float64), frozenset(right)) if len(right) >= _LEAST_CELLS else None
