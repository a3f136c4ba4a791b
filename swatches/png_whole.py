"""Whether a decoded PNG came from data for all of its pixels; where that ends early, the rest stays empty.

Source: PNG specification (third edition), 7 (lines and passes), 8.1 (interlacing), 10 (compression).
"""

from __future__ import annotations

import struct
import zlib
from math import ceil

from swatches.spaces import Codes

__all__ = ["is_whole_png"]

_FIRST_CHUNK = 8
_AT_ONCE = 1 << 20
_CHANNELS = {0: 1, 2: 3, 3: 1, 4: 2, 6: 4}
# First column and row, and steps across and down, of each pass.
_ONE_PASS = ((0, 0, 1, 1),)
_SEVEN_PASSES = (
    (0, 0, 8, 8),
    (4, 0, 8, 8),
    (0, 4, 4, 8),
    (2, 0, 4, 4),
    (0, 2, 2, 4),
    (1, 0, 2, 2),
    (0, 1, 1, 2),
)


def is_whole_png(coded: bytes, codes: Codes) -> bool:
    """Whether the compressed data of a PNG file holds as many pixels as its head promises.

    Only a picture whose last line is of one colour is unpacked for it once more.
    """
    if (codes[-1] != codes[-1, 0]).any():
        return True
    missing, unpacker, place = _promised(coded), zlib.decompressobj(), _FIRST_CHUNK
    while missing > 0 and place + 12 <= len(coded):
        length, kind = struct.unpack_from(">I4s", coded, place)
        packed = coded[place + 8 : place + 8 + length] if kind == b"IDAT" else b""
        while missing > 0 and packed:
            try:
                missing -= len(unpacker.decompress(packed, _AT_ONCE))
            except zlib.error:
                return False
            packed = unpacker.unconsumed_tail
        place += 12 + length
    return missing <= 0


def _promised(coded: bytes) -> int:
    """Bytes of all lines, each with one for its filter."""
    wide, high, bits, kind, _, _, interlaced = struct.unpack_from(">IIBBBBB", coded, _FIRST_CHUNK + 8)
    bits *= _CHANNELS.get(kind, 1)
    promised = 0
    for x, y, across, down in _SEVEN_PASSES if interlaced else _ONE_PASS:
        columns, rows = ceil(max(wide - x, 0) / across), ceil(max(high - y, 0) / down)
        promised += rows * (1 + ceil(columns * bits / 8)) if columns else 0
    return promised
