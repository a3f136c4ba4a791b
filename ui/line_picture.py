"""The cloths of a choice drawn on one line from light to dark, with how far each of them reaches."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

from palettes.encodings import lin_to_srgb8
from palettes.lightness import lin_from_lab
from palettes.whole_choice import OnTheLine, WholeChoice
from preview.pens import INK_SRGB8, PAPER_SRGB8

__all__ = ["CHIP_PX", "line_picture"]

_Picture = NDArray[np.uint8]

CHIP_PX = 56
_ROW_PX = CHIP_PX + 14
_LEFT_PX = 300
_LINE_PX = 700
_TOP_PX = 86
_EDGE_PX = 20
_TEXT_PX = 16
_CLUMP_SRGB8 = (222, 222, 222)
_BAR_SRGB8 = (96, 96, 96)
"""Greys alone, as everywhere beside cloth; the darker is 6 to 1 on paper, for small words."""


def line_picture(choice: WholeChoice, chips: Mapping[str, _Picture]) -> _Picture:
    """Each cloth in a row of its own, the lightest on top: its chip, name, mean and spread of L*.

    The line runs from L* 100 at the left to 0 at the right, a Munsell value step between two marks. Where
    cloths crowd within one step their stretch is shaded. chips: by name, squares of CHIP_PX.
    """
    size = _LEFT_PX + _LINE_PX + 2 * _EDGE_PX, _TOP_PX + len(choice.line) * _ROW_PX + _EDGE_PX
    sheet = Image.new("RGB", size, PAPER_SRGB8)
    pen = ImageDraw.Draw(sheet)
    row_of = {each.name: row for row, each in enumerate(choice.line)}
    for clump in choice.clumps:
        own = [each for each in choice.line if each.name in clump]
        top, foot = (_TOP_PX + row * _ROW_PX for row in (row_of[own[0].name], row_of[own[-1].name] + 1))
        pen.rectangle((_x(own[0].L) - 8, top, _x(own[-1].L) + 8, foot - 4), fill=_CLUMP_SRGB8)
    _scale(sheet, pen)
    for row, each in enumerate(choice.line):
        _row(sheet, pen, each, chips[each.name], top=_TOP_PX + row * _ROW_PX)
    return np.asarray(sheet).copy()


def _x(L: float) -> float:
    return _LEFT_PX + _EDGE_PX + (100 - L) * _LINE_PX / 100


def _scale(sheet: Image.Image, pen: ImageDraw.ImageDraw) -> None:
    """The greys of every L*, and marks at each ten."""
    L = np.linspace(100, 0, _LINE_PX)
    greys = lin_to_srgb8(lin_from_lab(np.stack([L, 0 * L, 0 * L], axis=-1)))
    ramp = np.repeat(greys[None], 28, axis=0)
    sheet.paste(Image.fromarray(ramp), (int(_x(100)), 24))
    pen.rectangle((_x(100), 24, _x(0), 52), outline=INK_SRGB8)
    font = ImageFont.load_default(_TEXT_PX)
    pen.text((_EDGE_PX, 38), "light to dark, in L*", font=font, anchor="lm", fill=INK_SRGB8)
    for mark in range(0, 101, 10):
        pen.line((_x(mark), 52, _x(mark), 58), fill=INK_SRGB8)
        pen.text((_x(mark), 68), str(mark), font=font, anchor="mm", fill=INK_SRGB8)


def _row(sheet: Image.Image, pen: ImageDraw.ImageDraw, each: OnTheLine, chip: _Picture, *, top: int) -> None:
    middle, font = top + CHIP_PX / 2, ImageFont.load_default(_TEXT_PX)
    sheet.paste(Image.fromarray(chip), (_EDGE_PX, top))
    name = each.name
    room_px = _LEFT_PX - CHIP_PX - 12
    while len(name) > 1 and font.getlength(name) > room_px:
        name = name.removesuffix("…")[:-1] + "…"
    pen.text((_EDGE_PX + CHIP_PX + 12, middle - 10), name, font=font, anchor="lm", fill=INK_SRGB8)
    reach = f"L* {each.L:.0f}, from {each.low_L:.0f} to {each.high_L:.0f}"
    pen.text(
        (_EDGE_PX + CHIP_PX + 12, middle + 12),
        reach,
        font=ImageFont.load_default(_TEXT_PX - 3),
        anchor="lm",
        fill=_BAR_SRGB8,
    )
    pen.line((_x(100), middle, _x(0), middle), fill=(206, 206, 206))
    pen.line((_x(each.high_L), middle, _x(each.low_L), middle), fill=_BAR_SRGB8, width=7)
    x = _x(each.L)
    pen.ellipse((x - 9, middle - 9, x + 9, middle + 9), fill=INK_SRGB8, outline=PAPER_SRGB8, width=2)
