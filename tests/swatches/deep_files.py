"""Pictures of 16 bits made here, and the light that each of them means by colour-science."""

from __future__ import annotations

import struct
import zlib
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

Deep = NDArray[np.uint16]


def slopes(rows: int = 70, columns: int = 90) -> Deep:
    """A picture (rows, columns, 3) whose every code is another, up to full light, in soft slopes."""
    y, x = np.mgrid[0:rows, 0:columns]
    red, green = x * 65535 // (columns - 1), y * 65000 // (rows - 1) + x * 3
    blue = 65535 - (x * 300 + y * 311)
    return np.stack([red, green, blue], axis=-1).astype(np.uint16)


def cover(rows: int = 70, columns: int = 90) -> Deep:
    """A transparency (rows, columns, 1), clear at the left and solid at the right."""
    return np.broadcast_to(
        np.minimum(np.arange(columns) * 900, 65535)[None, :, None], (rows, columns, 1)
    ).astype(np.uint16)


def chunk(kind: bytes, body: bytes) -> bytes:
    return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))


def png16(
    path: Path, codes: Deep, *, chunks: bytes = b"", interlaced: bool = False, colour_type: int | None = None
) -> Path:
    """The codes (rows, columns, 1 to 4) as a PNG of 16 bits, with further chunks before its pixels."""
    rows, columns, channels = codes.shape
    kind = {1: 0, 2: 4, 3: 2, 4: 6}[channels] if colour_type is None else colour_type
    head = struct.pack(">IIBBBBB", columns, rows, 16, kind, 0, 0, int(interlaced))
    # Source: PNG specification (third edition), 8.2: first column and row, and steps, of the seven passes.
    adam7 = ((0, 0, 8, 8), (4, 0, 8, 8), (0, 4, 4, 8), (2, 0, 4, 4), (0, 2, 2, 4), (1, 0, 2, 2), (0, 1, 1, 2))
    parts = [codes[y::down, x::across] for x, y, across, down in adam7] if interlaced else [codes]
    lines = b"".join(b"\0" + line.astype(">u2").tobytes() for part in parts for line in part if part.size)
    path.write_bytes(
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", head)
        + chunks
        + chunk(b"IDAT", zlib.compress(lines))
        + chunk(b"IEND", b"")
    )
    return path


def tagged(kind: bytes, body: bytes) -> bytes:
    return kind + bytes(4) + body


def icc_profile(space: bytes, tags: dict[bytes, bytes], *, meeting: bytes = b"XYZ ") -> bytes:
    """An ICC profile of these tags. Source: ICC.1:2010, 7.2 and 7.3."""
    bodies, table, place = b"", b"", 128 + 4 + 12 * len(tags)
    for name, body in tags.items():
        padded = body + bytes(-len(body) % 4)
        table += struct.pack(">4sII", name, place + len(bodies), len(body))
        bodies += padded
    size = place + len(bodies)
    white = struct.pack(">3i", round(0.9642 * 65536), 65536, round(0.8249 * 65536))
    head = struct.pack(
        ">I4sI4s4s4s12s4s4sI",
        size,
        bytes(4),
        0x04300000,
        b"mntr",
        space,
        meeting,
        bytes(12),
        b"acsp",
        bytes(4),
        0,
    )
    head += bytes(4) + bytes(4) + bytes(8) + bytes(4) + white
    head += bytes(128 - len(head))
    return head + struct.pack(">I", len(tags)) + table + bodies
