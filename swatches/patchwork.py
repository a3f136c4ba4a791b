"""A larger patch of cloth that has no repeat, from a smaller one, by cuts along which they agree best."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from palettes.lightness import lab_from_lin

__all__ = ["best_cut", "wrap_by_cut"]

_FEATHER_PX = 3


def wrap_by_cut(cloth_lin: NDArray[np.float32], *, overlap_px: int) -> NDArray[np.float32]:
    """The cloth made to wrap both ways: its far edges overlap its near ones and are cut where they agree.

    Smaller than the cloth by the overlap, each way. Nothing is mirrored. Motifs that the cut crosses may
    be seen to be cut: where a patch fits inside the photograph, the photograph itself is better.
    Source: Efros and Freeman (2001), Image Quilting for Texture Synthesis and Transfer, section 2.1.
    """
    overlap = int(min(overlap_px, cloth_lin.shape[0] // 3, cloth_lin.shape[1] // 3))
    across = _wrap_across(cloth_lin, overlap)
    return np.ascontiguousarray(_wrap_across(across.transpose(1, 0, 2), overlap).transpose(1, 0, 2))


def _wrap_across(cloth: NDArray[np.float32], overlap: int) -> NDArray[np.float32]:
    """Left and right edges joined: the last columns are laid over the first and cut."""
    near, far = cloth[:, :overlap], cloth[:, -overlap:]
    first, second = lab_from_lin(np.clip(near, 0, 1)), lab_from_lin(np.clip(far, 0, 1))
    apart = np.asarray(((first - second) ** 2).sum(axis=2), dtype=np.float32)
    cut = best_cut(np.asarray(cv2.GaussianBlur(apart, (0, 0), 1.0), dtype=np.float32))
    # Left of the cut the far edge goes on, right of it the near edge has taken over.
    place = np.arange(overlap)[None, :] - cut[:, None]
    keep_near = np.clip(place / (2.0 * _FEATHER_PX) + 0.5, 0, 1).astype(np.float32)[..., None]
    joined = far * (1 - keep_near) + near * keep_near
    return np.concatenate([joined, cloth[:, overlap:-overlap]], axis=1)


def best_cut(cost: NDArray[np.float32]) -> NDArray[np.intp]:
    """The column at which to cut each row of a strip (rows, columns), at least cost over a closed ring.

    The cut moves by at most one column a row and ends where it began, so that the wrapped strip has no
    step at its ends: the best of the closed cuts through the first row's cheapest places.
    """
    rows, columns = cost.shape
    open_cut, total = _cut_from(cost, None)
    best, best_cost = open_cut, np.inf
    for start in {int(open_cut[0]), int(open_cut[-1]), int(np.argmin(total)), columns // 2}:
        closed, sums = _cut_from(cost, start)
        if sums[start] < best_cost:
            best, best_cost = closed, float(sums[start])
    return best[:rows]


def _cut_from(cost: NDArray[np.float32], start: int | None) -> tuple[NDArray[np.intp], NDArray[np.float64]]:
    rows, columns = cost.shape
    sums = np.empty((rows, columns))
    sums[0] = cost[0] if start is None else np.where(np.arange(columns) == start, cost[0], np.inf)
    came = np.zeros((rows, columns), np.int8)
    for row in range(1, rows):
        above = sums[row - 1]
        three = np.stack([np.append(np.inf, above[:-1]), above, np.append(above[1:], np.inf)])
        least = three.argmin(axis=0)
        came[row] = least - 1
        sums[row] = cost[row] + three[least, np.arange(columns)]
    at = int(np.argmin(sums[-1])) if start is None else start
    cut = np.empty(rows, np.intp)
    for row in range(rows - 1, -1, -1):
        cut[row] = at
        at += int(came[row, at])
    return cut, sums[-1]
