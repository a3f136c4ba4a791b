"""Which way up a photograph was taken, applied exactly once."""

from __future__ import annotations

from typing import TypeVar

import numpy as np
from numpy.typing import NDArray
from PIL import Image

__all__ = ["stored_orientation", "turn_upright"]

Code = TypeVar("Code", np.uint8, np.uint16)

_ORIENTATION = 0x0112
_UPRIGHT = 1
# These decoders hand out pixels that are already upright, whatever the tag in the file still says.
_TURNED_BY_DECODER = frozenset({"TIFF", "HEIF"})


def stored_orientation(image: Image.Image) -> int:
    """How a loaded picture still has to be turned: 1 (not at all) to 8, as EXIF counts.

    EXIF wins over XMP; a picture that has it in XMP alone is turned by that. Anything that is not a
    whole number from 1 to 8, and any metadata that cannot be read, counts as 1.
    Source: CIPA DC-008 (EXIF 2.32), tag 274.
    """
    if image.format in _TURNED_BY_DECODER:
        return _UPRIGHT
    try:
        tag = image.getexif().get(_ORIENTATION, _UPRIGHT)
    except Exception:  # metadata readers raise almost anything at broken files; the picture is still good
        return _UPRIGHT
    return tag if isinstance(tag, int) and 1 <= tag <= 8 else _UPRIGHT


def turn_upright(pixels: NDArray[Code], orientation: int) -> NDArray[Code]:
    """The picture as the photographer saw it; a view where that is possible.

    Example: an (H, W, 3) picture with orientation 6 comes back as (W, H, 3).
    """
    across, along = (1, 0, *range(2, pixels.ndim)), pixels
    if orientation >= 5:
        along = along.transpose(across)
    if orientation in (2, 3, 6, 7):
        along = along[:, ::-1]
    if orientation in (3, 4, 7, 8):
        along = along[::-1]
    return along
