"""How the codes of a TIFF file lie: whether all of them arrived, and planes of 16 bits read one at a time.

Where red, green and blue lie in separate planes of 16 bits, the picture library mixes them up without a word;
so each plane is shown to it as a grey picture: the same file with another directory at its end.

Source: TIFF revision 6.0 (1992), section 2, and for the tags section 8 and 15.
"""

from __future__ import annotations

import io
import struct
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image

__all__ = ["OtherPlanes", "has_planes", "reach", "read_planes", "tags_wanted"]

_PHOTOMETRIC, _BITS, _SAMPLES, _PLANAR, _ORIENTATION, _EXTRA = 262, 258, 277, 284, 274, 338
_COMPRESSION, _PLAIN = 259, 1
_STRIPS, _TILES = (273, 279), (324, 325)
# Kept as they are: width, height, compression, rows a strip, prediction, width and height of a tile.
_SHARED = (256, 257, _COMPRESSION, _ORIENTATION, 278, 317, 322, 323)
_SEPARATE, _DARK_IS_ZERO, _RGB, _CLEAR_ALPHA = 2, 1, 2, 2
_LONG = 4


class OtherPlanes(ValueError):
    """The planes are not those of red, green and blue, with or without a plain transparency."""


def tags_wanted(image: Image.Image) -> dict[int, Any]:
    """What the directory of an opened TIFF says of how its codes lie; nothing for other files."""
    stated: Mapping[int, Any] = getattr(image, "tag_v2", {})
    wanted = (*_SHARED, *_STRIPS, *_TILES, _PHOTOMETRIC, _BITS, _SAMPLES, _PLANAR, _EXTRA)
    return {tag: stated[tag] for tag in wanted if tag in stated}


def reach(tags: Mapping[int, Any]) -> int:
    """How many bytes a packed TIFF must have for all its strips or tiles to lie inside; 0 for other files.

    The decoder finds out too late, and says so on the console.
    """
    offsets, lengths = _STRIPS if _STRIPS[0] in tags else _TILES
    if tags.get(_COMPRESSION, _PLAIN) == _PLAIN or offsets not in tags or lengths not in tags:
        return 0
    return max(
        (start + length for start, length in zip(tags[offsets], tags[lengths], strict=False)), default=0
    )


def has_planes(tags: Mapping[int, Any]) -> bool:
    """Whether a TIFF with these tags keeps several colours of 16 bits apart."""
    bits = tags.get(_BITS)
    many = isinstance(bits, tuple) and len(bits) > 1 and max(bits) > 8
    return many and tags.get(_PLANAR) == _SEPARATE


def read_planes(coded: bytes, tags: Mapping[int, Any]) -> NDArray[np.uint16]:
    """The codes (rows, columns, 3 or 4) of a whole TIFF file, upright.

    Raises: OtherPlanes; KeyError, OSError and whatever else the decoder raises at broken files.
    """
    count = int(tags[_SAMPLES])
    if tags.get(_PHOTOMETRIC) != _RGB or (count, tags.get(_EXTRA)) not in ((3, None), (4, (_CLEAR_ALPHA,))):
        raise OtherPlanes
    offsets, lengths = _STRIPS if _STRIPS[0] in tags else _TILES
    pieces = len(tags[offsets]) // count
    order = "<" if coded[:2] == b"II" else ">"
    shared: dict[int, Sequence[int]] = {tag: (int(tags[tag]),) for tag in _SHARED if tag in tags}
    shared |= {_BITS: (16,), _PHOTOMETRIC: (_DARK_IS_ZERO,), _SAMPLES: (1,), _PLANAR: (1,)}
    planes = []
    for start in range(0, count * pieces, pieces):
        own = {tag: tuple(tags[tag])[start : start + pieces] for tag in (offsets, lengths)}
        with Image.open(io.BytesIO(_as_grey(coded, shared | own, order=order)), formats=("TIFF",)) as plane:
            planes.append(np.asarray(plane, dtype=np.uint16))
    return np.stack(planes, axis=-1)


def _as_grey(coded: bytes, tags: Mapping[int, Sequence[int]], *, order: str) -> bytes:
    """The file with a directory of these tags behind it, which its head points to."""
    ends = len(coded) + len(coded) % 2
    far = ends + 2 + 12 * len(tags) + 4
    entries, values = b"", b""
    for tag, numbers in sorted(tags.items()):
        stated = struct.pack(f"{order}{len(numbers)}I", *numbers)
        if len(numbers) > 1:
            place, values = far + len(values), values + stated
            stated = struct.pack(f"{order}I", place)
        entries += struct.pack(f"{order}HHI", tag, _LONG, len(numbers)) + stated
    head = coded[:2] + struct.pack(f"{order}HI", 42, ends)
    directory = struct.pack(f"{order}H", len(tags)) + entries + bytes(4)
    return head + coded[8:] + bytes(len(coded) % 2) + directory + values
