"""The weave under a print: threads over and under, a little uneven, wrapping at the tile's edges."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from palettes.encodings import srgb8_of_lin16
from swatches.demo.canvas import PPI

__all__ = ["THREADS_PER_IN", "finish", "over", "thread_count", "weave_gain"]

THREADS_PER_IN = 75
"""Both ways, as in a good quilting cotton (ours)."""

_RELIEF = 0.04
_UNEVENNESS = 0.015
_BAND_ROWS = 32
"""So many rows at a time stay in the processor's own memory: five times as fast as the whole tile."""


def thread_count(side_px: int) -> int:
    """How many threads cross a side of the tile: whole and even, or over would meet over at the edge."""
    return 2 * round(side_px * THREADS_PER_IN / PPI / 2)


def over(height_px: int, width_px: int) -> NDArray[np.float32]:
    """How far the warp lies on top at each pixel, from -1 (weft) to 1 (warp): plain weave."""
    return np.outer(_up_and_down(height_px), _up_and_down(width_px))


def _shaded(height_px: int, width_px: int) -> NDArray[np.float32]:
    """Where threads dip, -1 to 1: half a thread aside from `over`, so that shade favours neither yarn."""
    return np.outer(_up_and_down(height_px), _up_and_down(width_px, aside=0.5))


def weave_gain(height_px: int, width_px: int, *, seed: int) -> NDArray[np.float32]:
    """What the weave does to the light of every pixel: a factor about 1, with mean 1 over the tile."""
    rng = np.random.default_rng(seed)
    warp = _threads(rng, width_px) / 2
    weft = _threads(rng, height_px)[:, None] / 2
    # Each thread's own shade where it lies on top, and the relief.
    gain: NDArray[np.float32] = over(height_px, width_px)
    gain *= warp - weft
    gain += 1 + warp + weft
    gain += np.float32(_RELIEF) * _shaded(height_px, width_px)
    gain /= gain.mean(dtype=np.float64)
    return gain


def finish(cloth_lin: NDArray[np.float32], *, seed: int) -> NDArray[np.uint8]:
    """The printed cloth as sRGB bytes, with its weave; read-only."""
    height, width, _ = cloth_lin.shape
    gain = weave_gain(height, width, seed=seed) * np.float32(65535)
    codes = srgb8_of_lin16()
    tile = np.empty((height, width, 3), np.uint8)
    for top in range(0, height, _BAND_ROWS):
        rows = slice(top, top + _BAND_ROWS)
        steps = np.minimum(cloth_lin[rows] * gain[rows, :, None] + np.float32(0.5), np.float32(65535))
        np.take(codes, steps.astype(np.uint16), out=tile[rows], mode="clip")
    tile.flags.writeable = False
    return tile


def _up_and_down(side_px: int, *, aside: float = 0.0) -> NDArray[np.float32]:
    phase = np.pi * (thread_count(side_px) * (np.arange(side_px) + 0.5) / side_px + aside)
    wave: NDArray[np.float32] = np.sqrt(2) * np.cos(phase, dtype=np.float32)
    return wave


def _threads(rng: np.random.Generator, side_px: int) -> NDArray[np.float32]:
    count = thread_count(side_px)
    shades = rng.normal(0, _UNEVENNESS, count).astype(np.float32)
    return shades[np.arange(side_px) * count // side_px]
