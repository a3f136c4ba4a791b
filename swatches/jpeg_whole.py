"""Whether a decoded JPEG came from all of its data, or was filled up with grey where that ran out.

A copy that broke off and was closed properly afterwards, or a header that claims too many rows, decodes
without complaint. But a decoder that has come to the end of the picture looks at nothing more, whereas one
that ran out of data takes what it is given: bytes slipped in before the end then change the picture.
"""

from __future__ import annotations

import io

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from swatches.depth import bands, rows_of
from swatches.jpeg_marks import JpegMarks

__all__ = ["is_whole_jpeg"]

_MORE_DATA = bytes(range(1, 255)) * 16
_PADDING = bytes(16)
_BLOCK_PX = 8
_FLAT_CODES = 2.0
# Source: ITU-T T.871 (2011), the luma of JPEG files.
_LUMA = np.array([0.299, 0.587, 0.114])


def is_whole_jpeg(coded: bytes, marks: JpegMarks, codes8: NDArray[np.uint8]) -> bool:
    """Whether codes (rows, columns, 1, 3 or 4), as they were decoded, say all that their file promises."""
    if not marks.finished or (not marks.ended and coded.endswith(_PADDING)):
        return False
    # Arithmetic codes may leave out their last bytes, so there the end cannot be told.
    if not marks.huffman or (marks.scans == 1 and not _ends_flat(codes8)):
        return True
    longer = coded[: marks.coded_end] + _MORE_DATA + coded[marks.coded_end :]
    try:
        with Image.open(io.BytesIO(longer), formats=("JPEG",)) as again:
            again.load()
            return _is_same(again, codes8)
    except Exception:  # the decoder raises almost anything; what is added cannot harm a picture that is whole
        return False


def _ends_flat(codes8: NDArray[np.uint8]) -> bool:
    """Whether the last block is of one lightness, as those are that were filled in."""
    block = codes8[-_BLOCK_PX:, -_BLOCK_PX:, :3].astype(float)
    luma = block[..., 0] if block.shape[2] == 1 else block @ _LUMA
    return bool(np.ptp(luma) <= _FLAT_CODES)


def _is_same(image: Image.Image, codes8: NDArray[np.uint8]) -> bool:
    return all(np.array_equal(rows_of(image, band), codes8[band]) for band in bands(len(codes8)))
