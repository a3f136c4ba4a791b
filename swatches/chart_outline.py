"""The 24 patches of a chart seen one by one, so that its outline lies on them closely."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from palettes.encodings import encode
from swatches.chart_colours import COLUMNS, ROWS
from swatches.resampling import map_points

__all__ = ["Outline", "outline_chart"]

_FINE_PX, _COARSE_PX = 16, 40
"""Pixels from patch to patch in the straightened chart, as the photograph gives them."""
_MARGIN = 1
_ROUNDS = 4
_REACH = 0.8
_LEAST_AREA, _MOST_AREA = 0.35, 1.15
_MOST_OFF = 0.45
_PROBE = 0.12
_LEAST_STEP = 9.0
"""sRGB codes from a patch to what is round it."""
_BESIDE: tuple[tuple[float, float], ...] = tuple(
    (x, y) for x in (-1, 0, 1) for y in (-1, 0, 1) if (x, y) != (0, 0) and 0 in (x, y)
)
_BESIDE += tuple((x, y) for x in (-0.5, 0.5) for y in (-0.5, 0.5))
"""Neighbours of a patch, in steps, and the places between four patches, where a gap is widest."""

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Outline:
    """Where the chart's patches lie."""

    to_photo: Floats
    """Column and row, whole numbers at the middles of patches, to pixels of the picture that was given."""
    half_side: float
    """Half of a patch's side, of the step from patch to patch: 0.5 when there is no gap."""
    confirmed: int
    """Patches that were seen whole, of 24."""
    off: float
    """Root mean square distance of those from the places the outline gives them, in steps."""


def outline_chart(light: NDArray[np.float32], to_photo: Floats) -> Outline:
    """The outline fitted to the middles of all patches that are seen whole, from one that is nearly right."""
    confirmed, off = 0, np.inf
    for _ in range(_ROUNDS):
        straight, px = _straightened(light, to_photo)
        places, seen = _middles(straight, px)
        if len(places) < 4 or min(np.ptp(places, axis=0)) == 0:
            return Outline(to_photo, 0.5, len(places), np.inf)
        cv2.setRNGSeed(5)
        moved, good = cv2.findHomography(places, seen, cv2.RANSAC, 0.12)
        if moved is None or good.sum() < 4:
            return Outline(to_photo, 0.5, 0, np.inf)
        kept = good.ravel().astype(bool)
        again, _ = cv2.findHomography(places[kept], seen[kept], 0)
        move = np.asarray(moved if again is None else again, dtype=np.float64)
        left = map_points(move, places[kept]) - seen[kept]
        confirmed, off = int(kept.sum()), float(np.sqrt((left**2).sum(axis=1).mean()))
        to_photo = np.asarray(to_photo @ move, dtype=np.float64)
    return Outline(to_photo, _half_side(light, to_photo), confirmed, off)


def _straightened(light: NDArray[np.float32], to_photo: Floats) -> tuple[NDArray[np.float32], int]:
    """The chart square on, in sRGB codes, a step round it included, and its pixels from patch to patch."""
    ends = map_points(to_photo, np.array([[0.0, 0.0], [COLUMNS - 1, 0], [0, ROWS - 1]]))
    step = min(np.hypot(*(ends[1] - ends[0])) / (COLUMNS - 1), np.hypot(*(ends[2] - ends[0])) / (ROWS - 1))
    px = int(np.clip(np.nan_to_num(step), _FINE_PX, _COARSE_PX))
    wide, high = (COLUMNS + 2 * _MARGIN) * px, (ROWS + 2 * _MARGIN) * px
    first = _MARGIN + 0.5
    x, y = np.meshgrid((np.arange(wide) + 0.5) / px - first, (np.arange(high) + 0.5) / px - first)
    at = map_points(to_photo, np.stack([x.ravel(), y.ravel()], axis=1)) - 0.5
    size = np.array(light.shape[1::-1])
    left, top = np.clip(np.floor(np.clip(at.min(axis=0), 0, size)).astype(int) - 2, 0, None)
    right, low = np.clip(np.ceil(np.clip(at.max(axis=0), 0, size)).astype(int) + 3, 1, size)
    part = light[top:low, left:right]
    if part.size == 0 or not np.isfinite(at).all():
        return np.zeros((high, wide, 3), np.float32), px
    soft = cv2.GaussianBlur(part, (0, 0), 0.35 * step / px) if step > 1.5 * px else part
    x, y = (axis.reshape(high, wide) for axis in (at - (left, top)).astype(np.float32).T)
    seen = cv2.remap(soft, x, y, cv2.INTER_LINEAR, borderMode=cv2.BORDER_CONSTANT)
    return np.asarray(encode(np.clip(seen, 0, 1)) * 255, dtype=np.float32), px


def _middles(straight: NDArray[np.float32], px: int) -> tuple[Floats, Floats]:
    """Columns and rows of the patches seen whole, and where their middles are, in steps."""
    places, seen = [], []
    for row in range(ROWS):
        for column in range(COLUMNS):
            middle = _middle(straight, px, column, row)
            if middle is not None:
                places.append((float(column), float(row)))
                seen.append(middle)
    return np.array(places).reshape(-1, 2), np.array(seen).reshape(-1, 2)


def _middle(straight: NDArray[np.float32], px: int, column: int, row: int) -> tuple[float, float] | None:
    """Where the middle of a patch is seen, in steps; None if it cannot be told from what is round it."""
    first = _MARGIN + 0.5
    reach = round(_REACH * px)
    left, top = round((column + first) * px) - reach, round((row + first) * px) - reach
    window = straight[top : top + 2 * reach, left : left + 2 * reach]
    own = _colour(straight, px, column, row)
    # What is nearer to its own colour than to its neighbours' and to the gaps' is the patch, edges halved.
    near = ((window - own) ** 2).sum(axis=2)
    inside = np.ones(near.shape, dtype=bool)
    for across, down in _BESIDE:
        other = _colour(straight, px, column + across, row + down)
        if ((other - own) ** 2).sum() < _LEAST_STEP**2:
            return None
        inside &= near < ((window - other) ** 2).sum(axis=2)
    _, labels, stats, middles = cv2.connectedComponentsWithStats(inside.astype(np.uint8), connectivity=4)
    label = int(labels[reach, reach])
    x, y, wide, high, area = (int(part) for part in stats[label])
    touches = x == 0 or y == 0 or x + wide == 2 * reach or y + high == 2 * reach
    if label == 0 or touches or not _LEAST_AREA <= area / px**2 <= _MOST_AREA:
        return None
    at = (left + middles[label, 0] + 0.5) / px - first, (top + middles[label, 1] + 0.5) / px - first
    return at if max(abs(at[0] - column), abs(at[1] - row)) <= _MOST_OFF else None


def _colour(straight: NDArray[np.float32], px: int, column: float, row: float) -> NDArray[np.float32]:
    """The colour at a place of the straightened chart, given in steps."""
    probe = max(1, round(_PROBE * px))
    x, y = (min(max(round((at + _MARGIN + 0.5) * px), probe), far - probe)
            for at, far in ((column, straight.shape[1]), (row, straight.shape[0])))  # fmt: skip
    part = straight[y - probe : y + probe, x - probe : x + probe]
    return np.asarray(np.median(part.reshape(-1, 3), axis=0), dtype=np.float32)


def _half_side(light: NDArray[np.float32], to_photo: Floats) -> float:
    """Half of a patch's side, in steps: where colours change fastest on the way from patch to patch."""
    along = np.linspace(0.3, 0.7, 41)
    still = np.zeros_like(along)
    ways = [np.stack([c + along, still + r], axis=1) for r in range(ROWS) for c in range(COLUMNS - 1)]
    ways += [np.stack([still + c, r + along], axis=1) for c in range(COLUMNS) for r in range(ROWS - 1)]
    at = (map_points(to_photo, np.concatenate(ways)) - 0.5).astype(np.float32)
    seen = cv2.remap(light, at[None, :, 0], at[None, :, 1], cv2.INTER_LINEAR)[0].reshape(len(ways), -1, 3)
    step = np.abs(np.diff(np.cbrt(np.clip(seen, 0, None)), axis=1)).sum(axis=(0, 2))
    # A gap has two edges, each as far from its own patch; without one, they fall together in the middle.
    both = (step + step[::-1])[: len(step) // 2]
    first = int(np.argmax(both))
    return float((along[first] + along[first + 1]) / 2)
