"""Copies of a tile joined to one, each brought to the same shape first where the cloth was pulled."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import cv2
import numpy as np
from numpy.typing import NDArray

from palettes.encodings import lin_to_srgb8, luminance
from swatches.copies import Copies, Pull, joined

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
Grey = NDArray[np.uint8]


def join_copies(copies: Copies) -> tuple[Map, Copies, Sequence[Pull | None]]:
    """The tile, the copies that count, and how each is pulled; not where they agree no better for it.

    Seamless by construction: where one copy ends the next goes on, and each fades out before the photograph
    does, or is seen whole. How they lie is found in a coarser picture of a large tile, and how well they
    agree is asked of some of its pixels.
    """
    times = max(1, int((1 + 2 * _PAD_SHARE) * max(copies.size_px)) // _LOOKED_AT_PX)
    small = copies.coarser(times)
    fading = None if small.whole else small.fading()
    starts = copies.starts_in
    if fading is not None:
        parts = np.array([float(small.sample(fading, start, outside=0.0).mean()) for start in starts])
        starts = starts[parts >= min(_LEAST_PART, parts.max())]
    copies, small = replace(copies, starts_in=starts), replace(small, starts_in=starts)
    pad = max(8, round(_PAD_SHARE * max(small.size_px)))
    value = _value(small.cloth_lin)
    looked_at = []
    for start in starts:
        seen = None if fading is None else small.sample(fading, start, pad_px=pad, outside=0.0)
        print_there = small.sample(value, start, pad_px=pad)
        looked_at.append([_look(print_there, seen, longer_px) for longer_px in _ROUNDS_PX])
    pulls: Sequence[Pull | None] = [None] * len(starts)
    tile, apart = joined(small, pulls)
    if times > 1:
        apart = joined(copies, pulls, every=times)[1]
    for step, longer_px in enumerate(_ROUNDS_PX):
        looks = [look[step] for look in looked_at]
        tried = _pulls(_value(tile), looks, pad_px=pad, longer_px=longer_px)
        better, now_apart = joined(small, tried)
        if times > 1:
            now_apart = joined(copies, tried, every=times)[1]
        if now_apart > _CLOSER * apart:
            break
        tile, apart, pulls = better, now_apart, tried
    return (joined(copies, pulls)[0] if times > 1 else tile), copies, pulls


def pull_of_copy(tile_lin: Map, copy_lin: Map, seen: Map, *, pad_px: int, longer_px: int = 360) -> Map:
    """How far the cloth of one copy lies off where the tile has it, in pixels x and y (rows, columns, 2).

    The tile (rows, columns, 3) wraps; the copy and what is seen of it (rows, columns), 0 to 1, reach
    `pad_px` beyond it on every side. They are compared at `longer_px` on the longer side.
    Source: Kroeger, Timofte, Dai and Van Gool (2016), Fast Optical Flow using Dense Inverse Search; its
    result is smoothed over a part of the tile.
    """
    look = _look(_value(copy_lin), seen, longer_px)
    pull = _pulls(_value(tile_lin), [look], pad_px=pad_px, longer_px=longer_px)[0]
    rows, columns = tile_lin.shape[:2]
    size = (columns, rows)
    return pull.through(np.eye(2), size).at((0, 0), size, every=1, tile_px=size)


def _look(value: Map, seen: Map | None, longer_px: int) -> tuple[Grey, NDArray[np.bool_] | None]:
    """One copy as small as it is compared, and where it is seen; None for everywhere."""
    size = _size(value, longer_px)
    there = None if seen is None else cv2.resize(seen, size, interpolation=cv2.INTER_AREA) > _LEAST_SEEN
    return _grey(value, size), there


def _pulls(
    tile_value: Map,
    looks: Sequence[tuple[Grey, NDArray[np.bool_] | None]],
    *,
    pad_px: int,
    longer_px: int,
) -> list[Pull]:
    padded = np.asarray(
        cv2.copyMakeBorder(tile_value, pad_px, pad_px, pad_px, pad_px, cv2.BORDER_WRAP), dtype=np.float32
    )
    size = _size(padded, longer_px)
    expected = _grey(padded, size)
    across, down = size[0] / padded.shape[1], size[1] / padded.shape[0]
    first, sides = (
        (pad_px * across, pad_px * down),
        (tile_value.shape[1] * across, tile_value.shape[0] * down),
    )
    return [Pull(_smooth_flow(expected, grey, there), first, sides) for grey, there in looks]


def _smooth_flow(expected: Grey, seen: Grey, there: NDArray[np.bool_] | None) -> Map:
    picture = seen if there is None else np.ascontiguousarray(np.where(there, seen, expected))
    flow = cv2.DISOpticalFlow.create(cv2.DISOPTICAL_FLOW_PRESET_MEDIUM).calc(
        expected, picture, np.zeros((*expected.shape, 2), np.float32)
    )
    longer = max(expected.shape)
    most, sigma = _MOST_PULL_SHARE * longer, _SMOOTH_SHARE * longer
    bounded = np.clip(flow, -most, most)
    if there is None:
        return np.asarray(cv2.GaussianBlur(bounded, (0, 0), sigma), dtype=np.float32)
    sure = there.astype(np.float32) + np.float32(1e-3)
    summed = np.asarray(cv2.GaussianBlur(bounded * sure[..., None], (0, 0), sigma))
    return np.asarray(summed / np.asarray(cv2.GaussianBlur(sure, (0, 0), sigma))[..., None], np.float32)


def _size(padded: Map, longer_px: int) -> tuple[int, int]:
    rows, columns = padded.shape[:2]
    share = min(1.0, longer_px / max(rows, columns))
    return max(16, round(columns * share)), max(16, round(rows * share))


def _value(light: Map) -> Map:
    return np.asarray(luminance(np.ascontiguousarray(light)), dtype=np.float32)


def _grey(value: Map, size: tuple[int, int]) -> Grey:
    return lin_to_srgb8(cv2.resize(value, size, interpolation=cv2.INTER_AREA))
