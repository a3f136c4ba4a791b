"""Copies of a tile joined to one, each brought to the same shape first where the cloth was pulled."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import ceil

import cv2
import numpy as np
from numpy.typing import NDArray

from palettes.encodings import lin_to_srgb8, luminance

__all__ = ["Copies", "join_copies", "pull_of_copy"]

_EDGE_IN = 0.15
_PAD_SHARE = 0.1
_ROUNDS_PX = (120, 240, 360)
"""Longer side of the pictures that are compared: coarse ones show great pulls, fine ones small (ours)."""
_CLOSER = 0.97
"""Of the difference between copies and tile, the share left at most, or they stay as they lay (ours)."""
_LEAST_PART = 1e-4
"""Share of a copy that has to be seen for it to count (ours)."""
_SMOOTH_SHARE = 0.04
"""Of the tile: pull changes slowly; what seems to change faster is thread and noise (ours)."""
_MOST_PULL_SHARE = 0.05
_LEAST_SEEN = 0.25

Map = NDArray[np.float32]


@dataclass(frozen=True, slots=True, eq=False)
class Copies:
    """Where the same piece of print is seen in a photograph, and how its copies are joined."""

    cloth_lin: Map
    sides_in: NDArray[np.float64]
    """Sides (2, 2) of one copy on the cloth."""
    starts_in: NDArray[np.float64]
    """Where each begins (n, 2)."""
    size_px: tuple[int, int]
    """Width and height of the tile they become."""
    ppi: float
    """Of the photograph."""
    whole: bool
    """Whether each is seen whole: then their median, which drops lint and noise, is the tile, else a mean."""

    def sample(
        self, picture: Map, start_in: NDArray[np.float64], *, pull: Map | None = None, pad_px: int = 0,
        outside: float | None = None,
    ) -> Map:  # fmt: skip
        """One copy, sampled from a picture of the cloth along its own grain, and `pad_px` pixels round it."""
        wide, high = self.size_px
        step = np.array([self.sides_in[0] / wide, self.sides_in[1] / high]).T * self.ppi
        first = np.asarray(start_in) * self.ppi + step @ np.array([0.5 - pad_px, 0.5 - pad_px]) - 0.5
        border = cv2.BORDER_REPLICATE if outside is None else cv2.BORDER_CONSTANT
        if pull is None:
            made = cv2.warpAffine(
                picture,
                np.column_stack([step, first]),
                (wide + 2 * pad_px, high + 2 * pad_px),
                flags=cv2.INTER_CUBIC | cv2.WARP_INVERSE_MAP,
                borderMode=border,
                borderValue=outside or 0.0,
            )
            return np.asarray(made, dtype=np.float32)
        x, y = np.meshgrid(np.arange(wide, dtype=np.float32), np.arange(high, dtype=np.float32))
        x, y = x + pull[..., 0], y + pull[..., 1]
        across = (step[0, 0] * x + step[0, 1] * y + first[0]).astype(np.float32)
        down = (step[1, 0] * x + step[1, 1] * y + first[1]).astype(np.float32)
        made = cv2.remap(
            picture, across, down, cv2.INTER_CUBIC, borderMode=border, borderValue=outside or 0.0
        )
        return np.asarray(made, dtype=np.float32)

    def seen(self, fading: Map | None, start_in: NDArray[np.float64], *, pad_px: int = 0) -> Map:
        """How much of one copy is seen, 0 to 1; all of it where copies are whole."""
        if fading is None:
            return np.ones((self.size_px[1] + 2 * pad_px, self.size_px[0] + 2 * pad_px), np.float32)
        return self.sample(fading, start_in, pad_px=pad_px, outside=0.0)

    def fading(self) -> Map:
        """How much each pixel of the photograph counts: smoothly less towards its edges."""
        edge = max(3, ceil(_EDGE_IN * self.ppi))

        def fade(count: int) -> Map:
            far = np.minimum(np.arange(count) + 0.5, count - np.arange(count) - 0.5) / edge
            ramp = np.clip(far, 0, 1)
            return np.asarray(ramp * ramp * (3 - 2 * ramp) + 1e-5, dtype=np.float32)

        rows, columns = self.cloth_lin.shape[:2]
        return np.outer(fade(rows), fade(columns)).astype(np.float32)


def join_copies(copies: Copies) -> tuple[Map, bool]:
    """The tile, and whether its copies were brought to one shape; not where they agree no better for it.

    Seamless by construction: where one copy ends the next goes on, and each fades out before the photograph
    does, or is seen whole.
    """
    fading = None if copies.whole else copies.fading()
    pad = max(8, round(_PAD_SHARE * max(copies.size_px)))
    parts = np.array([float(copies.seen(fading, start).mean()) for start in copies.starts_in])
    copies = replace(copies, starts_in=copies.starts_in[parts >= min(_LEAST_PART, parts.max())])
    tile, apart = _joined(copies, fading, [None] * len(copies.starts_in))
    pulled = False
    for longer_px in _ROUNDS_PX:
        pulls = [
            _pull(copies, fading, tile, start, pad_px=pad, longer_px=longer_px) for start in copies.starts_in
        ]
        better, now_apart = _joined(copies, fading, pulls)
        if now_apart > _CLOSER * apart:
            break
        tile, apart, pulled = better, now_apart, True
    return tile, pulled


def _pull(
    copies: Copies, fading: Map | None, tile: Map, start: NDArray[np.float64], *, pad_px: int, longer_px: int
) -> Map:
    light = copies.sample(copies.cloth_lin, start, pad_px=pad_px)
    seen = copies.seen(fading, start, pad_px=pad_px)
    return pull_of_copy(tile, light, seen, pad_px=pad_px, longer_px=longer_px)


def _joined(copies: Copies, fading: Map | None, pulls: Sequence[Map | None]) -> tuple[Map, float]:
    """The tile, and the mean difference of the copies from it."""
    wide, high = copies.size_px
    if fading is None:
        stack = np.empty((len(pulls), high, wide, 3), np.float32)
        for i, (start, pull) in enumerate(zip(copies.starts_in, pulls, strict=True)):
            stack[i] = copies.sample(copies.cloth_lin, start, pull=pull)
        tile = np.empty((high, wide, 3), np.float32)
        apart = 0.0
        band = max(1, 2_000_000 // (stack[:, 0].size or 1))
        for top in range(0, high, band):
            part = slice(top, top + band)
            tile[part] = np.median(stack[:, part], axis=0)
            apart += float(np.abs(stack[:, part] - tile[part]).sum(dtype=np.float64))
        return np.clip(tile, 0, None), apart / stack.size
    total = np.zeros((high, wide, 3), np.float32)
    squares = np.zeros((high, wide, 3), np.float32)
    weights = np.zeros((high, wide, 1), np.float32)
    for start, pull in zip(copies.starts_in, pulls, strict=True):
        weight = np.clip(copies.sample(fading, start, pull=pull, outside=0.0), 0, None)[..., None]
        if weight.max() <= 0:
            continue
        copy = copies.sample(copies.cloth_lin, start, pull=pull)
        total += copy * weight
        squares += copy * copy * weight
        weights += weight
    mean = total / np.maximum(weights, 1e-6)
    varied = np.clip(squares / np.maximum(weights, 1e-6) - mean * mean, 0, None)
    return np.clip(mean, 0, None), float(np.sqrt(varied).mean(dtype=np.float64))


def pull_of_copy(tile_lin: Map, copy_lin: Map, seen: Map, *, pad_px: int, longer_px: int = 360) -> Map:
    """How far the cloth of one copy lies off where the tile has it, in pixels x and y (rows, columns, 2).

    The tile (rows, columns, 3) wraps; the copy and what is seen of it (rows, columns), 0 to 1, reach
    `pad_px` beyond it on every side. They are compared at `longer_px` on the longer side.
    Source: Kroeger, Timofte, Dai and Van Gool (2016), Fast Optical Flow using Dense Inverse Search; its
    result is smoothed over a part of the tile.
    """
    padded = cv2.copyMakeBorder(tile_lin, pad_px, pad_px, pad_px, pad_px, cv2.BORDER_WRAP)
    rows, columns = padded.shape[:2]
    share = min(1.0, longer_px / max(rows, columns))
    size = (max(16, round(columns * share)), max(16, round(rows * share)))
    there = cv2.resize(seen, size, interpolation=cv2.INTER_AREA) > _LEAST_SEEN
    expected = _grey(np.asarray(padded, dtype=np.float32), size)
    picture = np.ascontiguousarray(np.where(there, _grey(copy_lin, size), expected))
    flow = cv2.DISOpticalFlow.create(cv2.DISOPTICAL_FLOW_PRESET_MEDIUM).calc(
        expected, picture, np.zeros((size[1], size[0], 2), np.float32)
    )
    most = _MOST_PULL_SHARE * max(size)
    sure = there.astype(np.float32) + np.float32(1e-3)
    sigma = _SMOOTH_SHARE * max(size)
    summed = cv2.GaussianBlur(np.clip(flow, -most, most) * sure[..., None], (0, 0), sigma)
    smooth = (
        np.asarray(summed, dtype=np.float32) / np.asarray(cv2.GaussianBlur(sure, (0, 0), sigma))[..., None]
    )
    # Exactly the tile's own pixels: copies beside each other must go on without a step.
    across, down = size[0] / columns, size[1] / rows
    to_grid = np.array([[across, 0, (pad_px + 0.5) * across - 0.5], [0, down, (pad_px + 0.5) * down - 0.5]])
    flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    inner = cv2.warpAffine(
        smooth, to_grid, tile_lin.shape[1::-1], flags=flags, borderMode=cv2.BORDER_REPLICATE
    )
    return np.asarray(inner / (across, down), dtype=np.float32)


def _grey(light: Map, size: tuple[int, int]) -> NDArray[np.uint8]:
    small = cv2.resize(light, size, interpolation=cv2.INTER_AREA)
    return lin_to_srgb8(np.clip(luminance(np.asarray(small, dtype=np.float32)), 0, 1))
