"""Pictures of more than 8 bits a channel, read with all of them.

The picture library keeps 16 bits of grey alone; of coloured pictures it hands out the upper 8. Another
decoder reads them whole, and is believed where its upper bits are those very ones, so that both saw the same
picture the same way up.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import BinaryIO

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image

from swatches.orientation import turn_upright
from swatches.spaces import Codes

__all__ = [
    "bands",
    "codes8_of",
    "deep_codes",
    "deep_heif",
    "eight_bits",
    "rows_of",
    "stored_bits",
    "twelve_bits_widened",
]

_TWELVE_BITS = 4095
_BAND_ROWS = 256
_BITS_PER_SAMPLE = 258
_CONFIGURATION = b"av1C"
_SLACK = 2
"""The two ways of making 8 bits of 10 or 12 round differently."""


def stored_bits(image: Image.Image, head: bytes) -> int:
    """Bits a channel of an opened picture, as the file says."""
    if image.format == "PNG":
        return head[24] if len(head) > 24 else 8
    if image.format == "HEIF":
        return int(image.info.get("bit_depth", 8))
    if image.format == "AVIF":
        # Source: AV1 Image File Format 1.1, and AV1 in ISOBMFF 1.2, 2.3.3: high_bitdepth and twelve_bit.
        place = head.find(_CONFIGURATION) + len(_CONFIGURATION) + 2
        flags = head[place] if _CONFIGURATION in head and place < len(head) else 0
        return 8 if not flags & 0x40 else 12 if flags & 0x20 else 10
    tags = getattr(image, "tag_v2", {})
    bits = tags.get(_BITS_PER_SAMPLE, 8)
    return int(max(bits) if isinstance(bits, tuple) else bits)


def deep_codes(file: BinaryIO, image: Image.Image, *, bits: int, turn: int) -> NDArray[np.uint16] | None:
    """All bits of a coloured picture (rows, columns, 3 or 4), 65535 being full; None where they stay hidden.

    `image` is the same file as the picture library has loaded it, and turned it (1 to 8).
    """
    file.seek(0)
    try:
        stored = cv2.imdecode(np.frombuffer(file.read(), np.uint8), cv2.IMREAD_UNCHANGED)
    except cv2.error:
        return None
    channels = len(image.getbands())
    if stored is None or stored.dtype != np.uint16 or stored.ndim != 3 or stored.shape[2] < channels:
        return None
    for band in bands(len(stored)):
        stored[band, :, :3] = stored[band, :, 2::-1]
    deep = np.asarray(stored[..., :channels], dtype=np.uint16)
    if bits < 16:
        deep = _widened(deep, most_code=(1 << bits) - 1)
    for upright in (deep, turn_upright(deep, turn)):
        if _agrees(upright, image, exactly=bits == 16):
            return np.ascontiguousarray(upright)
    return None


def deep_heif(file: BinaryIO, *, bits: int) -> NDArray[np.uint16] | None:
    """The same of the main picture of a HEIC file (1, 3 or 4 channels), from the decoder of such files."""
    import pillow_heif

    file.seek(0)
    opened = pillow_heif.open_heif(file, convert_hdr_to_8bit=False, hdr_to_16bit=False)
    if "a" in opened.mode:
        return None
    rows, columns = opened.size[::-1]
    stored = np.asarray(opened).reshape(rows, -1, len(opened.mode.split(";")[0]))
    return _widened(stored[:, :columns], most_code=(1 << bits) - 1)


def twelve_bits_widened(deep: NDArray[np.uint16]) -> tuple[NDArray[np.uint16], str]:
    """Codes of which 65535 is white, and a note where that was not so.

    Scanners with 12-bit converters store 0 to 4095 in 16 bits: where nothing is brighter than that, it
    is taken for white.
    """
    if deep.max() > _TWELVE_BITS:
        return deep, ""
    wide = _widened(deep, most_code=_TWELVE_BITS)
    return wide, "It uses at most 12 of 16 bits, so 4095 was taken for white."


def eight_bits(codes: Codes) -> NDArray[np.uint8]:
    """The nearest 8-bit codes of 16 bits, of which 65535 becomes 255; 8 bits stay as they are."""
    if codes.dtype == np.uint8:
        return np.asarray(codes, dtype=np.uint8)
    nearest = np.empty(codes.shape, np.uint8)
    for band in bands(len(codes)):
        nearest[band] = (codes[band].astype(np.uint32) + 128) // 257
    return nearest


def codes8_of(image: Image.Image) -> NDArray[np.uint8]:
    """All codes (rows, columns, channels) of a loaded picture, copied in bands to need less room."""
    codes = np.empty((image.height, image.width, len(image.getbands())), np.uint8)
    for band in bands(image.height):
        codes[band] = rows_of(image, band)
    return codes


def rows_of(image: Image.Image, band: slice) -> NDArray[np.uint8]:
    """Some rows (rows, columns, channels) of a loaded picture of 8 bits."""
    part = np.asarray(image.crop((0, band.start, image.width, min(band.stop, image.height))))
    return part.reshape(len(part), image.width, -1)


def bands(rows: int) -> Iterator[slice]:
    """All rows, some hundreds at a time, so that what is worked out on the way stays small."""
    return (slice(top, min(top + _BAND_ROWS, rows)) for top in range(0, rows, _BAND_ROWS))


def _widened(codes: NDArray[np.uint16], *, most_code: int) -> NDArray[np.uint16]:
    """The same codes with 65535 for the most."""
    table = np.rint(np.arange(most_code + 1) * (65535 / most_code)).astype(np.uint16)
    return np.take(table, codes, mode="clip")


def _agrees(deep: NDArray[np.uint16], image: Image.Image, *, exactly: bool) -> bool:
    """Whether the upper bits are the codes of a loaded picture."""
    if deep.shape != (image.height, image.width, len(image.getbands())):
        return False
    for band in bands(len(deep)):
        high8 = rows_of(image, band)
        if exactly:
            same = np.array_equal(deep[band] >> 8, high8)
        else:
            same = bool(np.abs(eight_bits(deep[band]).astype(np.int16) - high8).max() <= _SLACK)
        if not same:
            return False
    return True
