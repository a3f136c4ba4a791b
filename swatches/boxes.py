"""The outermost boxes of a HEIC or AVIF file: whether all of it arrived, told without decoding."""

from __future__ import annotations

import os
from typing import BinaryIO

__all__ = ["is_boxed", "is_whole"]

_NEEDED = frozenset({b"ftyp", b"meta", b"moov", b"mdat"})


def is_boxed(head: bytes) -> bool:
    """Whether a file that starts with these bytes is built of boxes, as HEIC and AVIF are."""
    return head[4:8] == b"ftyp"


def is_whole(file: BinaryIO) -> bool:
    """Whether no box that the picture needs runs past the end of the file; leaves the file at its start.

    Decoders show what they can of a picture that was cut short, the rest being black or missing. What
    phones append behind the picture is not looked at.
    Source: ISO/IEC 14496-12, clause 4.2: a size of 1 means a 64-bit size follows, 0 "to the end".
    """
    length = file.seek(0, os.SEEK_END)
    place = 0
    whole = True
    while whole and place + 8 <= length:
        file.seek(place)
        header = file.read(16)
        box, kind = int.from_bytes(header[:4], "big"), header[4:8]
        if box == 1:
            box = int.from_bytes(header[8:16], "big")
        if box < 8:
            break
        place += box
        whole = place <= length or kind not in _NEEDED
    file.seek(0)
    return whole
