"""A picture divided in two by its colours: a part that reaches its border, and all that is unlike it."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

__all__ = ["colour_numbers", "unlike_parts"]

_COLOURS = 28
_LIGHTNESS_SHARE = 0.8
"""Light falls unevenly, so a step in lightness counts for less than one in hue (ours)."""
_ROUNDS = 8
_MOST_SAID = 3.0
_STEADY = 0.001
_LEAST_SHARE, _LEAST_REST = 0.02, 0.04
_SAME = 0.01
_DEEP_IN, _JOINED_IN = 0.4, 0.1

Mask = NDArray[np.bool_]
Numbers = NDArray[np.int64]


def colour_numbers(soft_lab: NDArray[np.float32], *, free: Mask) -> Numbers:
    """Which of a few colours each pixel (H, W) has: those that the `free` pixels gather round."""
    seen = np.ascontiguousarray(soft_lab * np.array([_LIGHTNESS_SHARE, 1, 1], np.float32))
    samples = np.ascontiguousarray(seen[free][::5])
    stop = (cv2.TERM_CRITERIA_EPS + cv2.TERM_CRITERIA_MAX_ITER, 10, 0.5)
    cv2.setRNGSeed(7)
    count = min(_COLOURS, len(samples))
    _, _, centres = cv2.kmeans(samples, count, np.empty((0, 1), np.int32), stop, 1, cv2.KMEANS_PP_CENTERS)
    flat = seen.reshape(-1, 3)
    apart = (flat**2).sum(axis=1)[:, None] - 2 * flat @ centres.T + (centres**2).sum(axis=1)
    return np.asarray(apart.argmin(axis=1).reshape(seen.shape[:2]), dtype=np.int64)


def unlike_parts(numbers: Numbers, *, free: Mask, px_per_in: float) -> list[Mask]:
    """The parts (H, W), each beginning at another stretch of the border, that are told from the rest.

    Beginning with a stretch of the border, each place goes to the side whose colours are more like those
    around it, over and over, until little changes: the two-sided case of clustering by mixed colours.
    """
    found: list[Mask] = []
    for start in _stretches(numbers.shape, deep=max(2, round(_DEEP_IN * px_per_in))):
        part = _grown(numbers, start, free=free, joined_px=_JOINED_IN * px_per_in)
        if part is not None and all((part ^ other).mean() >= _SAME for other in found):
            found.append(part)
    return found


def _grown(numbers: Numbers, start: Mask, *, free: Mask, joined_px: float) -> Mask | None:
    part = start
    count = int(numbers.max()) + 1
    for _ in range(_ROUNDS):
        inside = np.bincount(numbers[part & free], minlength=count) + 0.5
        beyond = np.bincount(numbers[~part & free], minlength=count) + 0.5
        said = np.log(inside / inside.sum()) - np.log(beyond / beyond.sum())
        votes = np.clip(said, -_MOST_SAID, _MOST_SAID).astype(np.float32)[numbers] * free
        grown = (cv2.GaussianBlur(votes, (0, 0), joined_px) > 0) & free
        rest = int((free & ~grown).sum())
        if not (grown & start).any() or grown.mean() < _LEAST_SHARE or rest < _LEAST_REST * grown.size:
            return None
        changed = float((grown ^ part).mean())
        part = grown
        if changed < _STEADY:
            break
    return part


def _stretches(shape: tuple[int, ...], *, deep: int) -> list[Mask]:
    """Where to begin: thirds of every side, whole sides, two that meet, and all round."""
    rows, columns = shape[:2]
    near = np.zeros((4, rows, columns), dtype=bool)
    near[0, :deep], near[1, :, -deep:], near[2, -deep:], near[3, :, :deep] = True, True, True, True
    down = np.arange(rows)[:, None] * 3 // rows
    along = np.arange(columns)[None] * 3 // columns
    thirds = [
        side & ((along if i % 2 == 0 else down) == third) for third in range(3) for i, side in enumerate(near)
    ]
    corners = [near[i - 1] | near[i] for i in range(4)]
    return [*thirds, *near, *corners, near.any(axis=0)]
