"""Tiles as bytes that keep every pixel, and small pictures of them."""

from __future__ import annotations

import io

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from swatches.opening import MOST_PIXELS
from swatches.resampling import shrink

__all__ = ["bytes_to_tile", "thumbnail", "tile_to_bytes"]

_THUMB_PX = 96
# Photographs shrink by little at any level; the lowest is several times faster.
_LEVEL = 1


def tile_to_bytes(tile_srgb8: NDArray[np.uint8]) -> bytes:
    """The tile (H, W, 3) as PNG."""
    coded = io.BytesIO()
    Image.fromarray(tile_srgb8).save(coded, "PNG", compress_level=_LEVEL)
    return coded.getvalue()


def bytes_to_tile(coded: bytes) -> NDArray[np.uint8] | None:
    """The tile again, read-only, bit for bit; None when the bytes are not those of a tile."""
    try:
        with Image.open(io.BytesIO(coded), formats=("PNG",)) as image:
            if image.mode != "RGB" or image.width * image.height > MOST_PIXELS:
                return None
            tile = np.array(image)
    except Exception:  # decoders raise almost anything at broken bytes
        return None
    tile.flags.writeable = False
    return tile


def thumbnail(tile_srgb8: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """The whole tile at no more than 96 pixels a side, averaged in linear light."""
    factor = min(1.0, _THUMB_PX / max(tile_srgb8.shape[:2]))
    return shrink(tile_srgb8, factor_x=factor, factor_y=factor)
