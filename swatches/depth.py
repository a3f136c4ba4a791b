"""Pictures of more than 8 bits, brought to 8 by rounding instead of cutting off or clipping."""

from __future__ import annotations

from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image

from palettes.encodings import decode

__all__ = ["eight_bits_of_grey", "eight_bits_of_rgb", "has_deep_rgb", "light_of_deep"]

_TWELVE_BITS = 4095
_BAND_ROWS = 256
_BITS_PER_SAMPLE = 258


def has_deep_rgb(image: Image.Image, head: bytes) -> bool:
    """Whether a picture that the decoder calls 8-bit RGB is stored with 16 bits a channel."""
    if image.mode not in ("RGB", "RGBA"):
        return False
    if image.format == "PNG":
        return len(head) > 24 and head[24] == 16
    tags = getattr(image, "tag_v2", None)
    bits = tags.get(_BITS_PER_SAMPLE) if tags is not None else None
    return isinstance(bits, tuple) and len(bits) >= 3 and set(bits) == {16}


def eight_bits_of_rgb(path: Path, image: Image.Image) -> tuple[Image.Image, str]:
    """A loaded 16-bit RGB or RGBA picture rounded to 8 bits, and a note.

    The decoder has kept the high bytes alone. A second decoder reads all 16 bits; its answer is used only
    where its high bytes are those very bytes, so that both saw the same picture the same way up.
    """
    refused = "Only the upper 8 of its 16 bits a channel could be read."
    deep = cv2.imdecode(np.fromfile(path, dtype=np.uint8), cv2.IMREAD_UNCHANGED)
    channels = len(image.getbands())
    if deep is None or deep.dtype != np.uint16 or deep.shape != (image.height, image.width, channels):
        return image, refused
    high8 = np.asarray(image)
    rounded8 = np.empty_like(high8)
    order = [2, 1, 0, 3][:channels]
    for top in range(0, image.height, _BAND_ROWS):
        band = slice(top, top + _BAND_ROWS)
        deep16 = np.asarray(deep[band], dtype=np.uint16)[..., order]
        if not np.array_equal(deep16 >> 8, high8[band]):
            return image, refused
        rounded8[band] = _rounded(deep16)
    return _like(image, rounded8), "16 bits a channel were rounded to 8."


def light_of_deep(path: Path, high8: NDArray[np.uint8]) -> NDArray[np.uint16] | None:
    """All 16 bits a channel of an sRGB picture as linear light, 0 to 65535; None where they cannot be read.

    `high8`: the picture rounded to 8 bits, to make sure that both are the same one.
    """
    deep = cv2.imdecode(np.fromfile(path, dtype=np.uint8), cv2.IMREAD_UNCHANGED)
    if deep is None or deep.dtype != np.uint16 or deep.shape != high8.shape:
        return None
    table = np.rint(decode(np.arange(65536) / 65535) * 65535).astype(np.uint16)
    light16 = np.empty(deep.shape, np.uint16)
    for top in range(0, len(deep), _BAND_ROWS):
        band = slice(top, top + _BAND_ROWS)
        deep16 = np.asarray(deep[band], dtype=np.uint16)[..., ::-1]
        if not np.array_equal(_rounded(deep16), high8[band]):
            return None
        np.take(table, deep16, out=light16[band])
    return light16


def eight_bits_of_grey(image: Image.Image) -> tuple[Image.Image, str]:
    """A loaded 16-bit grey picture as 8-bit grey, and a note.

    Scanners with 12-bit converters store 0 to 4095 in 16 bits: where nothing is brighter than that, it
    is taken for white.
    """
    deep16 = np.asarray(image).astype(np.uint16)
    white = _TWELVE_BITS if deep16.max() <= _TWELVE_BITS else 65535
    grey8 = np.empty(deep16.shape, np.uint8)
    for top in range(0, len(grey8), _BAND_ROWS):
        grey8[top : top + _BAND_ROWS] = _rounded(deep16[top : top + _BAND_ROWS], white=white)
    if white == _TWELVE_BITS:
        return _like(image, grey8), "Its grey uses at most 12 of 16 bits, so 4095 was taken for white."
    return _like(image, grey8), "16 bits of grey were rounded to 8."


def _rounded(deep16: NDArray[np.uint16], *, white: int = 65535) -> NDArray[np.uint8]:
    """The nearest 8-bit codes: white becomes 255."""
    return ((deep16.astype(np.uint32) * 255 + white // 2) // white).astype(np.uint8)


def _like(image: Image.Image, pixels8: NDArray[np.uint8]) -> Image.Image:
    made = Image.fromarray(pixels8)
    made.info, made.format = dict(image.info), image.format
    return made
