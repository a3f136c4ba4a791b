"""Cloth made ready for one output resolution: averaged in linear light, a little denser than the output."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from palettes.encodings import lin16_of_srgb8
from swatches.swatch import Swatch

__all__ = ["Tile", "prefilter"]

_MOST_TEXELS = 1 << 24
"""Denser tiles than 128 MB keep the photograph's own density."""

_SHARPENED = (0.015, 0.0075, 0.0)
"""How much the mean of two texels is sharpened for what interpolation between texels will blur: the first,
measured on prints lying at any place and angle, is 1 dB nearer to the true area average than none."""

_LIGHTER = 0.0005
"""Of the mean of a cloth, to the power of 2/3: a shift of 0.02 L*."""
_WHITE_16 = 65535.0

_PAD = 2
"""Texels repeated beyond the far border, for interpolation across it."""


@dataclass(frozen=True, slots=True, eq=False)
class Tile:
    """A swatch at working density. Texel coordinates count from the centre of texel (0, 0)."""

    lin16: NDArray[np.uint16]
    """(height_px + pad, width_px + pad, 4): linear light times 65535; the fourth channel is unused."""
    width_px: int
    """The period when the cloth repeats, else the extent of the photograph."""
    height_px: int
    x_per_in: float
    """Texels per inch, exact: the tile's size is rounded to whole texels and this makes up for it."""
    y_per_in: float
    offset_px: float
    """Texels from the tile's corner to the centre of texel (0, 0)."""
    repeats: bool


def prefilter(swatch: Swatch, *, ppi: float) -> Tile:
    """The swatch averaged over one output pixel around every half output pixel, in linear light.

    Denser output than the photograph keeps the photograph's own pixels. Averages run across the border
    of a repeating tile.
    """
    native = np.asarray(cv2.LUT(swatch.tile_srgb8, lin16_of_srgb8()[None]), np.uint16)
    height, width = native.shape[:2]
    dense = max(1, round(swatch.width_in * 2 * ppi)), max(1, round(swatch.height_in * 2 * ppi))
    if ppi <= swatch.ppi and dense[0] * dense[1] <= _MOST_TEXELS:
        width, height = dense
        # Whole-tile sizes, so that the border stays a border; the true ratio is kept in x_per_in.
        fewer = np.asarray(cv2.resize(native, (width, height), interpolation=cv2.INTER_AREA), np.uint16)
        texels, offset = _mean_of_two(fewer, repeats=swatch.repeats), 1.0
    else:
        texels, offset = _soften(native, over_px=swatch.ppi / ppi, repeats=swatch.repeats), 0.5
    border = cv2.BORDER_WRAP if swatch.repeats else cv2.BORDER_REPLICATE
    padded = cv2.copyMakeBorder(texels, 0, _PAD, 0, _PAD, border)
    lin16 = np.asarray(cv2.cvtColor(padded, cv2.COLOR_RGB2RGBA), np.uint16)
    lin16.flags.writeable = False
    return Tile(
        lin16=lin16,
        width_px=width,
        height_px=height,
        x_per_in=width / swatch.width_in,
        y_per_in=height / swatch.height_in,
        offset_px=offset,
        repeats=swatch.repeats,
    )


def _mean_of_two(texels: NDArray[np.uint16], *, repeats: bool) -> NDArray[np.uint16]:
    """Means of 2 x 2 neighbours: an output pixel's worth, centred on the corner between them."""
    border = cv2.BORDER_WRAP if repeats else cv2.BORDER_REPLICATE
    height, width = texels.shape[:2]
    wide = cv2.copyMakeBorder(texels, 1, 2, 1, 2, border)
    wanted = np.array(cv2.mean(texels)) / _WHITE_16
    for sharpened in _SHARPENED:
        taps = np.array([-sharpened, 0.5 + sharpened, 0.5 + sharpened, -sharpened])
        means = cv2.sepFilter2D(wide, -1, taps, taps, anchor=(1, 1))[1 : height + 1, 1 : width + 1]
        # Beside black, sharpening would fall below it; cut off there, the cloth would grow lighter.
        shift = np.abs(np.array(cv2.mean(means)) / _WHITE_16 - wanted)
        if (shift <= _LIGHTER * np.maximum(wanted, 1e-3) ** (2 / 3)).all():
            break
    return np.ascontiguousarray(means)


def _soften(texels: NDArray[np.uint16], *, over_px: float, repeats: bool) -> NDArray[np.uint16]:
    """Means over `over_px` texels (1 to 2) around each texel; less than one changes nothing."""
    side = max(0.0, (over_px - 1) / 2)
    if side == 0:
        return texels
    taps = np.array([side, 1.0, side]) / (1 + 2 * side)
    border = cv2.BORDER_WRAP if repeats else cv2.BORDER_REPLICATE
    wide = cv2.copyMakeBorder(texels, 1, 1, 1, 1, border)
    return np.ascontiguousarray(cv2.sepFilter2D(wide, -1, taps, taps)[1:-1, 1:-1])
