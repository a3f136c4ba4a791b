"""The four edges of a smooth sheet in a photograph: lines along which its own even colour ends."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.polynomial import Polynomial
from numpy.typing import NDArray

from palettes.encodings import srgb8_to_lin

__all__ = ["SheetEdges", "follow_edges"]

_SECTIONS, _PER_SECTION = 24, 16
_CLEAR = 0.03
_BOX_PX = 2
"""Light is compared over so many pixels on both sides (ours)."""
_PLAIN_STEP, _LEAST_STEP = 0.02, 0.006
"""Shares of the paper's light. A plainer step counts no more, so shadow counts as much as print (ours)."""
_OVER_NOISE = 3.0
_ON_LINE_PX, _NEAR_PX = 1.3, 3
_LIGHTER = 0.75
"""Where paper throws a shadow it gets darker outwards first, even if the cloth is paler (ours)."""
_BOWS = np.linspace(-0.008, 0.008, 7)
"""A phone's lens bows a straight edge by up to that share of its length (ours)."""

Floats = NDArray[np.float64]
_Line = tuple[Floats, Floats]


@dataclass(frozen=True, slots=True, eq=False)
class SheetEdges:
    """Corners (4, 2) in pixels, in order round, and how plain each edge is."""

    corners_px: Floats
    seen: tuple[float, ...]
    """The share of each edge that is seen, and on its own line."""
    steps: tuple[float, ...]
    """The usual step at each edge, as a share of the paper's light."""


def follow_edges(photo_srgb8: NDArray[np.uint8], quad_px: Floats, *, reach_px: float) -> SheetEdges | None:
    """The edges of a sheet near a rough outline; None where they do not meet.

    An edge is the line along which most places change alike on the way out, be it to the cloth's colours or
    to the narrow shadow that paper throws: on cloth as white as itself that is all there is.
    """
    corners = quad_px
    for reach in (reach_px, max(4.0, reach_px / 2)):
        sides = [_edge(photo_srgb8, corners, i, reach=int(np.ceil(reach))) for i in range(4)]
        found = np.array([_crossing(sides[i - 1][0][1], sides[i][0][0]) for i in range(4)])
        if not np.isfinite(found).all() or np.hypot(*(found - corners).T).max() > 4 * reach_px:
            return None
        corners = found
    return SheetEdges(corners, tuple(side[1] for side in sides), tuple(side[2] for side in sides))


def _edge(
    photo: NDArray[np.uint8], corners: Floats, i: int, *, reach: int
) -> tuple[tuple[_Line, _Line], float, float]:
    """Tangents of an edge at its start and its end, the share of it that is seen, and its usual step."""
    start, along = corners[i], corners[(i + 1) % 4] - corners[i]
    length = max(float(np.hypot(*along)), 1.0)
    normal = np.array([along[1], -along[0]]) / length
    if normal @ (corners.mean(axis=0) - start) > 0:
        normal = -normal
    share = np.linspace(_CLEAR, 1 - _CLEAR, _SECTIONS * _PER_SECTION)
    bounds = reach + _NEAR_PX + 1
    offsets = np.arange(-bounds - _BOX_PX, bounds + _BOX_PX, dtype=np.float64) + 0.5
    light = _light(photo, start + share[:, None] * along, normal, offsets)
    falls = _falls(light.reshape(_SECTIONS, _PER_SECTION, len(offsets), 3).mean(axis=1))
    middles = share.reshape(_SECTIONS, _PER_SECTION).mean(axis=1)
    dark, pale = (
        _best_line(np.asarray((sign * falls).max(axis=2)), middles, reach=reach, bows_px=_BOWS * length)
        for sign in (1, -1)
    )
    curve, seen, step = dark if dark[1] >= _LIGHTER * pale[1] else pale
    slope = curve.deriv()
    one, other = (
        (start + end * along + curve(end) * normal, along + slope(end) * normal) for end in (0.0, 1.0)
    )
    return (one, other), seen, step


def _light(photo: NDArray[np.uint8], places: Floats, normal: Floats, offsets: Floats) -> Floats:
    """Linear light (places, offsets, 3) along normals."""
    points = (places[:, None] + offsets[None, :, None] * normal - 0.5).astype(np.float32)
    low = np.maximum(np.floor(points.min(axis=(0, 1))).astype(int) - 1, 0)
    high = np.minimum(np.ceil(points.max(axis=(0, 1))).astype(int) + 2, photo.shape[1::-1])
    if (high - low < 2).any():
        return np.zeros((*points.shape[:2], 3))
    part = photo[low[1] : high[1], low[0] : high[0]]
    at = points - low.astype(np.float32)
    seen = cv2.remap(part, at[..., 0], at[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    return np.asarray(srgb8_to_lin(np.asarray(seen, dtype=np.uint8)), dtype=np.float64)


def _falls(light: Floats) -> Floats:
    """How much darker each channel gets on the way out, at whole offsets, as a share of the paper's light."""
    level = np.median(light[:, : 2 * _BOX_PX + 2], axis=1)
    even = light / np.maximum(level[:, None], 1e-3)
    sums = np.cumsum(np.concatenate([np.zeros((len(even), 1, 3)), even], axis=1), axis=1)
    mean = (sums[:, _BOX_PX:] - sums[:, :-_BOX_PX]) / _BOX_PX
    return np.asarray(mean[:, :-_BOX_PX] - mean[:, _BOX_PX:], dtype=np.float64)


def _best_line(
    falls: Floats, middles: Floats, *, reach: int, bows_px: Floats
) -> tuple[Polynomial, float, float]:
    """The bowed line along which most sections fall, the share of them that do, and their usual step."""
    none = Polynomial([0.0])
    centre = falls.shape[1] // 2
    noise = 1.5 * float(
        np.median(np.abs(falls[:, : centre - reach + 3] - np.median(falls[:, : centre - reach + 3])))
    )
    plain = np.clip(falls / _PLAIN_STEP, -1, 1)
    ends = np.arange(-reach, reach + 1)
    starts, stops, bows = (each.ravel() for each in np.meshgrid(ends, ends, bows_px, indexing="ij"))
    at = starts[:, None] + (stops - starts)[:, None] * middles + bows[:, None] * 4 * middles * (1 - middles)
    at = np.clip(np.rint(at).astype(np.int64) + centre, 0, falls.shape[1] - 1)
    top = int(np.argmax(plain[np.arange(len(falls)), at].sum(axis=1)))
    rows = np.arange(len(falls))
    near = np.clip(at[top][:, None] + np.arange(-_NEAR_PX, _NEAR_PX + 1), 1, falls.shape[1] - 2)
    place = near[rows, falls[rows[:, None], near].argmax(axis=1)]
    before, here, after = falls[rows, place - 1], falls[rows, place], falls[rows, place + 1]
    bend = before - 2 * here + after
    peak = place - centre + np.where(bend < 0, 0.5 * (before - after) / np.where(bend < 0, bend, -1), 0.0)
    there = here > max(_LEAST_STEP, _OVER_NOISE * noise)
    good = there
    for tight in (3.0, 2.0, 1.0, 1.0):
        if good.sum() < 6:
            return none, 0.0, 0.0
        curve = Polynomial.fit(middles[good], peak[good], 2 if good.sum() > len(good) / 2 else 1)
        good = there & (np.abs(peak - curve(middles)) < tight * _ON_LINE_PX)
    return curve, float(good.mean()), float(np.median(here[good])) if good.any() else 0.0


def _crossing(first: _Line, second: _Line) -> Floats:
    (a, u), (b, v) = first, second
    across = float(u[0] * v[1] - u[1] * v[0])
    if abs(across) < 1e-9:
        return np.full(2, np.nan)
    return np.asarray(a + u * (float((b - a)[0] * v[1] - (b - a)[1] * v[0]) / across), dtype=np.float64)
