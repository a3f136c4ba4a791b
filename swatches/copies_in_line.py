"""Copies of a tile joined to one, each brought to the same shape first where the cloth was pulled."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import cv2
import numpy as np
from numpy.typing import NDArray

from palettes.encodings import lin_to_srgb8, luminance
from swatches.copies import Copies, joined

__all__ = ["join_copies", "pull_of_copy"]

_PAD_SHARE = 0.1
_ROUNDS_PX = (120, 240, 360)
"""Longer side of the pictures that are compared: coarse ones show great pulls, fine ones small (ours)."""
_CLOSER = 0.97
"""Of the difference between copies and tile, the share left at most, or they stay as they lay (ours)."""
_LEAST_PART = 1e-4
"""Share of a copy that has to be seen for it to count (ours)."""
_LOOKED_AT_PX = 600
"""Longer side, at the least, of the pictures from which those are made (ours)."""
_SMOOTH_SHARE = 0.04
"""Of the tile: pull changes slowly; what seems to change faster is thread and noise (ours)."""
_MOST_PULL_SHARE = 0.05
_LEAST_SEEN = 0.25

Map = NDArray[np.float32]


def join_copies(copies: Copies) -> tuple[Map, bool]:
    """The tile, and whether its copies were brought to one shape; not where they agree no better for it.

    Seamless by construction: where one copy ends the next goes on, and each fades out before the photograph
    does, or is seen whole. How they lie is found in a coarser picture of a large tile, and how well they
    agree is asked of some of its pixels.
    """
    times = max(1, int((1 + 2 * _PAD_SHARE) * max(copies.size_px)) // _LOOKED_AT_PX)
    small = copies.coarser(times)
    fading = None if small.whole else small.fading()
    parts = np.array([float(small.seen(fading, start).mean()) for start in small.starts_in])
    starts = copies.starts_in[parts >= min(_LEAST_PART, parts.max())]
    copies, small = replace(copies, starts_in=starts), replace(small, starts_in=starts)
    pad = max(8, round(_PAD_SHARE * max(small.size_px)))
    looked_at = [
        (small.sample(small.cloth_lin, start, pad_px=pad), small.seen(fading, start, pad_px=pad))
        for start in starts
    ]
    pulls: Sequence[Map | None] = [None] * len(starts)
    tile, apart = joined(small, pulls)
    if times > 1:
        apart = joined(copies, pulls, every=times)[1]
    pulled = False
    for longer_px in _ROUNDS_PX:
        tried = _pulls(tile, looked_at, pad_px=pad, longer_px=longer_px)
        better, now_apart = joined(small, tried)
        if times > 1:
            now_apart = joined(copies, tried, every=times)[1]
        if now_apart > _CLOSER * apart:
            break
        tile, apart, pulls, pulled = better, now_apart, tried, True
    return (joined(copies, pulls)[0] if times > 1 else tile), pulled


def pull_of_copy(tile_lin: Map, copy_lin: Map, seen: Map, *, pad_px: int, longer_px: int = 360) -> Map:
    """How far the cloth of one copy lies off where the tile has it, in pixels x and y (rows, columns, 2).

    The tile (rows, columns, 3) wraps; the copy and what is seen of it (rows, columns), 0 to 1, reach
    `pad_px` beyond it on every side. They are compared at `longer_px` on the longer side.
    Source: Kroeger, Timofte, Dai and Van Gool (2016), Fast Optical Flow using Dense Inverse Search; its
    result is smoothed over a part of the tile.
    """
    return _pulls(tile_lin, [(copy_lin, seen)], pad_px=pad_px, longer_px=longer_px)[0]


def _pulls(tile_lin: Map, copies: Sequence[tuple[Map, Map]], *, pad_px: int, longer_px: int) -> list[Map]:
    padded = cv2.copyMakeBorder(tile_lin, pad_px, pad_px, pad_px, pad_px, cv2.BORDER_WRAP)
    rows, columns = padded.shape[:2]
    share = min(1.0, longer_px / max(rows, columns))
    size = (max(16, round(columns * share)), max(16, round(rows * share)))
    expected = _grey(np.asarray(padded, dtype=np.float32), size)
    # Exactly the tile's own pixels: copies beside each other must go on without a step.
    across, down = size[0] / columns, size[1] / rows
    to_grid = np.array([[across, 0, (pad_px + 0.5) * across - 0.5], [0, down, (pad_px + 0.5) * down - 0.5]])
    flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    pulls = []
    for light, seen in copies:
        there = cv2.resize(seen, size, interpolation=cv2.INTER_AREA) > _LEAST_SEEN
        smooth = _smooth_flow(expected, _grey(light, size), there)
        inner = cv2.warpAffine(
            smooth, to_grid, tile_lin.shape[1::-1], flags=flags, borderMode=cv2.BORDER_REPLICATE
        )
        pulls.append(np.asarray(inner / np.array((across, down), np.float32), dtype=np.float32))
    return pulls


def _smooth_flow(expected: NDArray[np.uint8], seen: NDArray[np.uint8], there: NDArray[np.bool_]) -> Map:
    picture = np.ascontiguousarray(np.where(there, seen, expected))
    flow = cv2.DISOpticalFlow.create(cv2.DISOPTICAL_FLOW_PRESET_MEDIUM).calc(
        expected, picture, np.zeros((*there.shape, 2), np.float32)
    )
    longer = max(there.shape)
    most, sigma = _MOST_PULL_SHARE * longer, _SMOOTH_SHARE * longer
    sure = there.astype(np.float32) + np.float32(1e-3)
    summed = np.asarray(cv2.GaussianBlur(np.clip(flow, -most, most) * sure[..., None], (0, 0), sigma))
    return np.asarray(summed / np.asarray(cv2.GaussianBlur(sure, (0, 0), sigma))[..., None], np.float32)


def _grey(light: Map, size: tuple[int, int]) -> NDArray[np.uint8]:
    small = cv2.resize(light, size, interpolation=cv2.INTER_AREA)
    return lin_to_srgb8(np.clip(luminance(np.asarray(small, dtype=np.float32)), 0, 1))
