"""What the markers of a JPEG file say, read before any pixel is decoded.

Decoders believe a header that claims a huge picture and fill what is missing with grey, which would be
measured as cloth; they also grind through thousands of empty scans. Both are seen from the markers alone.

Source: ITU-T T.81 (1992), annex B.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import ceil

__all__ = ["JpegMarks", "is_jpeg", "read_jpeg_marks"]

_END, _SCAN, _ADOBE = 0xD9, 0xDA, 0xEE
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
    huffman: bool
    """Coded by Huffman codes, as nearly all are, and not arithmetically."""
    adobe: bool
    """An Adobe marker is present: four-component pictures then usually store ink upside down."""
    coded_bytes: int
    least_bytes: int
    """No valid file of this size and kind can hold less coded data than this (0: not known)."""
    coded_end: int
    """Where in the file the last coded data ends."""
    ended: bool
    """Whether the marker follows that ends a picture."""
    finished: bool
    """Whether the scans say all that they began to say: every component, and none in coarse steps alone."""


def is_jpeg(head: bytes) -> bool:
    """Whether a file that starts with these bytes is a JPEG."""
    return head[:3] == b"\xff\xd8\xff"


def read_jpeg_marks(coded: bytes) -> JpegMarks | None:
    """The markers of the first picture, or None when no frame header can be read."""
    frame: tuple[int, bytes] | None = None
    scans: list[bytes] = []
    coded_bytes = coded_end = 0
    adobe = ended = False
    place = 2
    while not ended and (found := _NEXT_MARKER.search(coded, place)) is not None:
        marker, place = coded[found.end() - 1], found.end()
        ended = marker == _END
        if ended or marker in _BARE:
            continue
        length = int.from_bytes(coded[place : place + 2], "big")
        body = coded[place + 2 : place + length]
        place += max(length, 2)
        if marker in _FRAMES and frame is None:
            frame = (marker, body)
        elif marker == _ADOBE:
            adobe = adobe or body.startswith(b"Adobe")
        elif marker == _SCAN:
            scans.append(body)
            after = _NEXT_MARKER.search(coded, place)
            coded_end = after.start() if after else len(coded)
            coded_bytes += coded_end - place
    if frame is None or len(frame[1]) < 6:
        return None
    marker, body = frame
    height_px, width_px = int.from_bytes(body[1:3], "big"), int.from_bytes(body[3:5], "big")
    # The shortest Huffman code is one bit. A sequential block needs two codes (its first coefficient and
    # "end of block"), a progressive one at least its first coefficient.
    least_bits = 2 if marker in _SEQUENTIAL else 1 if marker in _PROGRESSIVE else 0
    return JpegMarks(
        width_px=width_px,
        height_px=height_px,
        components=body[5],
        scans=len(scans),
        huffman=least_bits > 0,
        adobe=adobe,
        coded_bytes=coded_bytes,
        least_bytes=_blocks(body, width_px=width_px, height_px=height_px) * least_bits // 8,
        coded_end=coded_end,
        ended=ended,
        finished=_is_finished(body, scans, progressive=marker in _PROGRESSIVE),
    )


def _is_finished(frame: bytes, scans: list[bytes], *, progressive: bool) -> bool:
    """Whether every component has a scan, and every coefficient that was begun is known to its last bit."""
    steps: dict[tuple[int, int], int] = {}
    for scan in scans:
        count = scan[0] if scan else 0
        if len(scan) < 4 + 2 * count:
            return False
        first, last, low = scan[-3], min(scan[-2], 63), scan[-1] & 15
        for component in scan[1 : 1 + 2 * count : 2]:
            for coefficient in range(first, last + 1) if progressive else (0,):
                steps[component, coefficient] = low if progressive else 0
    asked = {frame[place] for place in range(6, len(frame) - 2, 3)}
    return asked <= {component for component, _ in steps} and not any(steps.values())


def _blocks(frame: bytes, *, width_px: int, height_px: int) -> int:
    """How many 8 x 8 blocks the frame header promises, over all components."""
    samplings = [(frame[i + 1] >> 4, frame[i + 1] & 15) for i in range(6, len(frame) - 2, 3)]
    most_h = max((h for h, _ in samplings), default=1) or 1
    most_v = max((v for _, v in samplings), default=1) or 1
    return sum(ceil(width_px * h / most_h / 8) * ceil(height_px * v / most_v / 8) for h, v in samplings)
