"""See-through parts of a picture laid on white, so that hidden pixels never show."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from palettes.encodings import lin_to_srgb8, srgb8_to_lin

__all__ = ["lay_on_white"]

_BAND_ROWS = 256


def lay_on_white(pixels_srgb8: NDArray[np.uint8], alpha8: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """The picture (H, W, 3) blended onto white in linear light; alpha (H, W) is 255 where it is solid."""
    flat = np.empty_like(pixels_srgb8)
    for top in range(0, len(flat), _BAND_ROWS):
        band = slice(top, top + _BAND_ROWS)
        cover = (alpha8[band] / np.float32(255)).astype(np.float32)[..., None]
        flat[band] = lin_to_srgb8(srgb8_to_lin(pixels_srgb8[band]) * cover + (1 - cover))
    return flat
