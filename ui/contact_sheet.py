"""All the blocks on one sheet, small, each over its name."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

__all__ = ["contact_sheet"]

_WALL_SRGB8 = (119, 119, 119)
_INK_SRGB8 = (255, 255, 255)
_GAP_PX = 14
_TEXT_PX = 11
_LINE_PX = 13


def contact_sheet(
    pictures: Sequence[tuple[str, NDArray[np.uint8]]], *, side_px: int, columns: int = 9
) -> NDArray[np.uint8]:
    """The pictures in rows on the grey wall, each within a square and over its name in one or two lines."""
    cell_w, cell_h = side_px + _GAP_PX, side_px + _GAP_PX + 2 * _LINE_PX
    rows = -(-len(pictures) // columns)
    sheet = Image.new("RGB", (columns * cell_w + _GAP_PX, rows * cell_h + _GAP_PX), _WALL_SRGB8)
    pen, font = ImageDraw.Draw(sheet), ImageFont.load_default(_TEXT_PX)
    for number, (name, picture) in enumerate(pictures):
        row, column = divmod(number, columns)
        left, top = _GAP_PX + column * cell_w, _GAP_PX + row * cell_h
        height, width = picture.shape[:2]
        sheet.paste(Image.fromarray(picture), (left + (side_px - width) // 2, top + (side_px - height) // 2))
        for i, line in enumerate(_lines(name, pen, font, side_px)):
            middle = (left + side_px / 2, top + side_px + 3 + i * _LINE_PX)
            pen.text(middle, line, font=font, anchor="ma", fill=_INK_SRGB8)
    return np.asarray(sheet).copy()


def _lines(
    name: str, pen: ImageDraw.ImageDraw, font: ImageFont.FreeTypeFont | ImageFont.ImageFont, wide_px: int
) -> list[str]:
    lines: list[str] = []
    for word in name.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and pen.textlength(longer, font=font) <= wide_px + _GAP_PX - 2:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines[:2]
