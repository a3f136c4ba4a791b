"""A picture with words under it, on white: what must travel with the picture wherever it is shown."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

from preview.pens import INK_SRGB8, PAPER_SRGB8
from preview.sheets import broken_lines

__all__ = ["footed"]

_TEXT_PX = 15
_LINE_PX = 20
_EDGE_PX = 10


def footed(picture_srgb8: NDArray[np.uint8], notes: Sequence[str]) -> NDArray[np.uint8]:
    """The picture over its notes, which are broken to its width; the same picture when there are none.

    The picture itself keeps its pixels and its place at the top left.
    """
    if not notes:
        return picture_srgb8
    high, wide = picture_srgb8.shape[:2]
    font = ImageFont.load_default(_TEXT_PX)
    lines = [line for note in notes for line in broken_lines(note, font, width_px=wide - 2 * _EDGE_PX)]
    sheet = Image.new("RGB", (wide, high + 2 * _EDGE_PX + len(lines) * _LINE_PX), PAPER_SRGB8)
    sheet.paste(Image.fromarray(picture_srgb8), (0, 0))
    pen = ImageDraw.Draw(sheet)
    for number, line in enumerate(lines):
        at = (_EDGE_PX, high + _EDGE_PX + number * _LINE_PX)
        pen.text(at, line, font=font, fill=INK_SRGB8)
    return np.asarray(sheet).copy()
