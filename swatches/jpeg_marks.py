"""What the markers of a JPEG file say, read before any pixel is decoded.

Decoders believe a header that claims a huge picture and fill what is missing with grey, which would be
measured as cloth; they also grind through thousands of empty scans. Both are seen from the markers alone.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import ceil

__all__ = ["JpegMarks", "is_jpeg", "read_jpeg_marks"]

_START, _END, _SCAN, _ADOBE = 0xD8, 0xD9, 0xDA, 0xEE
_FRAMES = frozenset(range(0xC0, 0xD0)) - {0xC4, 0xC8, 0xCC}
_SEQUENTIAL, _PROGRESSIVE = (0xC0, 0xC1), (0xC2,)
_BARE = frozenset({0x01, *range(0xD0, 0xD9)})
# In entropy-coded data FF 00 is a stuffed byte and FF D0..D7 a restart; any other marker ends the scan.
_NEXT_MARKER = re.compile(rb"\xff+[^\x00\xff\xd0-\xd7]")


@dataclass(frozen=True, slots=True)
class JpegMarks:
    """Size, scans and amount of coded data of the first picture in a JPEG file."""

    width_px: int
    height_px: int
    components: int
    scans: int
    adobe: bool
    """An Adobe marker is present: four-component pictures then usually store ink upside down."""
    coded_bytes: int
    least_bytes: int
    """No valid file of this size and kind can hold less coded data than this (0: not known)."""


def is_jpeg(head: bytes) -> bool:
    """Whether a file that starts with these bytes is a JPEG."""
    return head[:3] == b"\xff\xd8\xff"


def read_jpeg_marks(coded: bytes) -> JpegMarks | None:
    """The markers of the first picture, or None when no frame header can be read.

    Source: ITU-T T.81 (1992), annex B.
    """
    frame: tuple[int, bytes] | None = None
    scans = coded_bytes = 0
    adobe = False
    place = 2
    while (found := _NEXT_MARKER.search(coded, place)) is not None:
        marker, place = coded[found.end() - 1], found.end()
        if marker == _END:
            break
        if marker in _BARE:
            continue
        length = int.from_bytes(coded[place : place + 2], "big")
        body = coded[place + 2 : place + length]
        place += max(length, 2)
        if marker in _FRAMES and frame is None:
            frame = (marker, body)
        elif marker == _ADOBE:
            adobe = adobe or body.startswith(b"Adobe")
        elif marker == _SCAN:
            scans += 1
            after = _NEXT_MARKER.search(coded, place)
            coded_bytes += (after.start() if after else len(coded)) - place
    if frame is None or len(frame[1]) < 6:
        return None
    return _marks(*frame, scans=scans, coded_bytes=coded_bytes, adobe=adobe)


def _marks(marker: int, body: bytes, *, scans: int, coded_bytes: int, adobe: bool) -> JpegMarks:
    height_px, width_px = int.from_bytes(body[1:3], "big"), int.from_bytes(body[3:5], "big")
    # The shortest Huffman code is one bit. A sequential block needs two codes (its first coefficient and
    # "end of block"), a progressive one at least its first coefficient.
    least_bits = 2 if marker in _SEQUENTIAL else 1 if marker in _PROGRESSIVE else 0
    return JpegMarks(
        width_px=width_px,
        height_px=height_px,
        components=body[5],
        scans=scans,
        adobe=adobe,
        coded_bytes=coded_bytes,
        least_bytes=_blocks(body, width_px=width_px, height_px=height_px) * least_bits // 8,
    )


def _blocks(body: bytes, *, width_px: int, height_px: int) -> int:
    """How many 8 x 8 blocks the frame header promises, over all components."""
    samplings = [(body[i + 1] >> 4, body[i + 1] & 15) for i in range(6, len(body) - 2, 3)]
    most_h = max((h for h, _ in samplings), default=1) or 1
    most_v = max((v for _, v in samplings), default=1) or 1
    return sum(ceil(width_px * h / most_h / 8) * ceil(height_px * v / most_v / 8) for h, v in samplings)
