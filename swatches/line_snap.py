"""Rough corners of a straight-edged thing moved to where its edges really are."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from palettes.encodings import srgb8_to_lin
from palettes.lightness import lab_from_lin

__all__ = ["Snapped", "snap_corners"]

_PLACES = 72
_CLEAR_OF_CORNERS = 0.10
"""Corners of cards are rounded: 3.18 of 54 mm. Source: ISO/IEC 7810."""
_BOX_PX = 3
_LEAST_STEP = 3.0

Point = tuple[float, float]
Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Snapped:
    """Four corners, and how plain the weakest of the four edges is."""

    corners_px: tuple[Point, Point, Point, Point]
    step_lab: float
    """Mean step in colour across the weakest edge, in Lab units."""
    even: float
    """Share of the weakest edge along which that step is seen."""

    @property
    def plain(self) -> bool:
        """Whether every edge is a plain step."""
        return self.step_lab >= _LEAST_STEP


def snap_corners(
    photo_srgb8: NDArray[np.uint8], corners_px: Sequence[Point], *, reach_px: float = 16.0
) -> Snapped:
    """Corners where the four edges cross, each edge looked for within `reach_px` of the marked one.

    For each side every line whose ends lie within reach is tried, and the one taken across which the mean
    signed step in colour is greatest: edges of a print change sign along the line and cancel. (Picking the
    strongest edge place by place went wrong by up to 15 pixels on prints and shadows.)
    """
    corners = np.array(corners_px, dtype=np.float64)
    lines, steps, shares = [], [], []
    for i in range(4):
        line, step, share = _best_line(photo_srgb8, corners[i], corners[(i + 1) % 4], reach_px=reach_px)
        lines.append(line)
        steps.append(step)
        shares.append(share)
    crossed = [_crossing(lines[i - 1], lines[i], near=corners[i]) for i in range(4)]
    return Snapped((crossed[0], crossed[1], crossed[2], crossed[3]), min(steps), min(shares))


def _best_line(
    photo: NDArray[np.uint8], start: Floats, end: Floats, *, reach_px: float
) -> tuple[tuple[Floats, Floats], float, float]:
    along = end - start
    length = float(np.hypot(*along))
    if length < 8:
        return (start, end), 0.0, 0.0
    normal = np.array([along[1], -along[0]]) / length
    share = np.linspace(_CLEAR_OF_CORNERS, 1 - _CLEAR_OF_CORNERS, _PLACES)
    reach = int(np.ceil(reach_px))
    offsets = np.arange(-reach - _BOX_PX - 2, reach + _BOX_PX + 3)
    colours = _sampled(photo, start[None] + share[:, None] * along, normal, offsets)
    # The step at an offset: the mean of three pixels outside less that of three inside.
    sums = np.cumsum(np.concatenate([np.zeros((_PLACES, 1, 3)), colours], axis=1), axis=1)
    box = (sums[:, _BOX_PX:] - sums[:, :-_BOX_PX]) / _BOX_PX
    step = box[:, _BOX_PX:] - box[:, :-_BOX_PX]
    first = offsets[0] + _BOX_PX - 0.5
    # The step is as wide as its box, so every other pixel is near enough to begin with.
    coarse = np.arange(-reach, reach + 1, 2.0)
    best = _search(step, share, coarse, coarse, first=first)
    for fine in (0.75, 0.25, 0.05):
        near = np.arange(-4, 5) * fine
        firsts, seconds = (np.asarray(end + near, dtype=np.float64) for end in best)
        best = _search(step, share, firsts, seconds, first=first)
    at = best[0] + (best[1] - best[0]) * share
    seen = _at(step, at - first)
    mean = seen.mean(axis=0)
    size = float(np.hypot(np.hypot(mean[0], mean[1]), mean[2]))
    agrees = float((seen @ mean > 0.3 * size * size).mean()) if size > 0 else 0.0
    return (start + best[0] * normal, end + best[1] * normal), size, agrees


def _sampled(photo: NDArray[np.uint8], places: Floats, normal: Floats, offsets: NDArray[np.int64]) -> Floats:
    """Lab colours (places, offsets, 3) along normals, blurred in linear light, where edges stay put."""
    points = places[:, None] + offsets[None, :, None] * normal - 0.5
    low = np.floor(points.min(axis=(0, 1))).astype(int) - 2
    high = np.ceil(points.max(axis=(0, 1))).astype(int) + 3
    low, high = np.maximum(low, 0), np.minimum(high, (photo.shape[1], photo.shape[0]))
    if (high - low < 2).any():
        return np.zeros((*points.shape[:2], 3))
    light = srgb8_to_lin(photo[low[1] : high[1], low[0] : high[0]])
    at = (points - low).astype(np.float32)
    found = cv2.remap(light, at[..., 0], at[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    return np.asarray(lab_from_lin(found), dtype=np.float64)


def _search(
    step: Floats, share: Floats, firsts: Floats, seconds: Floats, *, first: float
) -> tuple[float, float]:
    a, b = (part.ravel() for part in np.meshgrid(firsts, seconds, indexing="ij"))
    at = a[:, None] + (b - a)[:, None] * share[None] - first
    scores = np.empty(len(a))
    for low in range(0, len(a), 256):
        seen = _at(step, at[low : low + 256])
        scores[low : low + 256] = (seen.mean(axis=1) ** 2).sum(axis=1)
    i = int(np.argmax(scores))
    return float(a[i]), float(b[i])


def _at(step: Floats, at: Floats) -> Floats:
    """Steps (…, places, 3) at fractional offsets (…, places)."""
    at = np.clip(at, 0, step.shape[1] - 1.001)
    low = at.astype(int)
    part = (at - low)[..., None]
    place = np.broadcast_to(np.arange(step.shape[0]), at.shape)
    return np.asarray(step[place, low] * (1 - part) + step[place, low + 1] * part)


def _crossing(first: tuple[Floats, Floats], second: tuple[Floats, Floats], *, near: Floats) -> Point:
    (a, b), (c, d) = first, second
    u, v = b - a, d - c
    across = float(u[0] * v[1] - u[1] * v[0])
    if abs(across) <= 1e-6 * np.hypot(*u) * np.hypot(*v):
        return float(near[0]), float(near[1])
    share = float((c - a)[0] * v[1] - (c - a)[1] * v[0]) / across
    point = a + share * u
    return float(point[0]), float(point[1])
