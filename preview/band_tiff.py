"""A TIFF written a band of rows at a time, one strip each. Source: TIFF Revision 6.0 (Adobe, 1992)."""

from __future__ import annotations

import struct
import zlib
from collections.abc import Iterable
from fractions import Fraction
from pathlib import Path
from typing import BinaryIO

import numpy as np
from numpy.typing import NDArray

from preview.files import srgb_profile
from preview.writing import OutputError, open_whole

__all__ = ["write_tiff"]

_MOST_BYTES = 2**32 - 2**20
"""Places in a TIFF are 32 bits."""
_SHORT, _LONG, _RATIONAL, _UNDEFINED = 3, 4, 5, 7
_LEVEL = 4


def write_tiff(
    path: Path, bands: Iterable[NDArray[np.uint8]], *, width_px: int, height_px: int, ppi: float
) -> None:
    """Writes bands of rows, all but the last of the same height, as one TIFF with profile and resolution.

    Raises: OutputError if it cannot be written or would outgrow a TIFF; whatever drawing a band raises.
    """
    with open_whole(path) as file:
        # The header's place of the directory is filled in at the end.
        file.write(b"II*\0" + bytes(4))
        strips: list[tuple[int, int]] = []
        rows, tall = 0, 0
        for band in bands:
            tall = tall or len(band)
            packed = zlib.compress(np.ascontiguousarray(band).data, _LEVEL)
            strips.append((file.tell(), len(packed)))
            file.write(packed)
            rows += len(band)
            if file.tell() > _MOST_BYTES:
                raise OutputError(path, "outgrew what a TIFF can hold", mend="Write a PNG instead.")
        if rows != height_px:
            raise ValueError(f"{rows} rows came, {height_px} were announced")
        _write_directory(file, strips, size=(width_px, height_px), tall=tall, ppi=ppi)


def _write_directory(
    file: BinaryIO, strips: list[tuple[int, int]], *, size: tuple[int, int], tall: int, ppi: float
) -> None:
    exact = Fraction(ppi).limit_denominator(10_000)
    resolution = struct.pack("<II", exact.numerator, exact.denominator)
    icc = srgb_profile()
    offsets, counts = (struct.pack(f"<{len(strips)}I", *column) for column in zip(*strips, strict=True))
    entries: list[tuple[int, int, int, bytes]] = [
        (256, _LONG, 1, struct.pack("<I", size[0])),
        (257, _LONG, 1, struct.pack("<I", size[1])),
        (258, _SHORT, 3, struct.pack("<3H", 8, 8, 8)),
        # Compression 8: deflate (Adobe's Photoshop TIFF Technical Notes, 2002).
        (259, _SHORT, 1, struct.pack("<H", 8)),
        (262, _SHORT, 1, struct.pack("<H", 2)),
        (273, _LONG, len(strips), offsets),
        (277, _SHORT, 1, struct.pack("<H", 3)),
        (278, _LONG, 1, struct.pack("<I", tall)),
        (279, _LONG, len(strips), counts),
        (282, _RATIONAL, 1, resolution),
        (283, _RATIONAL, 1, resolution),
        (296, _SHORT, 1, struct.pack("<H", 2)),
        (34675, _UNDEFINED, len(icc), icc),
    ]
    _pad(file)
    places = []
    for *_, body in entries:
        places.append(file.tell())
        if len(body) > 4:
            file.write(body)
            _pad(file)
    start = file.tell()
    file.write(struct.pack("<H", len(entries)))
    for (tag, kind, count, body), place in zip(entries, places, strict=True):
        value = struct.pack("<I", place) if len(body) > 4 else body.ljust(4, b"\0")
        file.write(struct.pack("<HHI", tag, kind, count) + value)
    file.write(bytes(4))
    file.seek(4)
    file.write(struct.pack("<I", start))
    file.seek(0, 2)


def _pad(file: BinaryIO) -> None:
    """Values begin on even places."""
    if file.tell() % 2:
        file.write(b"\0")
