"""A PNG written a band of rows at a time. Source: PNG Specification, third edition (W3C, 2025)."""

from __future__ import annotations

import struct
import zlib
from collections.abc import Iterable
from pathlib import Path
from typing import BinaryIO

import numpy as np
from numpy.typing import NDArray

from preview.files import srgb_profile
from preview.writing import open_whole

__all__ = ["write_png"]

_SIGNATURE = b"\x89PNG\r\n\x1a\n"
_UP = 2
"""Filter type 2: each byte less the one above it."""
_PIECE = 1 << 18
_LEVEL = 4


def write_png(
    path: Path, bands: Iterable[NDArray[np.uint8]], *, width_px: int, height_px: int, ppi: float
) -> None:
    """Writes bands of rows, from the top, as one PNG with sRGB profile and resolution.

    Raises: OutputError if it cannot be written; whatever drawing a band raises, and then nothing is left.
    """
    with open_whole(path) as file:
        file.write(_SIGNATURE)
        # Eight bits, colour type 2 (RGB), deflate, no interlace.
        _chunk(file, b"IHDR", struct.pack(">IIBBBBB", width_px, height_px, 8, 2, 0, 0, 0))
        _chunk(file, b"iCCP", b"sRGB\0\0" + zlib.compress(srgb_profile()))
        per_metre = round(ppi / 0.0254)
        _chunk(file, b"pHYs", struct.pack(">IIB", per_metre, per_metre, 1))
        _write_rows(file, bands, width_px=width_px, height_px=height_px)
        _chunk(file, b"IEND", b"")


def _write_rows(file: BinaryIO, bands: Iterable[NDArray[np.uint8]], *, width_px: int, height_px: int) -> None:
    packer, waiting, rows = zlib.compressobj(_LEVEL), bytearray(), 0
    above = np.zeros((1, 3 * width_px), np.uint8)
    for band in bands:
        flat = band.reshape(len(band), 3 * width_px)
        filtered = np.empty((len(band), 1 + 3 * width_px), np.uint8)
        filtered[:, 0] = _UP
        filtered[:1, 1:] = flat[:1] - above
        filtered[1:, 1:] = flat[1:] - flat[:-1]
        above = flat[-1:].copy()
        rows += len(band)
        waiting += packer.compress(filtered.data)
        while len(waiting) >= _PIECE:
            _chunk(file, b"IDAT", bytes(waiting[:_PIECE]))
            del waiting[:_PIECE]
    if rows != height_px:
        raise ValueError(f"{rows} rows came, {height_px} were announced")
    _chunk(file, b"IDAT", bytes(waiting + packer.flush()))


def _chunk(file: BinaryIO, kind: bytes, body: bytes) -> None:
    file.write(struct.pack(">I", len(body)) + kind + body)
    file.write(struct.pack(">I", zlib.crc32(body, zlib.crc32(kind))))
